#pragma once
// The steps of the draw, one file each. All tables are by ballot.

#include <cstddef>
#include <optional>
#include <vector>

#include "oddplate/core/bytes.hpp"
#include "oddplate/core/chance.hpp"
#include "oddplate/core/result.hpp"
#include "oddplate/draw/deal.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::draw {

/// A number as an index.
[[nodiscard]] constexpr std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

/// The sum of a code's digits modulo 10. Codes of one class are two digits apart: changing one digit alone changes the sum.
[[nodiscard]] int digit_class(int code);

/// The spots of this round that ballot `ballot` may get: all but the scarce ones that have run out, ascending.
[[nodiscard]] std::vector<int> available_spots(const methods::Plan& plan, const methods::Round& round, int ballot);

/// Which spots each ballot gets, ascending. Fault: more ways to choose than can be dealt evenly.
[[nodiscard]] core::Result<Table> choose_spots(const methods::Plan& plan, int round, core::ChanceStream& chance);

/// In which order each ballot gets its spots, through all passes (a pass = each of its spots once; there are passes() of
/// them).
[[nodiscard]] Table order_spots(const methods::Plan& plan, int round, const Table& chosen, core::ChanceStream& chance);

/// Which of a ballot's sets are blanks: the spots of `served`, a blank set's raised by `spots`, so that blank and other sets of one
/// spot have orders and pieces dealt apart. Each pass is blank equally often at a spot.
[[nodiscard]] Table mark_blanks(const methods::Round& round, Table served, core::ChanceStream& chance);

/// Sets each portion's piece in a key whose orders and versions are set.
void draw_pieces(const methods::Plan& plan, const Room& room, Key& key, const core::Bytes32& seed);

/// As draw_orders, where a ballot's `sittings` sets of a spot are one journey: orders of one journey follow one another in `orders`, and each ballot gets all
/// of one, in that order.
[[nodiscard]] Table draw_journeys(const Table& served, int spots, int planned, const std::vector<methods::Order>& orders, int sittings, const core::Bytes32& seed, int round);

[[nodiscard]] std::vector<TubRow> draw_tubs(const methods::Plan& plan, core::ChanceStream& chance);

[[nodiscard]] std::vector<Spread> measure_spreads(const methods::Plan& plan, const OrdersByRound& orders, const Drawn& drawn);
/// See Drawn::trays.
[[nodiscard]] std::optional<stats::DesignReport> measure_trays(const methods::Plan& plan, const OrdersByRound& orders, const Drawn& drawn);
/// See Drawn::beside_usual.
[[nodiscard]] std::optional<double> measure_beside_usual(const methods::Plan& plan, const OrdersByRound& orders, const Drawn& drawn);
/// See Drawn::balanced_at.
[[nodiscard]] std::optional<int> balanced_at(const methods::Plan& plan, const OrdersByRound& orders);

}   // namespace oddplate::draw
