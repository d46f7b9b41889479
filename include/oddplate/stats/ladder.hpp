#pragma once
// Preference along a rising level against one constant control: from which level on is the control preferred?

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "oddplate/stats/interval.hpp"

namespace oddplate::stats {

/// One comparison of a sample at a level with the control. Who could not choose has tasted the level, and is counted nowhere.
struct LadderVote {
    std::int32_t taster{0};
    double level{0};
    bool for_control{false};
    bool undecided{false};
};

/// What is seen at one level.
struct LadderStep {
    double level{0};
    std::int64_t for_control{0}, for_sample{0};
    double p_value{1};      ///< exact, one-sided: how often so many would prefer the control if nobody minded (flips of tasters' net votes)
    bool shown{false};      ///< the control is preferred here and, at alpha, at every higher level
};

enum class NoLadder { has_one, one_level, no_slope, all_one_way, one_taster, not_reached };

struct Ladder {
    std::vector<LadderStep> steps;           ///< ascending
    std::optional<double> slope;             ///< log odds of preferring the control, a unit of the level
    std::optional<double> rejection;         ///< the level at which the stated share prefers the control, where it lies among the levels tasted
    Interval limits{};                       ///< of the rejection point; a side beyond the levels tasted is infinite
    NoLadder why{NoLadder::has_one};         ///< why there is no rejection point
    bool above{false};                       ///< not_reached: it lies above the highest level (else below the lowest)
    double misfit_p{1};                      ///< chance by luck of so bad a fit of the levels' shares, approximate (as if every vote were another person's); 1 with two levels
};

/// The logistic curve in the level by maximum likelihood, with a covariance that takes each taster's votes as one cluster (Liang & Zeger 1986, Biometrika
/// 73:13, times G/(G - 1)). The rejection point solves share = `at` and its limits are Fieller's (1954, JRSS B 16:175) with Student's t of G - 1 degrees of freedom.
/// Steps: one-sided exact tests from the highest level down, each at alpha while all above were shown (a fixed sequence: Maurer, Hothorn & Lehmacher 1995).
/// at in (1/2, 1); alpha in (0, 1/2); votes from any number of tasters G.
[[nodiscard]] Ladder ladder(std::span<const LadderVote> votes, double at, double alpha, double confidence);

}   // namespace oddplate::stats
