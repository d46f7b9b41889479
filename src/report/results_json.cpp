// Findings carry flat dotted keys; here they become the nested objects that other people's scripts read.

#include "oddplate/methods/method.hpp"
#include "oddplate/report/conduct.hpp"
#include "oddplate/report/results.hpp"

namespace oddplate::report {
namespace {

using core::Json;

Json value_json(const methods::Value& value) {
    return std::visit(
        [](const auto& v) -> Json {
            using T = std::decay_t<decltype(v)>;
            if constexpr (std::is_same_v<T, std::monostate>) return Json();
            else return Json(v);
        },
        value);
}

void put(Json& object, const std::string& key, const methods::Field& field, const core::Words& words) {
    const std::size_t dot = key.find('.');
    if (dot != std::string::npos) {
        const std::string head = key.substr(0, dot);
        Json inner = object.find(head) != nullptr ? *object.find(head) : Json::object();
        put(inner, key.substr(dot + 1), field, words);
        object.set(head, std::move(inner));
        return;
    }
    object.set(methods::named(key), value_json(field.value));
    if (!std::holds_alternative<std::monostate>(field.value) || field.why.empty()) return;
    Json why = object.find("why") != nullptr ? *object.find("why") : Json::object();
    why.set(methods::named(key), words.has(field.why) ? words.text(field.why) : field.why);
    object.set("why", std::move(why));
}

Json texts_json(const std::vector<std::string>& texts) {
    Json list = Json::array();
    for (const auto& text : texts) list.push(text);
    return list;
}

Json check_json(const methods::Check& check, const core::Words& words) {
    Json out = Json::object();
    out.set("id", check.id);
    out.set("p_value", check.p_value ? Json(*check.p_value) : Json());
    out.set("alarm", check.alarm);
    out.set("words", words.text(check.words));
    return out;
}

Json tally_json(const judge::Tally& tally) {
    Json out = Json::object();
    const std::pair<const char*, int> numbers[] = {{"dealt", tally.dealt},     {"counted", tally.counted},       {"undecided", tally.undecided}, {"blank", tally.blank},
                                                   {"void", tally.void_},      {"not_served", tally.not_served}, {"missing", tally.missing},
                                                   {"insiders", tally.insiders}, {"opened", tally.opened},       {"late", tally.late}};
    for (const auto& [key, value] : numbers) out.set(key, value);
    return out;
}

const char* mean_key(methods::Scale scale) {
    switch (scale) {
        case methods::Scale::right: return "share_right";
        case methods::Scale::votes: return "votes_new_less_current";
        case methods::Scale::values: return "mean_score";
        case methods::Scale::each: return "mean_value";
    }
    std::abort();
}

Json round_json(const tasting::State& state, const judge::JudgedRound& round, const core::Words& words) {
    const methods::RoundFindings& found = round.findings;
    Json out = Json::object();
    out.set("round", round.round + 1);
    out.set("method", round.method);
    out.set("decide_on", methods::to_text(round.decide_on));
    out.set("planned", true);
    Json spots = Json::array();
    for (const auto& spot : found.spots) {
        Json item = Json::object();
        item.set("spot", spot.spot.empty() ? Json() : Json(spot.spot));
        const Json numbers = findings_json(spot.findings, words);
        for (const auto& [key, value] : numbers.as_object()) item.set(key, value);
        spots.push(std::move(item));
    }
    out.set("spots", std::move(spots));
    out.set("pooled", findings_json(found.pooled, words));
    if (found.heterogeneity) {
        Json p = Json::object();
        p.set("p_value", *found.heterogeneity);
        out.set("heterogeneity", std::move(p));
    } else {
        out.set("heterogeneity", Json());
        Json why = Json::object();
        why.set("heterogeneity", words.has(found.heterogeneity_why) ? words.text(found.heterogeneity_why) : found.heterogeneity_why);
        out.set("why", std::move(why));
    }
    if (!state.plan.looks.empty()) out.set("alpha", round.alpha);
    out.set("verdict", found.verdict);
    out.set("words", spoken(found.words, words));
    out.set("warnings", texts_json(found.warnings));
    Json checks = Json::array();
    for (const auto& check : found.checks) checks.push(check_json(check, words));
    out.set("checks", std::move(checks));
    out.set("tally", tally_json(round.tally));
    if (!round.pieces.empty()) {
        Json pieces = Json::array();
        for (const auto& row : round.pieces) {
            Json item = Json::object();
            item.set("version", state.plan.versions[static_cast<std::size_t>(row.version)].id);
            item.set("piece", row.piece + 1);
            item.set("trays", row.trays);
            item.set(mean_key(round.scale), row.mean ? Json(*row.mean) : Json());
            pieces.push(std::move(item));
        }
        out.set("pieces", std::move(pieces));
    }
    if (!round.adjusted.empty()) {
        Json adjusted = Json::array();
        for (const auto& one : round.adjusted) {
            methods::Findings row;
            row.add("for", one.id);
            row.add_optional(round.scale == methods::Scale::votes ? "share_new" : "share_right", one.share, one.why);
            if (one.d_prime) row.add("d_prime", *one.d_prime);
            adjusted.push(findings_json(row, words));
        }
        out.set("adjusted", std::move(adjusted));
    }
    if (round.blanks) {
        methods::Findings blanks;
        blanks.add("of", round.blanks->sets);
        blanks.add("correct", round.blanks->right);
        blanks.add("recipe_of", round.blanks->recipe_sets);
        blanks.add("recipe_correct", round.blanks->recipe_right);
        blanks.add_optional("p_value", round.blanks->p_value, round.blanks->why);
        out.set("blanks", findings_json(blanks, words));
    }
    Json variants = Json::array();
    for (const auto& variant : round.variants) {
        Json item = Json::object();
        item.set("id", variant.id);
        item.set("planned", false);
        item.set("answers", variant.answers);
        item.set("verdict", variant.verdict);
        item.set("pooled", findings_json(variant.pooled, words));
        variants.push(std::move(item));
    }
    out.set("exploratory", std::move(variants));
    return out;
}

Json judged_json(const tasting::State& state, const judge::Judged& judged, const core::Words& words) {
    Json out = Json::object();
    Json rounds = Json::array();
    for (const auto& round : judged.rounds) rounds.push(round_json(state, round, words));
    out.set("rounds", std::move(rounds));
    out.set("verdict", judged.verdict);
    out.set("words", spoken(judged.words, words));
    out.set("warnings", texts_json(judged.warnings));
    return out;
}

}   // namespace

std::string spoken(const std::vector<core::Sentence>& sentences, const core::Words& words) {
    std::string out;
    for (const auto& sentence : sentences) out += (out.empty() ? "" : " ") + words.text(sentence);
    return out;
}

Json findings_json(const methods::Findings& findings, const core::Words& words) {
    Json out = Json::object();
    for (const auto& field : findings.fields) put(out, field.key, field, words);
    for (const auto& list : findings.lists) {
        Json rows = Json::array();
        for (const auto& row : list.rows) {
            Json item = Json::object();
            for (const auto& field : row) put(item, field.key, field, words);
            rows.push(std::move(item));
        }
        out.set(list.key, std::move(rows));
    }
    if (!findings.verdict.empty()) out.set("verdict", findings.verdict);
    if (!findings.words.empty()) out.set("words", spoken(findings.words, words));
    if (!findings.warnings.empty()) out.set("warnings", texts_json(findings.warnings));
    return out;
}

Json outcome_json(const tasting::State& state, const tasting::Outcome& outcome, const std::vector<tasting::Earlier>& earlier,
                  const core::Words& words) {
    Json out = judged_json(state, outcome.at_close, words);
    if (outcome.corrected) out.set("after_corrections", judged_json(state, *outcome.corrected, words));
    Json conduct = Json::array();
    for (const auto& sentence : conduct_of(state, earlier, words)) conduct.push(words.text(sentence));
    out.set("conduct", std::move(conduct));
    Json before = Json::array();
    for (const auto& each : earlier) {
        Json item = Json::object();
        item.set("tasting", each.id);
        item.set("verdict", each.verdict.empty() ? Json() : Json(each.verdict));
        before.push(std::move(item));
    }
    out.set("earlier", std::move(before));
    return out;
}

}   // namespace oddplate::report
