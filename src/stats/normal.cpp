// The normal law through the error function of the standard library, its inverse and Owen's T from Boost.Math (Patefield & Tandy
// 2000). Tests: tests/unit/stats/link.test.cpp

#include "oddplate/stats/normal.hpp"

#include "oddplate/stats/promise.hpp"
#include "policy.hpp"

#include <boost/math/special_functions/erf.hpp>
#include <boost/math/special_functions/owens_t.hpp>

#include <cmath>
#include <numbers>

namespace oddplate::stats {

double normal_density(double z) {
    return std::exp(-z * z / 2.0) * std::numbers::inv_sqrtpi / std::numbers::sqrt2;
}

double normal_cdf(double z) {
    return std::erfc(-z / std::numbers::sqrt2) / 2.0;
}

double normal_upper(double z) {
    return std::erfc(z / std::numbers::sqrt2) / 2.0;
}

double normal_upper_quantile(double p) {
    promise(0.0 < p && p < 1.0);
    return boost::math::erfc_inv(2.0 * p, Quiet{}) * std::numbers::sqrt2;
}

double normal_quantile(double p) {
    return -normal_upper_quantile(p);
}

double owens_t(double h, double a) {
    return boost::math::owens_t(h, a, Quiet{});
}

}   // namespace oddplate::stats
