#pragma once
// Words with how sure: one ordered scale from "surely a noise" to "surely a signal".

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/p_value.hpp"
#include "oddplate/stats/signal.hpp"

namespace oddplate::stats {

/// Answers by category, the surest noise first; both lists have the same length, at least 2.
struct SurenessCounts {
    std::vector<std::int64_t> signals, noises;
};

/// The chance that a signal is placed higher on the scale than a noise, ties by halves (Brown 1974: R-index; the Mann-Whitney
/// statistic as a share; the area under the rating curve). None without signals or noises.
[[nodiscard]] std::optional<double> r_index(const SurenessCounts& counts);

/// Exact one-sided p of that index: labels exchanged within tasters, midranks of all answers kept (Mann & Whitney 1947 with ties,
/// stratified: van Elteren 1960). One group only: the plain permutation test. By convolution over doubled midranks; where that
/// would take more than 2e8 steps, seeded permutations, 999 to 99,999 by the number of answers.
[[nodiscard]] PValue r_index_p(std::span<const SurenessCounts> tasters, std::uint64_t seed);

/// Newcombe (2006, Statistics in Medicine 25:559, his method 5; from memory): the R with |r - R| <= z sqrt(V(R)),
///     V = R (1 - R) [1 + (n* - 1)((1 - R)/(2 - R) + R/(1 + R))] / (m n),  n* = (m + n)/2 (Hanley & McNeil 1982);
/// within 0..1 and finite at 0 and 1. `widen` multiplies z (see r_index_spread).
[[nodiscard]] Interval r_index_interval(double r, std::int64_t signals, std::int64_t noises, double confidence, double widen = 1);

/// How much wider tasters make it: sqrt of (variance of R over tasters) / (variance over answers), by placements (DeLong 1988;
/// clusters: Obuchowski 1997), at least 1; 1 where nothing varies.
[[nodiscard]] double r_index_spread(std::span<const SurenessCounts> tasters);

/// d' from the whole scale: maximum likelihood with thresholds t_1 < t_2 < ... that need not be evenly spaced.
///     yes_no           P(at most j | noise) = Phi(t_j + d/2), P(at most j | signal) = Phi(t_j - d/2)
///     same_different   the same with the size of the difference of two sensations: thresholds tau_j > 0, rates as signal_rates
/// (Dorfman & Alf 1969.) For each d the thresholds are fitted by Fisher scoring; d by its profile, which gives the interval too.
/// Absent where the data leave d open on that side. Categories nobody used are joined to a neighbour.
[[nodiscard]] SignalEstimate fit_sureness(SignalRule rule, const SurenessCounts& counts, double confidence, double widen = 1);

}   // namespace oddplate::stats
