#pragma once
// Intervals for the deviations of a mixed model.

#include <optional>

#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/linear_mixed.hpp"

namespace oddplate::stats {

/// Profile (restricted) likelihood interval of one term's standard deviation, or of the residual one where `term` is absent: every value whose best
/// deviance over all else lies less than the chi-square quantile of one degree of freedom above the least (Venzon & Moolgavkar 1988, Applied
/// Statistics 37:87). lower is 0 where 0 is not ruled out; upper is infinite where nothing up to a thousand residual deviations is. Models without
/// slopes. Confidence in 0..1 (open). Ends within 1e-5 of the estimate's size.
[[nodiscard]] Interval variance_interval(const LinearMixed& model, const MixedFit& fit, std::optional<std::size_t> term, double confidence);

}   // namespace oddplate::stats
