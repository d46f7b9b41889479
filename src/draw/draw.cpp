// The draw of a plan: asks each round's method for its serving orders and deals.

#include "oddplate/draw/draw.hpp"

#include "oddplate/draw/deal.hpp"

namespace oddplate::draw {

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
