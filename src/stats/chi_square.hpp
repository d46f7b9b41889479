#pragma once
// The fall of a log-likelihood from its top that bounds a profile interval.

#include "oddplate/stats/normal.hpp"

namespace oddplate::stats {

/// Half the chi-square quantile of one degree of freedom: 1.92 at a confidence of .95.
[[nodiscard]] inline double profile_fall(double confidence) {
    const double z = normal_upper_quantile((1.0 - confidence) / 2.0);
    return z * z / 2.0;
}

}   // namespace oddplate::stats
