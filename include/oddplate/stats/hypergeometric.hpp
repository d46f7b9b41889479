#pragma once
// Draws without replacement.

#include <cstdint>

namespace oddplate::stats {

/// log n!, n 0 or more; within 1e-15 relative.
[[nodiscard]] double log_factorial(std::int64_t n);
/// log of n choose k; 0 <= k <= n.
[[nodiscard]] double log_choose(std::int64_t n, std::int64_t k);

/// X marked ones among `drawn` taken from `total` of which `marked` are marked. P(X = k), P(X >= k), P(X <= k); tails are summed outward
/// from k by ratios, as the binomial's. Source: Fisher (1935).
[[nodiscard]] double hypergeometric_pmf(std::int64_t k, std::int64_t total, std::int64_t marked, std::int64_t drawn);
[[nodiscard]] double hypergeometric_upper(std::int64_t k, std::int64_t total, std::int64_t marked, std::int64_t drawn);
[[nodiscard]] double hypergeometric_lower(std::int64_t k, std::int64_t total, std::int64_t marked, std::int64_t drawn);

}   // namespace oddplate::stats
