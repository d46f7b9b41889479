#pragma once
// The law of a weighted sum of right answers when each taster's right answers are dealt at random over his own places.

#include <cstdint>
#include <optional>
#include <vector>

#include "oddplate/stats/p_value.hpp"

namespace oddplate::stats {

/// Tasters with the same weights (sorted) and the same number right, who could have had another sum.
struct AlikeTasters {
    std::vector<double> weights;
    std::int64_t right{0};
    std::int64_t tasters{0};
};

struct WeightedSum {
    std::vector<AlikeTasters> alike;
    double observed{0.0};
    double expected{0.0};
    std::int64_t multiple{1};   ///< weights times this are whole numbers; 0 where that would be too large
};

struct DriftTails {
    PValue two_sided;   ///< P(|W - E W| >= |w - E W|)
    PValue falling;     ///< P(W <= w)
};

/// Convolution over whole numbers; none where that would take more than `most_steps`.
[[nodiscard]] std::optional<DriftTails> exact_drift(const WeightedSum& sum, double most_steps);
/// Seeded permutations.
[[nodiscard]] DriftTails permuted_drift(const WeightedSum& sum, std::uint64_t seed);
/// Normal law with the exact mean and variance and its Berry-Esseen bound.
[[nodiscard]] DriftTails normal_drift(const WeightedSum& sum);

}   // namespace oddplate::stats
