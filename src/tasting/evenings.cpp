#include "oddplate/tasting/evenings.hpp"

#include <algorithm>
#include <optional>
#include <set>

#include "oddplate/core/text.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/tasting/outcome.hpp"

namespace oddplate::tasting {
namespace {

/// From a ballot's place in the whole to its place in the part; nothing where it belongs to another evening.
class Places {
public:
    Places(const std::vector<int>& ballots, std::size_t all) : m_place(all) {
        for (std::size_t i = 0; i < ballots.size(); ++i) m_place[static_cast<std::size_t>(ballots[i])] = static_cast<int>(i);
    }
    [[nodiscard]] std::optional<int> of(int ballot) const { return m_place[static_cast<std::size_t>(ballot)]; }

    template <class Value>
    void keep(std::map<int, Value>& map) const {
        std::map<int, Value> kept;
        for (auto& [ballot, value] : map)
            if (const auto place = of(ballot)) kept.emplace(*place, std::move(value));
        map = std::move(kept);
    }
    /// Things that name a ballot in a member.
    template <class Thing, class Member>
    void keep(std::vector<Thing>& things, Member member) const {
        std::vector<Thing> kept;
        for (Thing& thing : things)
            if (const auto place = of(thing.*member)) {
                thing.*member = *place;
                kept.push_back(std::move(thing));
            }
        things = std::move(kept);
    }

private:
    std::vector<std::optional<int>> m_place;
};

}   // namespace

Part part_of(const State& state, int evening) {
    Part part{.state = state, .ballots = state.plan.ballots_at(evening)};
    if (state.plan.evenings.empty()) return part;
    State& own = part.state;
    own.evenings_over.clear();
    own.looks.clear();
    own.plan.looks.clear();
    own.plan.tasters = state.plan.evenings[static_cast<std::size_t>(evening)].tasters;
    own.plan.spares = state.plan.spares_at(evening);
    own.plan.evenings = {state.plan.evenings[static_cast<std::size_t>(evening)]};
    own.plan.evening = evening + 1;
    if (state.is_over(evening)) own.stage = Stage::closed;
    std::erase_if(own.withdrawals, [&](const WithdrawalMade& made) { return !made.is_off(evening); });
    for (WithdrawalMade& made : own.withdrawals) made = {.version = made.version, .why = made.why};
    if (state.draws.empty()) return part;

    const Places places(part.ballots, state.room.ballots.size());
    own.room.ballots.clear();
    for (const int ballot : part.ballots) own.room.ballots.push_back(state.room.ballots[static_cast<std::size_t>(ballot)]);
    own.answers.clear();
    for (const auto& [place, answer] : state.answers)
        if (const auto ballot = places.of(place.first)) own.answers.emplace(std::pair(*ballot, place.second), answer);
    places.keep(own.tasters);
    places.keep(own.told);
    places.keep(own.told_what);
    places.keep(own.heard_of);
    places.keep(own.differences, &Difference::ballot);
    places.keep(own.spoiled, &Spoiled::ballot);
    places.keep(own.reveals, &RevealMade::ballot);
    own.handed.clear();
    for (const int ballot : state.handed)
        if (const auto place = places.of(ballot)) own.handed.push_back(*place);
    own.ran_out.reset();
    if (state.ran_out) {
        own.ran_out.emplace();
        for (const auto& [place, count] : *state.ran_out)
            if (const auto ballot = places.of(place.first)) own.ran_out->emplace(std::pair(*ballot, place.second), count);
    }
    own.swaps.clear();   // trays of two evenings are never swapped
    for (const SwapMade& swap : state.swaps)
        if (const auto a = places.of(swap.ballot_a), b = places.of(swap.ballot_b); a && b) own.swaps.push_back({*a, *b, swap.set, swap.why});
    return part;
}

draw::Key key_part(const draw::Key& key, const std::vector<int>& ballots) {
    draw::Key part{.ballots = {}, .tubs = key.tubs};
    for (const int ballot : ballots) part.ballots.push_back(key.ballots[static_cast<std::size_t>(ballot)]);
    return part;
}

std::string ballot_typed(const State& state, const std::string& text) {
    const bool bare = !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
    return state.plan.evenings.empty() || !bare ? text : std::to_string(state.tonight() + 1) + "-" + text;
}

std::string held_on(const State& state) {
    std::set<int> held;
    for (const auto& [place, answer] : state.answers) held.insert(state.plan.evening_at(place.first));
    std::vector<std::string> dates;
    for (const int evening : held)
        if (!state.plan.evenings.empty() && !state.plan.evenings[static_cast<std::size_t>(evening)].date.empty()) dates.push_back(state.plan.evenings[static_cast<std::size_t>(evening)].date);
    return dates.empty() ? state.closed_at.substr(0, 10) : core::joined(dates, ", ");
}

core::Result<bool> may_end(State& state, KeyPaper& paper, int evening) {
    const auto method = methods::find(state.plan.rounds.front().method);
    if (!method) return method.faults();
    state.looks[evening] = true;   // judged as it would be if it ended here
    const auto outcome = outcome_of(state, paper);
    state.looks.erase(evening);
    if (!outcome) return outcome.faults();
    return outcome->at_close.verdict != (*method)->verdicts.back();   // the last is the one that settles nothing
}

double alpha_share(const State& state) {
    int last = -1;   // the last evening at which somebody tasted
    for (const auto& [place, answer] : state.answers) last = std::max(last, state.plan.evening_at(place.first));
    const auto look = state.looks.find(last);
    if (look != state.looks.end() && look->second) return methods::k_look_share;
    return state.plan.alpha_left();
}

}   // namespace oddplate::tasting
