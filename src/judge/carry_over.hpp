#pragma once
// What lay on the tongue before each tray.

#include <optional>
#include <vector>

#include "checks.hpp"

namespace oddplate::judge {

/// The recipe that numbs: the saltier one where the plan says how salty they are, else the one that the round says has more; nothing where
/// neither is said.
[[nodiscard]] std::optional<int> stronger_version(const methods::Plan& plan, const methods::Round& round);
/// For each counted set the version of the last portion of the tray before it on the same ballot, whatever round it was of; -1 on a first tray and
/// after one that was not eaten.
[[nodiscard]] std::vector<int> before_each(const CheckedRound& checked);

}   // namespace oddplate::judge
