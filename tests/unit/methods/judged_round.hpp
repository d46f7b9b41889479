#pragma once
// Right answers judged as a round, for the tests of rules and guards.

#include "unit/methods/support.hpp"

namespace oddplate::methods::testing {

using Right = std::vector<std::vector<int>>;

inline RoundFindings judged(std::string_view id, const Plan& plan, const Right& right) {
    const auto seen = observations(method(id), plan, right);
    RoundFindings found = method(id).analyse(method(id), seen, plan.rounds[0], plan);
    CHECK(method(id).verdict(method(id), seen, plan.rounds[0], plan) == found.verdict);   // what simulations ask
    return found;
}

inline Plan with_rule(Plan plan, DecideOn rule) {
    plan.rounds[0].decide_on = rule;
    return plan;
}

}   // namespace oddplate::methods::testing
