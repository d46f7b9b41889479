// The draw of a plan: asks each round's method for its serving orders and deals.

#include "oddplate/draw/draw.hpp"

#include <algorithm>

#include "oddplate/draw/deal.hpp"

#include "small_trays.hpp"

namespace oddplate::draw {

bool draws_alike(int version, const methods::Plan& plan) {
    if (version < 1 || version >= k_draw_version) return version == k_draw_version;
    constexpr int k_first_sure_of_small_trays = 3;   // several sittings were dealt otherwise before this version, small trays before the third
    return std::none_of(plan.rounds.begin(), plan.rounds.end(), [&](const methods::Round& round) {
        if (version >= k_first_sure_of_small_trays) return round.sittings > 1;
        const auto method = methods::find(round.method);
        return method && are_small_trays((*method)->orders(round, static_cast<int>(plan.versions.size())));
    });
}

core::Result<Drawn> draw(const methods::Plan& plan, const core::Bytes32& seed) {
    OrdersByRound orders;
    for (const methods::Round& round : plan.rounds) {
        const core::Result<const methods::Method*> method = methods::find(round.method);
        if (!method) {
            return method.faults();
        }
        orders.push_back((*method)->orders(round, static_cast<int>(plan.versions.size())));
    }
    return deal(plan, orders, seed);
}

}   // namespace oddplate::draw
