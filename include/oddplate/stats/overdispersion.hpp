#pragma once
// Do tasters differ more than guessing and luck let them?

#include <cstdint>
#include <optional>
#include <span>

#include "oddplate/stats/beta_binomial.hpp"
#include "oddplate/stats/p_value.hpp"

namespace oddplate::stats {

struct Overdispersion {
    std::optional<PValue> p_value;
    NoSpread why{NoSpread::has_one};   ///< one_taster, one_answer_each, all_right or not_above_chance where there is no p
    double statistic{0.0};
};

/// Statistic: Tarone's (1979, Biometrika 66:585) Z = (Sum (k_i - n_i p)^2 / (p (1 - p)) - N) / sqrt(2 Sum n_i (n_i - 1)), p = K/N,
/// the score test of gamma = 0; the chance correction cancels from it. P(Z or larger) when all tasters are alike:
///  - all with the same number of answers, and few enough of them (3e6 steps): exactly, given K, when every way of dealing the K right
///    answers over the N is equally likely, so that no proportion has to be estimated;
///  - else by a parametric bootstrap at the fitted proportion, tasters of equal n drawn together, p found anew in each replicate; 9,999
///    replicates, fewer of dear ones, stopped at 200 hits (Besag & Clifford 1991), with its Monte Carlo error.
/// None where no more are right than guessing gives: the fitted pd is 0, and then nobody is there to differ.
[[nodiscard]] Overdispersion tasters_differ(double chance, std::span<const AlikeCounts> counts, std::uint64_t seed);

}   // namespace oddplate::stats
