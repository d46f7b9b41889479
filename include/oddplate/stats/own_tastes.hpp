#pragma once
// Is the house split? Do tasters differ in what they like, each of them sticking to it, or is it all one taste and chance?

#include <cstdint>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "oddplate/stats/p_value.hpp"

namespace oddplate::stats {

/// One tray's numbers by one taster: ranks, ratings.
struct TasteTray {
    std::int32_t taster{0};
    std::int32_t stratum{0};        ///< trays of one stratum may change owners: one spot, one question
    std::vector<int> samples;       ///< from 0; no two alike
    std::vector<double> values;     ///< beside them
};

struct OwnTastes {
    std::optional<PValue> p;        ///< that tasters' trays agree so well by luck; none where nobody has two trays with a sample in common, or all trays say the same
    bool repeated{false};           ///< somebody has two trays with a sample in common, and some trays may change owners
    double agreement{0};            ///< of two trays of one taster, all that everybody shares taken off: 0 as two strangers' would, 1 the same numbers
    std::int64_t tasters{0};        ///< who had two such trays
    std::vector<double> shares;     ///< what each sample adds to the statistic, of its whole; empty where that is not above 0
    /// The sample that adds at least half as much again as any other, of three or more; -1 where none does.
    [[nodiscard]] int turns_on() const;
    /// The two that add most, the more first. Needs `shares`.
    [[nodiscard]] std::pair<int, int> most() const;
};

/// With r a tray's values less the tray's mean and less what all trays of its stratum gave its samples on average, the statistic is the sum over tasters
/// and pairs of their trays of r_1 . r_2 over the samples that both held; trays of equal samples in one stratum change owners at random (9,999 seeded
/// permutations): if all share one taste, whose tray it is makes no difference. Agreement is that sum over its largest possible value, the sum of
/// |r_1| |r_2|. One vote a taster, one tray a taster: nothing can be told, and it says so. Sources: Pitman (1938), Biometrika 29:322 (permutations of a
/// two-way table); the labels that change are the tasters'.
[[nodiscard]] OwnTastes own_tastes(std::span<const TasteTray> trays, int samples, std::uint64_t seed);

/// How tasters who had one sample more than once put it in its trays: always in the upper half, always in the lower, or now so and now so.
struct SampleHabit {
    std::int64_t always_up{0}, always_down{0}, mixed{0};
};
/// As pair_habit; a value in the middle of its tray counts as mixed.
[[nodiscard]] SampleHabit sample_habit(std::span<const TasteTray> trays, int sample, bool smaller_is_first);

/// How tasters who met two samples more than once put them: always the one first, always the other, or now so and now so.
struct PairHabit {
    std::int64_t always_a{0}, always_b{0}, mixed{0};
};
/// `smaller_is_first`: ranks; else ratings, where the larger is. A tie counts as mixed. Tasters with one such tray are left out.
[[nodiscard]] PairHabit pair_habit(std::span<const TasteTray> trays, int a, int b, bool smaller_is_first);

}   // namespace oddplate::stats
