#pragma once
// Tests that hold whatever habit tasters have of taking one serving position, given how often each order was served.

#include <array>
#include <cstdint>

#include "oddplate/stats/p_value.hpp"

namespace oddplate::stats {

/// Two portions, two orders. `new_first`: that many tasters had the new (or stronger) one first, and `chose_first` of them picked
/// the portion served first; likewise for those who had the current one first.
struct TwoOrders {
    std::int64_t new_first{0};
    std::int64_t new_first_chose_first{0};
    std::int64_t current_first{0};
    std::int64_t current_first_chose_first{0};
};

struct OrderP {
    double more_for_new{1.0};       ///< one-sided: the new one picked more often than position explains
    double more_for_current{1.0};   ///< one-sided the other way
    double two_sided{1.0};          ///< min(1, twice the smaller)
};

/// When the recipes do not differ, everyone picks the first served with one unknown probability, whatever it is. Given how many
/// did in all, the number who did among those with the new one first is hypergeometric, free of that probability: Fisher's exact
/// test on order x picked position. Source: Gart (1969), "An exact test for comparing matched proportions in crossover designs",
/// Biometrika 56:75; Fisher (1935). With equal order counts and no habit it loses a little to the plain test, with a habit it
/// stays exact.
[[nodiscard]] OrderP order_conditional_p(const TwoOrders& counts);

/// Three portions, one odd (or a right one among up to three places). `odd_at[j]` tasters had it at place j, `picked[j]` tasters
/// picked place j; the sums are equal. p = P(correct or more) when the places of the odd portion are dealt at random over the
/// tasters, given both counts: each taster's pick is then fixed by habit alone. The number of right answers is the diagonal of a
/// 3 x 3 table with fixed margins. Exact by summing the table's law (terms below 1e-18 of their row's largest left out) while
/// that takes fewer than 2e5 tails (some 300 tasters), else 9,999 seeded tables. Source: randomisation test, Fisher (1935)
/// section 21; derivation here.
[[nodiscard]] PValue order_conditional_triangle_p(const std::array<std::int64_t, 3>& odd_at,
                                                  const std::array<std::int64_t, 3>& picked, std::int64_t correct,
                                                  std::uint64_t seed);

}   // namespace oddplate::stats
