// The same facts for a terminal: sentences first, the numbers one step behind.

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "oddplate/core/text.hpp"
#include "oddplate/report/results.hpp"
#include "oddplate/tasting/names.hpp"

namespace oddplate::report {
namespace {

std::string rounded(double value) {
    char text[40];
    std::snprintf(text, sizeof text, "%.4g", value);
    return text;
}

std::string value_text(const methods::Field& field, const core::Words& words) {
    return std::visit(
        [&](const auto& v) -> std::string {
            using T = std::decay_t<decltype(v)>;
            if constexpr (std::is_same_v<T, std::monostate>) {
                if (field.why.empty()) return "-";
                return "- (" + (words.has(field.why) ? words.text(field.why) : field.why) + ")";
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
        field.value);
}

std::string label_of(const std::string& key, const core::Words& words) {
    if (words.has("field." + key)) return words.text("field." + key);
    std::string label = key;
    std::replace(label.begin(), label.end(), '_', ' ');
    std::replace(label.begin(), label.end(), '.', ',');
    const std::size_t comma = label.find(',');
    if (comma != std::string::npos) label.insert(comma + 1, " ");
    return label;
}

std::string table(const methods::Findings& findings, const core::Words& words, const std::string& indent) {
    std::size_t width = 0;
    for (const auto& field : findings.fields) width = std::max(width, label_of(field.key, words).size());
    std::string out;
    for (const auto& field : findings.fields) {
        std::string label = label_of(field.key, words);
        label.resize(width + 2, ' ');
        out += indent + label + value_text(field, words) + "\n";
    }
    return out;
}

/// Lines of at most 80 columns; words are never cut.
std::string wrapped(const std::string& text, const std::string& indent) {
    std::string out, line = indent;
    for (const auto& word : core::split(text, ' ')) {
        if (word.empty()) continue;
        if (line.size() > indent.size() && line.size() + 1 + word.size() > 80) {
            out += line + "\n";
            line = indent;
        }
        if (line.size() > indent.size()) line += " ";
        line += word;
    }
    return out + line + "\n";
}

std::string sentences_text(const std::vector<core::Sentence>& sentences, const core::Words& words, const std::string& indent) {
    std::string out;
    for (const auto& sentence : sentences) out += wrapped(words.text(sentence), indent);
    return out;
}

std::string round_text(const judge::JudgedRound& round, const core::Words& words) {
    std::string out = words.text("results.course", {{"n", std::int64_t{round.round + 1}}, {"method", words.text(round.method + ".title")}}) + "\n";
    if (!round.findings.checks.empty()) {
        out += "  " + words.text("results.checks") + "\n";
        for (const auto& check : round.findings.checks) out += wrapped((check.alarm ? "! " : "- ") + words.text(check.words), "    ");
    }
    out += sentences_text(round.findings.words, words, "  ");
    for (const auto& spot : round.findings.spots) {
        if (round.findings.spots.size() > 1) out += "  " + (spot.spot.empty() ? words.text("results.one_spot") : spot.spot) + "\n";
        if (round.findings.spots.size() > 1) out += table(spot.findings, words, "    ");
    }
    out += "  " + words.text(round.findings.spots.size() > 1 ? "results.pooled" : "results.numbers") + "\n" + table(round.findings.pooled, words, "    ");
    for (const auto& variant : round.variants)
        out += wrapped(words.text("results.variant." + variant.id, {{"n", std::int64_t{variant.answers}}, {"verdict", words.text("verdict." + variant.verdict)}}), "  ");
    return out;
}

std::string judged_text(const judge::Judged& judged, const core::Words& words) {
    std::string out = sentences_text(judged.words, words, "");
    for (const auto& round : judged.rounds) out += "\n" + round_text(round, words);
    return out;
}

}   // namespace

std::string findings_text(const methods::Findings& findings, const core::Words& words) {
    std::string out = sentences_text(findings.words, words, "");
    if (!out.empty()) out += "\n";
    return out + table(findings, words, "  ");
}

std::string outcome_text(const tasting::State& state, const tasting::Outcome& outcome, const core::Words& words) {
    std::string out = tasting::two_words(state.id) + " - " + state.plan.title + "\n\n" + judged_text(outcome.at_close, words);
    if (outcome.corrected) out += "\n" + words.text("results.after_corrections", {{"n", std::int64_t{state.corrections_after_opening}}}) + "\n\n" + judged_text(*outcome.corrected, words);
    return out;
}

}   // namespace oddplate::report
