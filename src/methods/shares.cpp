#include "shares.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "oddplate/stats/normal.hpp"

namespace oddplate::methods::shares {
namespace {

/// z-limits of a mean after people more whose values sum to `sum` and whose squares sum to `squares`.
stats::Interval limits_with(std::span<const double> values, double people, double sum, double squares, double confidence) {
    double n = people, total = sum, of_squares = squares;
    for (const double value : values) {
        n += 1;
        total += value;
        of_squares += value * value;
    }
    const double mean = total / n, half = stats::normal_quantile(0.5 + confidence / 2) * std::sqrt(std::max(0.0, of_squares / n - mean * mean) / n);
    return {mean - half, mean + half};
}

}   // namespace

stats::Interval limits(std::span<const double> rates, bool one_each, double confidence) {
    if (one_each) {
        double said = 0;
        for (const double rate : rates) said += rate;
        return stats::clopper_pearson(static_cast<std::int64_t>(said), static_cast<std::int64_t>(rates.size()), confidence);
    }
    const double z = stats::normal_quantile(0.5 + confidence / 2), more = z * z / 2;   // 1.92, about two, at .95
    const stats::Interval found = limits_with(rates, 2 * more, more, more, confidence);
    return {std::max(0.0, found.lower), std::min(1.0, found.upper)};
}

stats::Interval gap_limits(std::span<const double> leans, double confidence) {
    const stats::Interval found = limits_with(leans, 2, 0, 1, confidence);
    return {std::max(-1.0, found.lower), std::min(1.0, found.upper)};
}

}   // namespace oddplate::methods::shares
