#pragma once
// Does correctness fall (or rise) over the sitting?

#include <cstdint>
#include <optional>
#include <span>

#include "oddplate/stats/p_value.hpp"

namespace oddplate::stats {

/// One answer: who, at which spot, as the how-many-th of that taster's answers, right or not. All are numbered from 0.
struct PlacedAnswer {
    std::int32_t taster{0};
    std::int32_t spot{0};
    std::int32_t position{0};
    bool correct{false};
};

enum class NoDrift { has_one, one_position, confounded, nothing_varies };

struct DriftTest {
    std::optional<PValue> two_sided;
    std::optional<PValue> falling;   ///< one-sided: right answers come early
    NoDrift why{NoDrift::has_one};
    double slope{0.0};   ///< change of the proportion correct per position, spots held fixed (least squares)
};

/// Statistic: Sum over right answers of (position - mean position of that spot), so that an easy spot served late does not look
/// like learning (spots are strata). Null law: each taster's right answers are dealt at random over his own places (permutation
/// within tasters). Two-sided p = P(|W - E W| >= |w - E W|). Exact by convolution over whole numbers while that takes fewer than
/// 5e7 steps, else seeded permutations (9,999, fewer on large tables but at least 999); beyond 30,000 answers the normal law with
/// the exact permutation mean and variance and its Berry-Esseen bound (constant .56, Shevtsova 2010) as `error`.
/// one_position: nobody gave two answers. confounded: each spot was always served at one position. nothing_varies: every taster
/// all right or all wrong.
[[nodiscard]] DriftTest drift(std::span<const PlacedAnswer> answers, std::uint64_t seed);

}   // namespace oddplate::stats
