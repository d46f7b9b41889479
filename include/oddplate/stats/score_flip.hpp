#pragma once
// One number a taster, as likely above as below its centre: the sign-flip test for scores.

#include <cstdint>
#include <optional>
#include <span>

#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/p_value.hpp"
#include "oddplate/stats/sign_flip.hpp"

namespace oddplate::stats {

/// One-sided p that tasters' differences are centred at or below `centre`: the signs of (difference - centre) flip with
/// probability 1/2 each; P(sum >= observed). Exact by convolution where the numbers lie on a grid (scores with up to three
/// decimals, means of up to twelve sets) that is not too fine, else by counting all 2^n for n <= 22, else 99,999 seeded flips. 1
/// for nobody. Source: Fisher (1935), The Design of Experiments, section 21.
[[nodiscard]] PValue score_flip_p(std::span<const double> differences, double centre, std::uint64_t seed);

/// The centres that neither side of that test rejects: quantiles of the means of random subsets (Hartigan 1969; the derivation
/// stands at sign_flip_interval, which does the work).
[[nodiscard]] ShareInterval score_flip_interval(std::span<const double> differences, double confidence, std::uint64_t seed);

/// One taster's difference at one spot.
struct SpotScore {
    std::int32_t taster{0}, spot{0};
    double difference{0};
};
/// P that the spots' means differ so much, each taster's differences exchanged over his own sets (over people where nobody gave
/// two): 9,999 seeded permutations of the sum of squares between spots (Pitman 1937, Suppl. J. R. Statist. Soc. 4:119). None where
/// nothing unlike can be exchanged between spots.
[[nodiscard]] std::optional<PValue> score_spots_p(std::span<const SpotScore> scores, std::uint64_t seed);

/// Power of the one-sided t test of n differences with this mean (in units of their standard deviation): noncentral t. It stands
/// in for the sign-flip test, whose power it approximates (within .03 from 8 tasters on, by simulation); 0 where 2^-n is above alpha, since the sign flips
/// of so few never reach it.
[[nodiscard]] double score_power(std::int64_t n, double mean_over_sd, double alpha);
/// First n from 2 with that power; it rises in n. None above 1,000,000.
[[nodiscard]] std::optional<std::int64_t> size_scores(double mean_over_sd, double alpha, double power);

}   // namespace oddplate::stats
