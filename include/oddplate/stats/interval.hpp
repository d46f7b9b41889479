#pragma once
// Intervals for a proportion from k of n.

#include <cstdint>

namespace oddplate::stats {

struct Interval {
    double lower{0.0};
    double upper{1.0};
    friend bool operator==(const Interval&, const Interval&) = default;
};

enum class IntervalKind { clopper_pearson, wilson, mid_p, likelihood };

/// Two-sided interval of the given confidence (0..1, open), each side allowed (1 - confidence) / 2; n from 1, 0 <= k <= n.
[[nodiscard]] Interval proportion_interval(IntervalKind kind, std::int64_t k, std::int64_t n, double confidence);

/// Clopper & Pearson (1934): every p that neither tail test rejects. The bounds invert binomial_upper and binomial_lower under
/// the rule of `significant`: lower is the largest p at which P(X >= k) is still significant at (1 - confidence)/2, so a test and
/// the interval of confidence 1 - 2 alpha never contradict each other, ties included (D holds exactly when chance <= lower). k =
/// 0: lower is 0 exactly; k = n: upper is 1 exactly.
[[nodiscard]] Interval clopper_pearson(std::int64_t k, std::int64_t n, double confidence);
/// Wilson (1927): inverts the score test. Approximate; stays within 0..1.
[[nodiscard]] Interval wilson(std::int64_t k, std::int64_t n, double confidence);
/// As Clopper-Pearson with half of P(X = k) left out of each tail (Lancaster 1961); narrower, not guaranteed at every p.
[[nodiscard]] Interval mid_p(std::int64_t k, std::int64_t n, double confidence);
/// Every p from `least` up whose log likelihood lies no more than z^2/2 below the largest that such a p has (Wilks 1938); approximate.
/// The likelihood of a difference d' is that of its proportion, so with `least` the guessing rate this is the profile likelihood
/// interval of d' itself, cut off at d' = 0: where k/n lies below guessing the largest is at guessing. k = n: upper is 1 exactly;
/// k = 0 with least = 0: lower is 0. Ends within 1e-14.
[[nodiscard]] Interval likelihood_interval(std::int64_t k, std::int64_t n, double confidence, double least = 0.0);

}   // namespace oddplate::stats
