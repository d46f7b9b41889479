#pragma once
// How many tasters a question needs: exact, and honest about the saw-tooth.

#include <array>
#include <cstdint>
#include <optional>

namespace oddplate::stats {

/// A panel size. `critical` is the fewest (difference, preference) or the most (similarity) right answers that pass at `tasters`.
struct PanelSize {
    std::int64_t tasters{0};   ///< the first n from 2 whose exact power is at least the power wanted (the standards' convention)
    std::int64_t tasters_safe{0};   ///< from here every larger n has it too
    std::int64_t critical{0};
    double alpha_actual{0.0};   ///< true size of the test at `tasters`
    double power_actual{0.0};
};

/// Sizes above this many answers are not looked for: the functions below then give none.
inline constexpr std::int64_t k_most_tasters = 1'000'000'000;

enum class Sided { one, two };

/// Power of "P(X >= K) at p0 <= alpha" when the truth is p1.
[[nodiscard]] double power_difference(std::int64_t n, double p0, double p1, double alpha);
/// First and safe n for that test; 0 < p0 < p1 <= 1, alpha and power in 0..1 (open).
///
/// Why a finite search is enough: let r(n) be the power of the most powerful *randomised* test of size alpha (Neyman & Pearson).
/// It rises in n, since a test on n + 1 answers may ignore one. The exact test's power is r(n) less at most one probability of
/// Binomial(n, p1), which is below 1/sqrt(2 e n p1 q1) (Herzog 1947). So no n with r(n) < power can pass, and once
/// r(n) - 1/sqrt(2 e n p1 q1) >= power none can fail again. The search also ends where Hoeffding's (1963) inequality, which
/// bounds the critical count and the miss rate at once, shows that power holds from there on:
///     n (p1 - p0) >= sqrt(n/2) (sqrt(log 1/alpha) + sqrt(log 1/(1 - power))).
[[nodiscard]] std::optional<PanelSize> size_difference(double p0, double p1, double alpha, double power);

/// Close enough: P(X <= K) at p_margin <= alpha, and the most that passes is not below n x chance. Sided::two (a method whose
/// answers could also go the other way round, chance 1/2): also P(X >= K) at 1 - p_margin <= alpha, so n - most <= K <= most.
struct SimilarityTest {
    double chance{0.5};
    double p_margin{0.5};
    double alpha{0.05};
    Sided sided{Sided::one};
};
/// The most that passes at n, the guard included; none where nothing can pass.
[[nodiscard]] std::optional<std::int64_t> most_similar(const SimilarityTest& test, std::int64_t n);
/// P(the tails of S pass) at the truth p_true; with `n - most <= K` for Sided::two.
[[nodiscard]] double power_similarity(const SimilarityTest& test, std::int64_t n, double p_true);
/// P(S) itself: as above and K is not significantly below chance.
[[nodiscard]] double power_similarity_verdict(const SimilarityTest& test, std::int64_t n, double p_true);
/// First and safe n by power_similarity; p_true < p_margin (and > 1 - p_margin for Sided::two), p_margin > chance.
[[nodiscard]] std::optional<PanelSize> size_similarity(const SimilarityTest& test, double p_true, double power);
/// The same by power_similarity_verdict, p_true not below chance; `power_actual` is that power. None too where power + alpha is 1 or
/// more: however large the panel, nobody telling reads as below chance up to alpha of the time.
[[nodiscard]] std::optional<PanelSize> size_similarity_verdict(const SimilarityTest& test, double p_true, double power);

/// Two-sided preference test at 1/2: power at the share, both sides counted.
[[nodiscard]] double power_preference(std::int64_t n, double share, double alpha);
/// First and safe number of tie-free votes; share in 0..1, not 1/2. `critical` is the fewest votes for the leader.
[[nodiscard]] std::optional<PanelSize> size_preference(double share, double alpha, double power);
/// Votes for "no less than `share`" when the truth is `true_share` (> share).
[[nodiscard]] std::optional<PanelSize> size_not_less(double share, double true_share, double alpha, double power);

struct PlanningRow {
    double alpha, power, discriminators;
    std::int64_t tasters, tasters_safe;
};
/// All 125 cells: alpha .2 .1 .05 .01 .001 x power .5 .8 .9 .95 .99 x discriminators .5 .4 .3 .2 .1, in that nesting.
[[nodiscard]] std::array<PlanningRow, 125> planning_table(double chance);

}   // namespace oddplate::stats
