// Counting slips as votes are counted: what was printed, dealt, answered, left blank, voided, not served and is missing must add up.

#include <algorithm>
#include <set>

#include "oddplate/tasting/keeper.hpp"

namespace oddplate::tasting {
namespace {

// A ballot counts as dealt when it was handed out, or when anything of it was answered.
std::set<int> dealt_ballots(const State& state) {
    std::set<int> dealt(state.handed.begin(), state.handed.end());
    for (const auto& [place, kept] : state.answers) dealt.insert(place.first);
    for (const auto& [ballot, told] : state.told) dealt.insert(ballot);
    for (const auto& spoiled : state.spoiled) dealt.insert(spoiled.ballot);
    return dealt;
}

void count_set(const State& state, int ballot, int set, Reconciliation& out) {
    const auto& served = state.room.ballots[static_cast<std::size_t>(ballot)].sets[static_cast<std::size_t>(set)];
    const std::string& spot = state.plan.rounds[static_cast<std::size_t>(served.round)].spots[static_cast<std::size_t>(served.spot)];
    ++out.sets_dealt;
    const auto kept = state.answers.find({ballot, set});
    if (kept == state.answers.end()) {
        if (state.is_stopped(spot)) {
            ++out.not_served;
        } else {
            ++out.missing;
            if (out.missing_sets.size() < 20) out.missing_sets.push_back(state.ballot_name(ballot) + "/" + std::to_string(set + 1));
        }
        return;
    }
    const std::string& text = kept->second.text;
    if (text == "blank") ++out.blank;
    else if (text == "void") ++out.void_;
    else if (text == "not-served") ++out.not_served;
    else ++out.answered;
}

}   // namespace

Reconciliation reconcile(const State& state) {
    Reconciliation out;
    out.printed = static_cast<int>(state.room.ballots.size());
    const std::set<int> dealt = dealt_ballots(state);
    out.dealt = static_cast<int>(dealt.size());
    out.left_over = out.printed - out.dealt;
    for (const int ballot : dealt) {
        if (state.is_spoiled(ballot)) {
            ++out.spoiled;
            continue;
        }
        const int sets = static_cast<int>(state.room.ballots[static_cast<std::size_t>(ballot)].sets.size());
        for (int set = 0; set < sets; ++set) count_set(state, ballot, set, out);
    }
    return out;
}

}   // namespace oddplate::tasting
