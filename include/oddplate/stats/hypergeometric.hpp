#pragma once
// Draws without replacement.

#include <cstdint>

namespace oddplate::stats {

/// X marked ones among `drawn` taken from `total` of which `marked` are marked. P(X = k), P(X >= k), P(X <= k); tails are summed
/// outward from k by ratios, as the binomial's; within 1e-12 relative. Any k; 0 <= marked, drawn <= total. Source: Fisher (1935).
[[nodiscard]] double hypergeometric_pmf(std::int64_t k, std::int64_t total, std::int64_t marked, std::int64_t drawn);
[[nodiscard]] double hypergeometric_upper(std::int64_t k, std::int64_t total, std::int64_t marked, std::int64_t drawn);
[[nodiscard]] double hypergeometric_lower(std::int64_t k, std::int64_t total, std::int64_t marked, std::int64_t drawn);

}   // namespace oddplate::stats
