// Told from the log alone, so that no report can leave out what was done.

#include "oddplate/report/conduct.hpp"

#include <algorithm>
#include <set>

#include "oddplate/tasting/evenings.hpp"
#include "oddplate/tasting/names.hpp"

namespace oddplate::report {
namespace {

using core::Sentence;

std::int64_t whole(std::size_t n) { return static_cast<std::int64_t>(n); }

/// How many evenings were held of those planned, and what the looks that the plan names took of alpha.
void say_evenings(const tasting::State& state, std::vector<Sentence>& said) {
    std::set<int> held;
    for (const auto& [place, answer] : state.answers) held.insert(state.plan.evening_at(place.first));
    said.push_back({"conduct.evenings", {{"held", whole(held.size())}, {"planned", whole(state.plan.evenings.size())}}});
    if (state.plan.looks.empty()) return;
    const double alpha = state.plan.rounds.front().alpha;
    said.push_back({"conduct.looks", {{"n", whole(state.plan.looks.size())}, {"of", alpha}, {"alpha", alpha * tasting::alpha_share(state)}}});
}

void say_draws(const tasting::State& state, std::vector<Sentence>& said) {
    said.push_back({"conduct.draws", {{"n", whole(state.draws.size())}}});
    if (!state.draw().guests.empty()) said.push_back({"conduct.guests", {}});
    if (state.draw().sealed) said.push_back({"conduct.sealed", {}});
    if (state.draw().seed_given) said.push_back({"conduct.seed", {}});
    if (state.host_numbers_dropped > 0) said.push_back({"conduct.host_numbers", {{"n", std::int64_t{state.host_numbers_dropped}}}});
    for (const auto& why : state.early_openings) said.push_back({"conduct.early", {{"why", why}}});
    if (!state.plan.evenings.empty()) say_evenings(state, said);
}

void say_slips(const tasting::State& state, std::vector<Sentence>& said) {
    const tasting::Reconciliation counts = tasting::reconcile(state);
    said.push_back({"close.ballots", {{"printed", std::int64_t{counts.printed}}, {"dealt", std::int64_t{counts.dealt}},
                                      {"left_over", std::int64_t{counts.left_over}}, {"spoiled", std::int64_t{counts.spoiled}}}});
    said.push_back({"close.trays", {{"sets_dealt", std::int64_t{counts.sets_dealt}}, {"answered", std::int64_t{counts.answered}},
                                    {"blank", std::int64_t{counts.blank}}, {"void", std::int64_t{counts.void_}},
                                    {"not_served", std::int64_t{counts.not_served}}, {"missing", std::int64_t{counts.missing}}}});
}

void say_withdrawal(const tasting::State& state, const tasting::WithdrawalMade& made, std::vector<Sentence>& said) {
    Sentence sentence{state.plan.evenings.empty() ? "conduct.withdrawn" : made.until ? "conduct.withdrawn.back" : "conduct.withdrawn.evening", {{"version", made.version}, {"why", made.why}}};
    if (!state.plan.evenings.empty()) sentence.args["evening"] = std::int64_t{made.from + 1};
    if (made.until) sentence.args.insert({{"back", std::int64_t{*made.until + 1}}, {"why_back", made.why_back}});
    said.push_back(std::move(sentence));
}

void say_mends(const tasting::State& state, std::vector<Sentence>& said) {
    for (const auto& tub : state.tubs)
        said.push_back({"conduct.tubs", {{"letter", tub.letter}, {"spot", tub.spot}, {"version", tub.version}, {"why", tub.why}}});
    for (const auto& spoiled : state.spoiled)
        said.push_back({"conduct.spoiled", {{"ballot", state.ballot_name(spoiled.ballot)}, {"why", spoiled.why}}});
    for (const auto& swap : state.swaps)
        said.push_back({"conduct.swapped", {{"a", state.ballot_name(swap.ballot_a)}, {"b", state.ballot_name(swap.ballot_b)},
                                            {"set", std::int64_t{swap.set + 1}}, {"why", swap.why}}});
    for (const auto& stop : state.stops) said.push_back({"conduct.stopped", {{"spot", stop.spot}, {"why", stop.why}}});
    for (const auto& made : state.withdrawals) say_withdrawal(state, made, said);
    for (const auto& reveal : state.reveals)
        said.push_back({"conduct.revealed", {{"ballot", state.ballot_name(reveal.ballot)}, {"code", reveal.code}, {"why", reveal.why}}});
}

}   // namespace

std::vector<Sentence> about_the_whole(const judge::Judged& judged) {
    std::vector<Sentence> rest;
    for (const auto& sentence : judged.words) {
        const auto& first = judged.rounds.front().findings.words;
        if (std::find(first.begin(), first.end(), sentence) == first.end()) rest.push_back(sentence);
    }
    return rest;
}

std::vector<Sentence> conduct_of(const tasting::State& state, const std::vector<tasting::Earlier>& earlier, const core::Words& words) {
    std::vector<Sentence> said;
    say_draws(state, said);
    say_slips(state, said);
    say_mends(state, said);
    for (const auto& each : earlier) {
        const std::string verdict = each.verdict.empty() ? words.text("conduct.no_verdict") : words.text("verdict." + each.verdict);
        said.push_back({"conduct.earlier", {{"name", tasting::two_words(each.id)}, {"id", each.id}, {"verdict", verdict}}});
    }
    return said;
}

}   // namespace oddplate::report
