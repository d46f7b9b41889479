#include "oddplate/tasting/seating.hpp"

#include <algorithm>

#include "oddplate/methods/method.hpp"

namespace oddplate::tasting {
namespace {

core::Error at_odds(const State& state, const char* what) {
    return core::fault(core::ErrorKind::check_failed, "at-odds", std::string(what) + " of " + state.id + ": one of them was changed after it was written");
}

bool is_below(int index, std::size_t size) { return index >= 0 && static_cast<std::size_t>(index) < size; }

bool is_of_plan(const draw::RoomSet& set, const methods::Plan& plan) {
    return is_below(set.round, plan.rounds.size()) && is_below(set.spot, plan.rounds[static_cast<std::size_t>(set.round)].spots.size()) && !set.codes.empty();
}

bool is_of_plan(const draw::Room& room, const methods::Plan& plan) {
    return room.ballots.size() == static_cast<std::size_t>(plan.ballots()) && std::all_of(room.ballots.begin(), room.ballots.end(), [&](const draw::RoomBallot& ballot) {
        return std::all_of(ballot.sets.begin(), ballot.sets.end(), [&](const draw::RoomSet& set) { return is_of_plan(set, plan); });
    });
}

/// The set at a place that the log names, or nullptr. (The ballots in it were checked when it was folded.)
const draw::RoomSet* set_at(const draw::Room& room, int ballot, int set) {
    const auto& sets = room.ballots.at(static_cast<std::size_t>(ballot)).sets;
    return is_below(set, sets.size()) ? &sets[static_cast<std::size_t>(set)] : nullptr;
}

bool are_of_room(const State& state) {
    const draw::Room& room = state.room;
    const auto swapped = [&](const SwapMade& swap) {
        const draw::RoomSet *a = set_at(room, swap.ballot_a, swap.set), *b = set_at(room, swap.ballot_b, swap.set);
        return a != nullptr && b != nullptr && a->round == b->round;
    };
    return std::all_of(state.answers.begin(), state.answers.end(), [&](const auto& each) { return set_at(room, each.first.first, each.first.second) != nullptr; }) &&
           std::all_of(state.swaps.begin(), state.swaps.end(), swapped) &&
           std::all_of(state.reveals.begin(), state.reveals.end(), [&](const RevealMade& reveal) { return set_at(room, reveal.ballot, reveal.set) != nullptr; });
}

using OrdersByRound = std::vector<std::vector<methods::Order>>;

bool is_of_set(const draw::KeySet& key, const draw::RoomSet& room, const methods::Plan& plan, const OrdersByRound& orders) {
    const auto& of_round = orders[static_cast<std::size_t>(room.round)];
    if (!is_below(key.order, of_round.size()) || key.portions.size() != room.codes.size()) return false;
    if (of_round[static_cast<std::size_t>(key.order)].versions.size() != key.portions.size()) return false;
    if (room.reference.empty() != (key.reference < 0)) return false;
    const auto is_role = [&](int role) { return role >= -1 && role < static_cast<int>(plan.versions.size()); };
    if (!is_role(key.reference_role) || !std::all_of(key.portions.begin(), key.portions.end(), [&](const draw::KeyPortion& portion) { return is_role(portion.role); })) return false;
    const auto is_piece = [&](int version, int piece) { return is_below(version, plan.versions.size()) && is_below(piece, static_cast<std::size_t>(plan.pieces)); };
    return (key.reference < 0 || is_piece(key.reference, key.reference_piece)) &&
           std::all_of(key.portions.begin(), key.portions.end(), [&](const draw::KeyPortion& portion) { return is_piece(portion.version, portion.piece); });
}

bool is_of_room(const draw::Key& key, const State& state, const OrdersByRound& orders) {
    if (key.ballots.size() != state.room.ballots.size()) return false;
    for (std::size_t b = 0; b < key.ballots.size(); ++b) {
        const auto &hidden = key.ballots[b].sets;
        const auto &shown = state.room.ballots[b].sets;
        if (!std::equal(hidden.begin(), hidden.end(), shown.begin(), shown.end(),
                        [&](const draw::KeySet& one, const draw::RoomSet& other) { return is_of_set(one, other, state.plan, orders); }))
            return false;
    }
    return true;
}

bool are_of_plan(const std::vector<draw::TubRow>& tubs, const State& state) {
    const auto row_of = [&](const std::string& spot) {
        return std::find_if(tubs.begin(), tubs.end(), [&](const draw::TubRow& row) { return row.spot == spot; });
    };
    for (const draw::TubRow& row : tubs)
        if (row.letters.size() != state.plan.versions.size()) return false;
    for (const methods::Round& round : state.plan.rounds)
        for (const std::string& spot : round.spots)
            if (row_of(spot) == tubs.end()) return false;
    return std::all_of(state.tubs.begin(), state.tubs.end(), [&](const TubFound& found) {
        const auto row = row_of(found.spot);
        return row != tubs.end() && std::find(row->letters.begin(), row->letters.end(), found.letter) != row->letters.end();
    });
}

}   // namespace

core::Status seat(State& state, const std::string& room_text) {
    auto room = room_from_text(room_text);
    if (!room) return room.faults();
    if (!is_of_plan(*room, state.plan)) return at_odds(state, "the ballots don't fit the plan");
    state.room = std::move(*room);
    if (!are_of_room(state)) return at_odds(state, "the log names a set that is not on the ballots");
    return core::Done{};
}

core::Result<KeyPaper> key_of(const State& state, const std::string& key_text) {
    auto paper = key_from_text(key_text);
    if (!paper) return paper.faults();
    OrdersByRound orders;
    for (const methods::Round& round : state.plan.rounds) {
        const auto method = methods::find(round.method);
        if (!method) return method.faults();
        orders.push_back((*method)->orders(round, static_cast<int>(state.plan.versions.size())));
    }
    if (!is_of_room(paper->key, state, orders)) return at_odds(state, "the list of codes doesn't fit the ballots");
    if (!are_of_plan(paper->key.tubs, state)) return at_odds(state, "the list of codes doesn't have the tubs of the plan and the log");
    return paper;
}

}   // namespace oddplate::tasting
