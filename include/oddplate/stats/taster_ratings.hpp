#pragma once
// What each taster's scores say about the taster: does this tongue tell the samples apart, does it repeat itself, does it go with the others?

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "oddplate/stats/rating_model.hpp"

namespace oddplate::stats {

struct TasterRatings {
    std::int32_t taster{0};
    std::int32_t scores{0};
    double mean{0.0};
    /// One-way analysis of variance over the samples within this taster's own scores (Fisher 1925, Statistical Methods for Research Workers, chapter
    /// VII); absent without two samples, or where repeats of a sample are missing or all alike.
    std::optional<OverallTest> telling;
    std::optional<double> repeat_deviation;   ///< standard deviation of this taster's repeats of one sample, in points; absent without repeats
    /// Correlation of this taster's means by sample with those of all others, each other taster's own level taken out (common practice). Absent with
    /// fewer than three samples in common, or where one side does not vary.
    std::optional<double> agreement;
};

/// One entry for every taster with a score, in order. samples, tasters: how many there are.
[[nodiscard]] std::vector<TasterRatings> taster_ratings(std::span<const Rating> ratings, std::int32_t samples, std::int32_t tasters);

}   // namespace oddplate::stats
