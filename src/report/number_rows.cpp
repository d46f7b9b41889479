// "discriminators.estimate / .lower / .upper" become one row "0.59 (0.37 to 0.78)"; any other number is a row of its own.

#include "number_rows.hpp"

#include <algorithm>
#include <cstdio>

#include "oddplate/core/text.hpp"

namespace oddplate::report {
namespace {

std::string rounded(double value) {
    char text[40];
    std::snprintf(text, sizeof text, "%.4g", value);
    return text;
}

}   // namespace

std::string value_text(const methods::Value& value, const std::string& why, const core::Words& words) {
    return std::visit(
        [&](const auto& v) -> std::string {
            using T = std::decay_t<decltype(v)>;
            if constexpr (std::is_same_v<T, std::monostate>) {
                if (why.empty()) return "-";
                return "- (" + (words.has(why) ? words.text(why) : why) + ")";
            } else if constexpr (std::is_same_v<T, bool>) {
                return v ? "yes" : "no";
            } else if constexpr (std::is_same_v<T, std::int64_t>) {
                return core::with_commas(v);
            } else if constexpr (std::is_same_v<T, double>) {
                return rounded(v);
            } else {
                return v;
            }
        },
        value);
}

std::string label_of(const std::string& key, const core::Words& words, const std::string& method) {
    if (const std::string own = "field." + method + "." + key; words.has(own)) return words.text(own);
    if (words.has("field." + key)) return words.text("field." + key);
    std::string label = key;
    std::replace(label.begin(), label.end(), '_', ' ');
    for (std::size_t dot = label.find('.'); dot != std::string::npos; dot = label.find('.')) label.replace(dot, 1, ", ");
    return methods::named(label);
}

std::string explanation_of(const std::string& key, const core::Words& words, const std::string& method) {
    if (const std::string own = "explain." + method + "." + key; words.has(own)) return words.text(own);
    // "same_below.d_prime" is about the line, "ordered.p_value" a p-value: the whole key first, then its end, then its beginning.
    for (std::string part = key;;) {
        if (words.has("explain." + part)) return words.text("explain." + part);
        const std::size_t dot = part.find('.');
        if (dot == std::string::npos) break;
        part.erase(0, dot + 1);
    }
    for (std::string part = key; part.find('.') != std::string::npos;) {
        part.erase(part.rfind('.'));
        if (words.has("explain." + part)) return words.text("explain." + part);
    }
    return {};
}

namespace {

/// "0.59  (0.37 to 0.78)"; a reason why there is none is said once, and a limit that is not there leaves an "or more".
std::string with_limits(const std::string& estimate, const std::string& lower, const std::string& upper) {
    const auto is_missing = [](const std::string& text) { return text.starts_with("- (") || text == "-"; };
    const auto reason = [](const std::string& text) { return text.starts_with("- (") ? ": " + text.substr(3, text.size() - 4) : ""; };
    if (estimate == lower && lower == upper) return estimate;
    if (lower == upper && is_missing(lower)) return estimate + "  (no limits" + reason(lower) + ")";
    if (is_missing(upper)) return estimate + "  (" + lower + " or more" + (estimate == upper ? "" : reason(upper)) + ")";
    if (is_missing(lower)) return estimate + "  (" + upper + " or less" + (estimate == lower ? "" : reason(lower)) + ")";
    return estimate + "  (" + lower + " to " + upper + ")";
}

bool ends_with_interval(const std::string& key, const std::string& stem) { return key == stem + ".lower" || key == stem + ".upper"; }

}   // namespace

std::string piece_caption(const judge::JudgedRound& round) {
    switch (round.scale) {
        case methods::Scale::right: return "results.pieces.right";
        case methods::Scale::votes: return "results.pieces.votes";
        case methods::Scale::values: return "results.pieces.values";
        case methods::Scale::each: return "results.pieces.each";
    }
    std::abort();
}

std::vector<NumberRow> piece_rows(const judge::JudgedRound& round, const methods::Plan& plan, const core::Words& words) {
    std::vector<NumberRow> rows;
    for (const auto& row : round.pieces) {
        const std::string& version = plan.versions[static_cast<std::size_t>(row.version)].id;
        const std::string mean = row.mean ? rounded(*row.mean) : "-";
        rows.push_back({words.text("results.piece", {{"version", version}, {"n", std::int64_t{row.piece + 1}}}),
                        words.text("results.piece_row", {{"mean", mean}, {"trays", row.trays}}), words.text("explain.piece")});
    }
    return rows;
}

std::vector<NumberRow> field_rows(const methods::Findings& findings, const core::Words& words) {
    std::vector<NumberRow> rows;
    const methods::Value* named = findings.find("method");
    const std::string method = named != nullptr && std::holds_alternative<std::string>(*named) ? std::get<std::string>(*named) : "";
    for (const auto& field : findings.fields) {
        const std::size_t dot = field.key.rfind(".estimate");
        const bool is_estimate = dot != std::string::npos && dot + 9 == field.key.size();
        const std::string stem = is_estimate ? field.key.substr(0, dot) : field.key.substr(0, field.key.rfind('.'));
        if (is_estimate && findings.find(stem + ".lower") != nullptr) {
            std::string lower, upper;
            for (const auto& end : findings.fields) {
                if (end.key == stem + ".lower") lower = value_text(end.value, end.why, words);
                if (end.key == stem + ".upper") upper = value_text(end.value, end.why, words);
            }
            const std::string estimate = value_text(field.value, field.why, words);
            rows.push_back({label_of(stem, words, method), with_limits(estimate, lower, upper), explanation_of(stem, words, method)});
        } else if (!(ends_with_interval(field.key, stem) && findings.find(stem + ".estimate") != nullptr)) {
            rows.push_back({label_of(field.key, words, method), value_text(field.value, field.why, words), explanation_of(field.key, words, method)});
        }
    }
    return rows;
}

}   // namespace oddplate::report
