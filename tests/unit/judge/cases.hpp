#pragma once
// Cases made by hand for the tests of judging: a small room with its key, and answers by what they mean.

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/core/words.hpp"
#include "oddplate/judge/judge.hpp"
#include "oddplate/methods/method.hpp"

namespace oddplate::judge::testing {

inline const methods::Method& method(std::string_view id) {
    const auto found = methods::find(id);
    REQUIRE(found.ok());
    return **found;
}

inline methods::Round round_of(std::string_view id, std::vector<std::string> spots = {""}) {
    methods::Round round;
    round.method = id;
    round.spots = std::move(spots);
    return round;
}

/// Rounds one after the other, spots in the plan's order; on ballot b the set of spot s has order (b + s) mod orders. Every code
/// is of one tray only.
inline Case case_of(int ballots, std::vector<methods::Round> rounds, int spares = 0) {
    Case made;
    made.plan.versions = {{"current", "current"}, {"new", "new"}};
    made.plan.tasters = ballots - spares;
    made.plan.spares = spares;
    made.plan.rounds = std::move(rounds);
    core::Faults faults;
    for (auto& round : made.plan.rounds) method(round.method).settle(method(round.method), round, made.plan, "", faults);
    for (const auto& fault : faults) FAIL(fault.line());
    int next_code = 100;
    for (int ballot = 0; ballot < ballots; ++ballot) {
        draw::RoomBallot room{.spare = ballot >= ballots - spares, .sets = {}};
        draw::KeyBallot key;
        for (std::size_t round = 0; round < made.plan.rounds.size(); ++round) {
            const methods::Round& asked = made.plan.rounds[round];
            const auto orders = method(asked.method).orders(asked, 2);
            for (std::size_t spot = 0; spot < asked.spots.size(); ++spot) {
                const std::size_t order = (static_cast<std::size_t>(ballot) + spot) % orders.size();
                draw::RoomSet set{.round = static_cast<int>(round), .spot = static_cast<int>(spot), .codes = {}, .reference = {}};
                draw::KeySet hidden{.order = static_cast<int>(order), .portions = {}, .reference = orders[order].reference};
                for (const int version : orders[order].versions) {
                    set.codes.push_back(std::to_string(next_code++));
                    hidden.portions.push_back({.version = version, .piece = 0});
                }
                room.sets.push_back(std::move(set));
                key.sets.push_back(std::move(hidden));
            }
        }
        made.room.ballots.push_back(std::move(room));
        made.key.ballots.push_back(std::move(key));
    }
    std::vector<std::string> rows;
    for (const auto& round : made.plan.rounds)
        for (const auto& spot : round.spots)
            if (std::find(rows.begin(), rows.end(), spot) == rows.end()) rows.push_back(spot);
    constexpr std::string_view k_letters = draw::k_tub_letters;
    for (std::size_t row = 0; row < rows.size(); ++row)
        made.key.tubs.push_back({rows[row], {std::string(1, k_letters[2 * row]), std::string(1, k_letters[2 * row + 1])}});
    made.tasters.resize(static_cast<std::size_t>(ballots));
    made.void_ballots.resize(static_cast<std::size_t>(ballots), false);
    made.told_beforehand.resize(static_cast<std::size_t>(ballots));
    return made;
}

inline std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

/// The code of a tray whose picking scores above 0 (right; for the new recipe), or not.
inline std::string code_for(const Case& made, int ballot, int set, bool high) {
    const draw::RoomSet& room = made.room.ballots[at(ballot)].sets[at(set)];
    const draw::KeySet& key = made.key.ballots[at(ballot)].sets[at(set)];
    const methods::Round& round = made.plan.rounds[at(room.round)];
    std::vector<int> versions;
    for (const auto& portion : key.portions) versions.push_back(portion.version);
    std::vector<std::string> fitting;   // taken in turn, so that no place is picked before the others
    for (const auto& code : room.codes) {
        const auto scored =
            method(round.method).score({room.codes, versions, key.reference}, methods::Codes{{code}}, round, made.plan);
        REQUIRE(scored.ok());
        if ((scored->value > 0) == high) fitting.push_back(code);
    }
    REQUIRE_FALSE(fitting.empty());
    return fitting[at(ballot) % fitting.size()];
}

inline void answer(Case& made, int ballot, int set, std::string text, bool late = false) {
    made.answers.push_back({ballot, set, std::move(text), late});
}
inline void answer_right(Case& made, int ballot, int set, bool right, bool late = false) {
    answer(made, ballot, set, code_for(made, ballot, set, right), late);
}

/// Ballots 0 .. n-1 answer the set; the first k of them right.
inline void answer_first(Case& made, int n, int k, int set) {
    for (int ballot = 0; ballot < n; ++ballot) answer_right(made, ballot, set, ballot < k);
}

inline Judged judged(const Case& made) {
    auto found = judge(made);
    INFO((found.ok() ? std::string() : found.faults()[0].line()));
    REQUIRE(found.ok());
    return std::move(*found);
}

inline double number(const methods::Findings& findings, std::string_view key) {
    const auto value = findings.number(key);
    INFO("key " << key);
    REQUIRE(value);
    return *value;
}

inline bool adds_up(const Tally& tally) {
    return tally.dealt == tally.counted + tally.blank + tally.void_ + tally.not_served + tally.missing + tally.insiders +
                              tally.opened + tally.late;
}

inline const methods::Check& check(const JudgedRound& round, std::string_view id) {
    const auto found = std::find_if(round.findings.checks.begin(), round.findings.checks.end(),
                                    [&](const methods::Check& one) { return one.id == id; });
    INFO("check " << id);
    REQUIRE(found != round.findings.checks.end());
    return *found;
}

inline const Variant* variant(const JudgedRound& round, std::string_view id) {
    const auto found =
        std::find_if(round.variants.begin(), round.variants.end(), [&](const Variant& one) { return one.id == id; });
    return found == round.variants.end() ? nullptr : &*found;
}

inline bool warns(const std::vector<std::string>& warnings, std::string_view code) {
    return std::find(warnings.begin(), warnings.end(), code) != warnings.end();
}

/// Everything that is said, as text; what cannot be said reads "[id]".
inline std::string said(const Case& made, const Judged& judgement) {
    core::Words words = core::Words::english();
    for (const auto& round : made.plan.rounds) words.add(method(round.method).phrases);
    std::string text;
    const auto say = [&](const core::Sentence& sentence) { text += words.text(sentence) + "\n"; };
    for (const auto& sentence : judgement.words) say(sentence);
    for (const auto& round : judgement.rounds) {
        for (const auto& sentence : round.findings.words) say(sentence);
        for (const auto& one : round.findings.checks) say(one.words);
        for (const auto& spot : round.findings.spots)
            for (const auto& sentence : spot.findings.words) say(sentence);
        for (const auto& sentence : round.findings.pooled.words) say(sentence);
    }
    return text;
}

}   // namespace oddplate::judge::testing
