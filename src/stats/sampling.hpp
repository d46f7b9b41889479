#pragma once
// Random draws for permutation tests.

#include <cstdint>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/p_value.hpp"

namespace oddplate::stats {

/// X ~ Binomial(n, p): inversion from the mode outward, about one standard deviation of steps.
[[nodiscard]] std::int64_t binomial_draw(core::PhiloxStream& stream, std::int64_t n, double p);

/// X ~ hypergeometric (marked ones among `drawn` of `total`), in the same way.
[[nodiscard]] std::int64_t hypergeometric_draw(core::PhiloxStream& stream, std::int64_t total, std::int64_t marked,
                                               std::int64_t drawn);

/// Permutations that fit a budget of 5e6 random words (some 50 ms): 9,999, fewer for dear ones, at least 999.
[[nodiscard]] std::int64_t draws_within_budget(double cost_of_one);

/// (1 + hits)/(1 + draws) and its standard error: the observed arrangement is one of the permutations (Phipson & Smyth 2010).
[[nodiscard]] PValue monte_carlo_p(std::int64_t hits, std::int64_t draws);
/// The p-value where drawing stops at a fixed number of hits: hits / draws, which is valid too (Besag & Clifford 1991, Biometrika 78:301-304), with
/// its standard error. A large p then costs few draws, a small one as many as before.
[[nodiscard]] PValue stopped_early_p(std::int64_t hits, std::int64_t draws);

}   // namespace oddplate::stats
