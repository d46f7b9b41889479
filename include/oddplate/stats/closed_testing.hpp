#pragma once
// Several spots at once: where on the cut can people tell, and how far may each spot be from what was seen?

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "oddplate/stats/interval.hpp"

namespace oddplate::stats {

/// One spot's count.
struct SpotCount {
    std::int64_t correct{0};
    std::int64_t of{0};   ///< 0 where nobody answered
};

struct ClosedTest {
    std::vector<double> p_adjusted;   ///< by spot; 1 where nobody answered
    double p_anywhere{1.0};           ///< that nobody can tell at any spot: the whole set's own test
};

/// Closed testing (Marcus, Peritz & Gabriel 1976, Biometrika 63:655): a spot's adjusted p is the largest p of all sets of spots that
/// hold it. The test of a set is exact, P(X >= its right answers together) by guessing: where nobody can tell, all its answers
/// are guesses, whoever gave them. Keeps the chance of a false claim at any spot at alpha whichever spots differ; unlike Holm's it
/// gains where several spots lean the same way, and it may lose where only one does. To eight spots (255 sets), else none.
[[nodiscard]] std::optional<ClosedTest> closed_test(std::span<const SpotCount> spots, double chance);

/// P(some spot's own p is as small as the smallest seen) when nobody can tell anywhere: all answers are then guesses, so the spots are
/// independent, and with the chance q_j that spot j's p comes out so small it is 1 - Prod(1 - q_j), exactly. What "anywhere on the
/// cut" asks; never above the smallest Holm p. 1 without answers.
[[nodiscard]] double smallest_p(std::span<const SpotCount> spots, double chance);

/// Confidence of each of `spots` intervals so that all hold together with `confidence`, whatever the spots have to do with each other
/// (Bonferroni): 1 - (1 - confidence)/spots.
[[nodiscard]] double simultaneous_confidence(double confidence, std::size_t spots);

}   // namespace oddplate::stats
