#pragma once
// The draw's inner door: the same draw for serving orders that are given, and the dealing of codes by itself.

#include <vector>

#include "oddplate/core/bytes.hpp"
#include "oddplate/core/chance.hpp"
#include "oddplate/core/result.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::draw {

/// The serving orders of each round, as its method answers them. No round is without one; all orders of a round have equally many
/// portions, and versions are indices into the plan's.
using OrdersByRound = std::vector<std::vector<methods::Order>>;

using Table = std::vector<std::vector<int>>;   ///< by ballot and place

/// The serving order (index into `orders`) of each set in `served`, which holds the spot of every set of a round by ballot, in the
/// order served; ballots from `planned` on are spare. The draw's own law: another seed gives the orders of another draw for the same trays.
[[nodiscard]] Table draw_orders(const Table& served, int spots, int planned, const std::vector<methods::Order>& orders,
                                const core::Bytes32& seed, int round);

/// What draw() does once it has asked the methods. Same faults.
[[nodiscard]] core::Result<Drawn> deal(const methods::Plan& plan, const OrdersByRound& orders, const core::Bytes32& seed);

/// Whether two three-digit codes differ in two places or three.
[[nodiscard]] bool two_digits_apart(int a, int b);

/// Codes for ballots that need `how_many[b]` each, place by place. Any two on one ballot are two digits apart. No code is dealt
/// twice while some have not been dealt at all (as long as an exchange with an earlier ballot can make room for them); after that
/// the code that lay longest comes first. No entry may be above most_codes_on_a_ballot(). What lies at the places is not known
/// here, so codes cannot tell it.
[[nodiscard]] std::vector<std::vector<int>> deal_codes(const std::vector<int>& how_many, core::ChanceStream& chance);

}   // namespace oddplate::draw
