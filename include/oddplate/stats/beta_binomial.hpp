#pragma once
// Tasters who differ, by how often each of them tells: the chance-corrected beta-binomial.

#include <optional>
#include <span>
#include <vector>

#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/taster_counts.hpp"

namespace oddplate::stats {

/// Taster i tells at each set with probability pi_i, else guesses: P_i = chance + (1 - chance) pi_i, pi_i ~ Beta with mean pd and
/// spread gamma = 1/(a + b + 1): 0 = all tasters alike (the binomial), 1 = two kinds of taster, who always or never tell.
/// Brockhoff & Schlich (1998) Food Quality and Preference 9:303; Ennis & Bi (1998) J. Sensory Studies 13:389.
struct BetaSpread {
    double pd{0.0};      ///< 0..1
    double gamma{0.0};   ///< 0..1, both ends included
};

/// log P(k right of n). With m = n - k, q = 1 - chance and E_j = E[pi^j (1 - pi)^m],
///     P = C(n, k) q^m Sum_j C(k, j) chance^(k - j) q^j E_j,
/// all terms positive; E_j is a ratio of rising products that are finite at gamma = 0 and at gamma = 1. Costs k steps. -infinity
/// where that is impossible.
[[nodiscard]] double log_beta_binomial(double chance, const BetaSpread& spread, std::int64_t k, std::int64_t n);
/// The sum over tasters without the binomial coefficients, which depend on nothing.
[[nodiscard]] double beta_binomial_likelihood(double chance, const BetaSpread& spread, std::span<const AlikeCounts> counts);

/// Why no spread is estimated.
enum class NoSpread { has_one, one_taster, one_answer_each, all_right, all_wrong, not_above_chance, flat };

struct BetaBinomialFit {
    BetaSpread at;                          ///< most likely; at.gamma means nothing where `why` says that there is none
    double log_likelihood{0.0};             ///< without binomial coefficients
    double log_likelihood_alike{0.0};       ///< the same with gamma = 0
    Interval pd;                            ///< profile likelihood, over every gamma also where none is estimated
    std::optional<Interval> gamma;
    NoSpread why{NoSpread::has_one};
};

/// Maximum likelihood within 0 <= pd <= 1, 0 <= gamma <= 1, ends included; intervals by profile likelihood (twice the log ratio
/// against the chi-square quantile of one degree of freedom; at an end of gamma's range this errs on the wide side). `flat`: no
/// gamma at all can be ruled out, so its estimate says nothing. At least one taster; confidence in 0..1 (open).
[[nodiscard]] BetaBinomialFit fit_beta_binomial(double chance, std::span<const AlikeCounts> counts, double confidence);

/// What a taster's own answers say about him, the panel taken as what it was found to be (empirical Bayes).
struct Telling {
    double mean{0.0};     ///< E[pi | k, n]: his share of sets at which he tells, drawn towards the panel's
    double mostly{0.0};   ///< P(pi > 1/2 | k, n): he tells more often than not
};
/// The posterior is a mixture of Betas (a + j, b + m) with the weights of the sum above.
[[nodiscard]] Telling telling(double chance, const BetaSpread& spread, std::int64_t k, std::int64_t n);

}   // namespace oddplate::stats
