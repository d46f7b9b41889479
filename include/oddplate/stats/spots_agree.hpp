#pragma once
// How often a panel's spots are not found to differ, when there is nothing to find: what the guard of a pooled "few enough" costs.

#include <cstdint>
#include <span>

namespace oddplate::stats {

/// A pooled count of people who were at every one of `spots` spots, `sets` sets each.
struct PooledPanel {
    std::int64_t people{0};   ///< 1 or more
    int spots{2};             ///< 2 or more
    int sets{1};              ///< at each spot, 1 or more
};

/// P(spots_differ finds p > alpha | low <= right answers <= high), where the spots are alike and a person gets k of all his sets
/// right with probability totals[k] (spots x sets + 1 of them). Given each person's total his right answers fall on his sets at
/// random, so the permutation test's true size is known: with two spots and a set each from the binomial of those who were
/// right at one spot only (McNemar), summed over how many they are; else averaged over 32 seeded panels, while the exact law of one takes
/// fewer than 5e4 steps (a few tens of people). Beyond that the answer is 1 - alpha, which no panel goes below; there the true chance is
/// above it by less than .005. 1 where the range is empty.
[[nodiscard]] double chance_spots_agree(const PooledPanel& panel, std::span<const double> totals, std::int64_t low, std::int64_t high,
                                        double alpha);

}   // namespace oddplate::stats
