#pragma once
// What the tests of the methods share: flags from JSON, rounds and plans from a few numbers, answers without a draw.

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/core/json.hpp"
#include "oddplate/core/words.hpp"
#include "oddplate/methods/method.hpp"

namespace oddplate::methods::testing {

inline const Method& method(std::string_view id) {
    const auto found = find(id);
    REQUIRE(found.ok());
    return **found;
}

/// Flags written as a JSON object, read through the settings as the command line would.
inline Settings settings(std::span<const Setting> known, std::string_view text) {
    const auto json = core::parse_json(text);
    REQUIRE(json.ok());
    Settings read;
    for (const auto& [key, value] : json->as_object()) {
        const auto at = std::find_if(known.begin(), known.end(), [&, name = key](const Setting& one) { return one.key == name; });
        INFO("setting " << key);
        REQUIRE(at != known.end());
        const auto setting = read_setting(*at, value, "/" + key, {});
        REQUIRE(setting.ok());
        read.emplace(key, *setting);
    }
    return read;
}

inline Findings count(std::string_view id, std::string_view text) {
    const Method& asked = method(id);
    const auto found = asked.count(asked, settings(asked.count_settings, text));
    INFO(text << (found.ok() ? "" : found.faults()[0].line()));
    REQUIRE(found.ok());
    return *found;
}

inline Findings size(std::string_view id, std::string_view text) {
    const Method& asked = method(id);
    const auto found = asked.size(asked, settings(asked.size_settings, text));
    INFO(text << (found.ok() ? "" : found.faults()[0].line()));
    REQUIRE(found.ok());
    return *found;
}

inline double number(const Findings& findings, std::string_view key) {
    const auto value = findings.number(key);
    INFO("key " << key);
    REQUIRE(value);
    return *value;
}

/// A key is there, is null and says why.
inline bool is_null_with_why(const Findings& findings, std::string_view key) {
    for (const Field& field : findings.fields)
        if (field.key == key) return std::holds_alternative<std::monostate>(field.value) && !field.why.empty();
    return false;
}

/// All sentences as text; one that cannot be said reads "[id]".
inline std::string said(const Method& asked, std::span<const core::Sentence> sentences) {
    core::Words words = core::Words::english();
    words.add(asked.phrases);
    std::string text;
    for (const core::Sentence& sentence : sentences) text += words.text(sentence) + "\n";
    return text;
}

/// A plan of one round for two versions, or as many as the method takes at least.
inline Plan plan_of(std::string_view id, std::vector<std::string> spots, int tasters, std::string_view text = "{}") {
    Plan plan;
    plan.versions = {{"current", "2.4 %"}, {"new", "2.0 %"}};
    for (int more = 2; more < method(id).fewest_versions; ++more) plan.versions.push_back({"other-" + std::to_string(more), ""});
    plan.tasters = tasters;
    Round round;
    round.method = id;
    round.spots = std::move(spots);
    const std::vector<std::string> ids{"current", "new"};
    const auto given = core::parse_json(text);   // outlives the loop over it
    for (const auto& [key, value] : given->as_object())
        for (const Setting& setting : method(id).round_settings)
            if (setting.key == key) round.settings.emplace(key, *read_setting(setting, value, "/" + key, ids));
    plan.rounds.push_back(round);
    core::Faults faults;
    method(id).settle(method(id), plan.rounds[0], plan, "/rounds/0", faults);
    for (const auto& fault : faults) FAIL(fault.line());
    return plan;
}

/// right[taster][spot] answers, every order as often as the others: taster i has order i mod orders; who is wrong takes the wrong ones in turn.
inline std::vector<Observation> observations(const Method& asked, const Plan& plan, const std::vector<std::vector<int>>& right) {
    const auto orders = asked.orders(plan.rounds[0], 2);
    std::vector<Observation> seen;
    std::vector<std::size_t> turns(orders.size(), 0);
    for (std::size_t taster = 0; taster < right.size(); ++taster)
        for (std::size_t spot = 0; spot < right[taster].size(); ++spot) {
            if (right[taster][spot] < 0) continue;   // no answer
            Observation one;
            one.taster = one.ballot = static_cast<std::int32_t>(taster);
            one.spot = static_cast<std::int32_t>(spot);
            one.order = static_cast<std::int32_t>(taster % orders.size());
            one.place = one.spot;
            std::vector<std::string> codes;
            for (int place = 0; place < asked.portions; ++place) codes.push_back(std::to_string(417 + 100 * place));
            const auto& versions = orders[static_cast<std::size_t>(one.order)].versions;
            const SetKey key{codes, versions, -1};
            std::vector<Scored> fitting;   // the code whose picking is right, or those whose picking is not
            for (const std::string& code : codes) {
                const auto scored = asked.score(key, Codes{{code}}, plan.rounds[0], plan);
                REQUIRE(scored.ok());
                if ((scored->value > 0) == (right[taster][spot] > 0)) fitting.push_back(*scored);
            }
            if (!fitting.empty()) one.scored = fitting[turns[taster % orders.size()]++ % fitting.size()];   // no place before the others
            seen.push_back(one);
        }
    return seen;
}

/// The first `k[spot]` tasters of n right at that spot, except that spot j begins counting at taster `shift * j`.
inline std::vector<std::vector<int>> first_right(std::size_t n, const std::vector<std::size_t>& k, std::size_t shift = 0) {
    std::vector<std::vector<int>> right(n, std::vector<int>(k.size(), 0));
    for (std::size_t spot = 0; spot < k.size(); ++spot)
        for (std::size_t i = 0; i < k[spot]; ++i) right[(i + shift * spot) % n][spot] = 1;
    return right;
}

}   // namespace oddplate::methods::testing
