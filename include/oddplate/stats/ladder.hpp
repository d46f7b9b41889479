#pragma once
// Preference along a rising level against one constant control: from which level on is the control preferred?

#include <cstdint>
#include <span>
#include <vector>

#include "oddplate/stats/rise.hpp"

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
    std::int64_t tasters{0};   ///< who chose there
    double p_value{1};      ///< exact, one-sided: how often so many would prefer the control if nobody minded (flips of tasters' net votes)
    bool shown{false};      ///< the control is preferred here and, at alpha, at every higher level
};

struct Ladder {
    std::vector<LadderStep> steps;   ///< ascending
    Rise rise;                       ///< of the share that prefers the control; its point is the level at which the stated share does
};

/// A logistic curve in the level without guessing (see rise). Steps: one-sided exact tests from the highest level down, each at alpha while all above were shown
/// (a fixed sequence: Maurer, Hothorn & Lehmacher 1995).
/// at in (1/2, 1); alpha in (0, 1/2); votes from any number of tasters.
[[nodiscard]] Ladder ladder(std::span<const LadderVote> votes, double at, double alpha, double confidence);

}   // namespace oddplate::stats
