// Tests: tests/unit/stats/spread.test.cpp

#include "oddplate/stats/spread.hpp"

#include <boost/math/distributions/gamma.hpp>

#include "oddplate/stats/promise.hpp"
#include "policy.hpp"

namespace oddplate::stats {

double gamma_quantile(double mean, double sd, double u) {
    promise(mean > 0.0 && sd >= 0.0 && 0.0 < u && u < 1.0);
    if (sd == 0.0) return mean;
    const double shape = mean / sd * (mean / sd);
    return boost::math::quantile(boost::math::gamma_distribution<double, Quiet>(shape, mean / shape), u);
}

}   // namespace oddplate::stats
