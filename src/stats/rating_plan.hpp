#pragma once
// Which terms a table of ratings can carry.

#include <cstdint>
#include <functional>
#include <vector>

#include "oddplate/stats/linear_mixed.hpp"
#include "oddplate/stats/rating_model.hpp"

namespace oddplate::stats {

struct RatingPlan {
    MixedData data;                             ///< fixed columns: samples, then positions, then samples tasted before
    std::vector<ScatterOf> terms;               ///< of data.terms
    std::size_t samples{0}, positions{0}, carried{0};
    bool testable{true};                        ///< a difference of samples is more than one of pieces or sittings
    std::vector<RatingNote> notes;
};

[[nodiscard]] RatingPlan rating_plan(const std::vector<Rating>& ratings, std::int32_t samples, bool carry_over);

/// Repeats of a taster and sample averaged into one score, without its place.
[[nodiscard]] std::vector<Rating> averaged(const std::vector<Rating>& ratings);

/// How many tasters scored.
[[nodiscard]] std::size_t tasters_in(const std::vector<Rating>& ratings);

}   // namespace oddplate::stats
