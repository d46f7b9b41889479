// The draw as a whole: spots, then their order, then the serving orders, codes, pieces and tubs. Every step has its own stream of
// chance (core::Purpose), so that none shifts another. Codes are dealt knowing only how many portions lie on each ballot.

#include "oddplate/draw/deal.hpp"

#include <algorithm>
#include <cstdlib>
#include <numeric>
#include <string>
#include <utility>

#include "parts.hpp"

namespace oddplate::draw {
namespace {

using core::ChanceStream;
using core::Purpose;

constexpr std::string_view k_reference_mark = "R";

core::Error too_many_codes(int portions) {
    return core::found("/rounds", std::to_string(portions) + " coded portions on one ballot",
                       "at most " + std::to_string(most_codes_on_a_ballot()),
                       "so many codes can be two digits apart from each other", "too-many-codes");
}

// One round's sets on all ballots, still without codes.
core::Status add_round(const methods::Plan& plan, int round, const std::vector<methods::Order>& orders, const core::Bytes32& seed,
                       Drawn& drawn) {
    const methods::Round& asked = plan.rounds[static_cast<std::size_t>(round)];
    const auto lane = static_cast<std::uint64_t>(round);
    ChanceStream choice(seed, Purpose::spot_choice, lane);
    const core::Result<Table> chosen = choose_spots(plan, round, choice);
    if (!chosen) {
        return chosen.faults();
    }
    ChanceStream spot_orders(seed, Purpose::spot_orders, lane);
    ChanceStream blanks(seed, Purpose::blanks, lane);
    const Table served = mark_blanks(asked, order_spots(plan, round, *chosen, spot_orders), blanks);
    const int spots = static_cast<int>(asked.spots.size());
    const Table drawn_orders = asked.sittings > 1 ? draw_journeys(served, spots, plan.tasters, orders, asked.sittings, seed, round)
                                                   : draw_orders(served, asked.blank_sets > 0 ? 2 * spots : spots, plan.tasters, orders, seed, round);
    for (std::size_t ballot = 0; ballot < served.size(); ++ballot) {
        for (std::size_t place = 0; place < served[ballot].size(); ++place) {
            const int index = drawn_orders[ballot][place];
            const methods::Order& order = orders[static_cast<std::size_t>(index)];
            RoomSet shown{round, served[ballot][place] % spots, std::vector<std::string>(order.versions.size()), {}};
            const bool is_blank = served[ballot][place] >= spots;
            KeySet hidden{.order = index, .portions = {}, .reference = order.reference};
            for (const int version : order.versions) {
                hidden.portions.push_back(is_blank ? KeyPortion{.version = 0, .role = version} : KeyPortion{.version = version});
            }
            if (is_blank && order.reference >= 0) {
                hidden.reference_role = std::exchange(hidden.reference, 0);
            }
            if (order.reference >= 0) {
                shown.reference = k_reference_mark;
            }
            drawn.room.ballots[ballot].sets.push_back(std::move(shown));
            drawn.key.ballots[ballot].sets.push_back(std::move(hidden));
        }
    }
    return core::Done{};
}

std::vector<int> portions_by_ballot(const Room& room) {
    std::vector<int> portions;
    for (const RoomBallot& ballot : room.ballots) {
        portions.push_back(std::accumulate(ballot.sets.begin(), ballot.sets.end(), 0,
                                           [](int sum, const RoomSet& set) { return sum + static_cast<int>(set.codes.size()); }));
    }
    return portions;
}

void write_codes(const std::vector<std::vector<int>>& codes, Room& room) {
    for (std::size_t ballot = 0; ballot < codes.size(); ++ballot) {
        auto next = codes[ballot].begin();
        for (RoomSet& set : room.ballots[ballot].sets) {
            for (std::string& code : set.codes) {
                code = std::to_string(*next++);
            }
        }
    }
}

int dealt_again(const std::vector<std::vector<int>>& codes) {
    std::vector<int> times(1000, 0);
    for (const std::vector<int>& ballot : codes) {
        for (const int code : ballot) {
            ++times[static_cast<std::size_t>(code)];
        }
    }
    return std::accumulate(times.begin(), times.end(), 0, [](int sum, int of_code) { return of_code > 1 ? sum + of_code : sum; });
}

}   // namespace

core::Result<Drawn> deal(const methods::Plan& plan, const OrdersByRound& orders, const core::Bytes32& seed) {
    Drawn drawn;
    for (int ballot = 0; ballot < plan.ballots(); ++ballot) {
        drawn.room.ballots.push_back({ballot >= plan.tasters, {}});
    }
    drawn.key.ballots.resize(drawn.room.ballots.size());
    for (std::size_t round = 0; round < plan.rounds.size(); ++round) {
        if (orders[round].empty()) {
            std::abort();   // every method has a serving order
        }
        if (const core::Status added = add_round(plan, static_cast<int>(round), orders[round], seed, drawn); !added) {
            return added.faults();
        }
    }
    const std::vector<int> portions = portions_by_ballot(drawn.room);
    const int most = portions.empty() ? 0 : *std::max_element(portions.begin(), portions.end());
    if (most > most_codes_on_a_ballot()) {
        return too_many_codes(most);
    }
    ChanceStream code_chance(seed, Purpose::codes, 0);
    const std::vector<std::vector<int>> codes = deal_codes(portions, code_chance);
    write_codes(codes, drawn.room);
    drawn.codes_dealt_again = dealt_again(codes);
    draw_pieces(plan, drawn.room, drawn.key, seed);
    ChanceStream tub_chance(seed, Purpose::tubs, 0);
    drawn.key.tubs = draw_tubs(plan, tub_chance);
    drawn.spreads = measure_spreads(plan, orders, drawn);
    drawn.trays = measure_trays(plan, orders, drawn);
    drawn.beside_usual = measure_beside_usual(plan, orders, drawn);
    drawn.balanced_at = balanced_at(plan, orders);
    return drawn;
}

}   // namespace oddplate::draw
