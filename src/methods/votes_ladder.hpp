#pragma once
// A ladder: the same pair again and again, the new one with more and more of something. From which level on do people rather have the usual one?

#include "oddplate/methods/method.hpp"

namespace oddplate::methods::votes {

/// A table with the columns taster, level (a number) and for (new, current or none).
[[nodiscard]] bool holds_levels(const PlainTable& table);

/// `rejection` with its limits, `first_rejected` (the lowest level shown), `steps`, `slope`, `fit`.
[[nodiscard]] core::Result<Findings> weigh_ladder(const Method& method, const PlainTable& table, const Settings& settings);

}   // namespace oddplate::methods::votes
