#pragma once
// Several groups of people, a row of numbers each: do the groups differ in any of them?

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "oddplate/stats/p_value.hpp"

namespace oddplate::stats {

struct GroupedRow {
    int group{0};
    std::vector<double> values;   ///< one a column, all rows as many; NaN where there is none
};

/// P that a random choice of who is in which group, sizes kept, puts the groups as far apart: 9,999 seeded exchanges of whole rows. Statistic: over the columns
/// the sum of squares between groups as a share of that about the column's mean (the F of an analysis of variance orders alike; Fisher 1935, The Design of
/// Experiments, section 21; Manly 2007, Randomization, Bootstrap and Monte Carlo Methods in Biology, ch. 7). Groups from 0. None where fewer than two groups have
/// a row or nothing varies.
[[nodiscard]] std::optional<PValue> several_groups_p(std::span<const GroupedRow> rows, std::uint64_t seed);

}   // namespace oddplate::stats
