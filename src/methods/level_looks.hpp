#pragma once
// The curve through a ladder's levels, as points to draw.

#include <utility>
#include <vector>

#include "oddplate/stats/rise.hpp"

namespace oddplate::methods {

/// Level and share at 81 places from the lowest to the highest level (above 0 where the curve is one in the logarithm), evenly spaced as it is drawn.
[[nodiscard]] std::vector<std::pair<double, double>> level_curve(const stats::RiseCurve& curve, double low, double high, bool logarithmic);

}   // namespace oddplate::methods
