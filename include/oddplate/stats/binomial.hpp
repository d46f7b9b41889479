#pragma once
// The binomial law: single probabilities, both tails, and the counts at which a test turns significant.

#include <cstdint>
#include <optional>

namespace oddplate::stats {

/// The one rule for "p <= alpha": p <= alpha (1 + 1e-12), so that a tie such as 1/8 against .125 is not lost to rounding.
[[nodiscard]] constexpr bool significant(double p, double alpha) noexcept {
    return p <= alpha * (1.0 + 1e-12);
}

/// log P(X = k) for X ~ Binomial(n, p); -infinity where that is impossible.
/// n 0 or more, p in 0..1; any k. Edges: p = 0 and p = 1 give 0 at k = 0 and k = n.
/// Saddle-point form of Loader (2000), "Fast and accurate computation of binomial probabilities"; k - np is taken without
/// rounding, so the error does not grow with n.
[[nodiscard]] double log_binomial_pmf(std::int64_t k, std::int64_t n, double p);
/// P(X = k); within 1e-13 relative of tests/reference/binomial_tails.csv (n to 10 million) down to 1e-290.
[[nodiscard]] double binomial_pmf(std::int64_t k, std::int64_t n, double p);

/// P(X >= k), k included. Summed outward from k as a positive series, so small tails keep their digits; where k lies at or below
/// the mean it is 1 less the other tail, which is then the smaller one. k <= 0 gives 1, k > n gives 0, exactly.
/// Within 1e-13 relative of tests/reference/binomial_tails.csv (n to 10 million). Costs about 10 standard deviations of steps.
[[nodiscard]] double binomial_upper(std::int64_t k, std::int64_t n, double p);
/// P(X = k) and P(X >= k), which cost little more together than one of them.
struct UpperTail {
    double pmf{0.0};
    double tail{0.0};
};
[[nodiscard]] UpperTail binomial_upper_tail(std::int64_t k, std::int64_t n, double p);
/// P(X <= k), k included; k < 0 gives 0, k >= n gives 1. Otherwise as binomial_upper.
[[nodiscard]] double binomial_lower(std::int64_t k, std::int64_t n, double p);

/// The fewest k of n whose upper tail at p0 is significant at alpha; none where even n of n is not.
/// n 0 or more, p0 in 0..1, alpha in 0..1 (open).
[[nodiscard]] std::optional<std::int64_t> least_correct(std::int64_t n, double p0, double alpha);
/// The most k of n whose lower tail at p1 is significant at alpha; none where even 0 of n is not.
[[nodiscard]] std::optional<std::int64_t> most_correct(std::int64_t n, double p1, double alpha);

}   // namespace oddplate::stats
