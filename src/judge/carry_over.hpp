#pragma once
// What lay on the tongue before each tray.

#include <vector>

#include "checks.hpp"

namespace oddplate::judge {

enum class Before { nothing, weaker, stronger };

/// The recipe that numbs: the saltier one where the plan says how salty they are, else the one that the round takes for the stronger.
[[nodiscard]] int stronger_version(const methods::Plan& plan, const methods::Round& round);
/// For each counted set the last portion of the tray before it on the same ballot, whatever round it was of; nothing on a first tray and after one that
/// was not eaten.
[[nodiscard]] std::vector<Before> before_each(const CheckedRound& checked);

}   // namespace oddplate::judge
