#pragma once
// Was one serving position picked too often?

#include <cstdint>
#include <span>

namespace oddplate::stats {

struct MostPicked {
    double p{1.0};             ///< P(some position stands out at least as much)
    std::size_t position{0};   ///< the one that stands out most, from 0
    double z{0.0};             ///< by how many standard deviations
};

/// Exact test of picks ~ Multinomial(sum of picks, cells): the statistic is the largest (picks_j - N pi_j)/sqrt(N pi_j (1 -
/// pi_j)), and p its upper tail, counted without enumeration: independent Poisson counts given their sum are multinomial, so
/// P(some n_j >= u_j) is a sum over the first such j of convolutions of cut Poisson laws (Levin 1981), all terms positive.
/// picks and cells have the same length from 2; cells sum to 1; cells of 0 with picks are refused (abort). No picks give p = 1.
/// Within 1e-9 relative of the sum over every outcome, small p included.
[[nodiscard]] MostPicked most_picked_test(std::span<const std::int64_t> picks, std::span<const double> cells);

/// The chance that this test comes to `level` or less where `picks` picks fall on every one of 2 or 3 places alike: its largest p not above
/// the level, so at most the level; with more than 2,000 picks the level itself is given. picks >= 0, 0 < level < 1.
[[nodiscard]] double even_picks_alarm(std::int64_t picks, int places, double level);

}   // namespace oddplate::stats
