// Made up for the acid test: votes, with ties always allowed, and an analysis of its own.

#include <algorithm>
#include <array>

#include "oddplate/methods/method.hpp"
#include "oddplate/stats/preference.hpp"

namespace oddplate::methods {
namespace {

constexpr core::Phrase k_phrases[] = {
    {"finish-first.title", "Finished first"},
    {"finish-first.asks", "Which plate empties first?"},
    {"finish-first.look", "Two portions."},
    {"finish-first.how", "Go from left to right."},
    {"finish-first.ask", "Ring the one you would finish first."},
    {"finish-first.kind", "There is no right answer."},
    {"finish-first.comment", "Anything to say?"},
    {"finish-first.before", "Did anything tell you beforehand?"},
    {"finish-first.verdict", "{a} finished the usual one first, {b} the other; {ties} could not choose."},
};

std::vector<Order> orders(const Round&, int) {
    return {{{0, 1}, -1, 0}, {{1, 0}, -1, 1}};
}

core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round&, const Plan&) {
    if (const auto* mark = std::get_if<Mark>(&answer); mark != nullptr && *mark == Mark::none) return Scored{};
    if (const auto* given = std::get_if<Codes>(&answer); given != nullptr && given->codes.size() == 1)
        for (std::size_t i = 0; i < key.codes.size(); ++i)
            if (key.codes[i] == given->codes[0])
                return Scored{.value = key.versions[i] == 1 ? 1.0 : -1.0, .picked = static_cast<int>(i)};
    return core::found({}, "another answer", expectation(OneCode{}, true, key.codes));
}

Findings weighed(std::span<const Observation> observations, std::int32_t spot) {
    std::array<std::int64_t, 3> votes{};   // usual, could not choose, other
    for (const Observation& seen : observations)
        if (spot < 0 || seen.spot == spot) ++votes[static_cast<std::size_t>(seen.scored.value + 1)];
    Findings findings;
    const double p = stats::preference_p(votes[0], votes[2]);
    findings.verdict = p <= 0.05 ? (votes[2] > votes[0] ? "other-first" : "usual-first") : "no-order";
    findings.add("usual", Value{votes[0]});
    findings.add("other", Value{votes[2]});
    findings.add("ties", Value{votes[1]});
    findings.add("p_value", Value{p});
    findings.words.push_back({"finish-first.verdict", {{"a", votes[0]}, {"b", votes[2]}, {"ties", votes[1]}}});
    return findings;
}

RoundFindings analyse(const Method&, std::span<const Observation> observations, const Round& round, const Plan&) {
    RoundFindings found;
    for (std::size_t j = 0; j < round.spots.size(); ++j)
        found.spots.push_back({round.spots[j], weighed(observations, static_cast<std::int32_t>(j))});
    found.pooled = weighed(observations, -1);
    found.heterogeneity_why = "not asked";
    found.verdict = found.pooled.verdict;
    found.words = found.pooled.words;
    return found;
}

constexpr Source k_sources[] = {{"made up"}};

}   // namespace

extern const Method finish_first{
    .id = "finish-first",
    .phrases = k_phrases,
    .scale = Scale::votes,
    .portions = 2,
    .shape = one_code,
    .orders = orders,
    .round_settings = {},
    .settle = [](const Method&, Round&, const Plan&, const std::string&, core::Faults&) {},
    .may_abstain = [](const Round&) { return true; },
    .score = score,
    .analyse = analyse,
    .claims_difference = [](std::string_view verdict) { return verdict != "no-order"; },
    .outlook = [](const Method&, const Round&, const Plan&) { return Outlook{}; },
    .count_settings = {},
    .size_settings = {},
    .sources = k_sources,
    .examples = {},
};

}   // namespace oddplate::methods
