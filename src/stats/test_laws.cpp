// Incomplete beta and gamma functions of Boost.Math. From 1e8 degrees of freedom on the limit is taken: it is nearer than 1e-8.
// Tests: tests/unit/stats/test_laws.test.cpp

#include "oddplate/stats/test_laws.hpp"

#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/distributions/students_t.hpp>

#include <cmath>

#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/promise.hpp"
#include "policy.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_many = 1e8;

}   // namespace

double student_upper(double t, double df) {
    promise(df > 0.0 && !std::isnan(t));
    if (df > k_many || std::isinf(t)) return normal_upper(t);
    const double tail = boost::math::ibeta(df / 2.0, 0.5, df / (df + t * t), Quiet{}) / 2.0;
    return t >= 0.0 ? tail : 1.0 - tail;
}

double student_two_sided(double t, double df) { return 2.0 * student_upper(std::fabs(t), df); }

double student_upper_quantile(double p, double df) {
    promise(0.0 < p && p < 1.0 && df > 0.0);
    if (df > k_many) return normal_upper_quantile(p);
    const boost::math::students_t_distribution<double, Quiet> law(df);
    return p < 0.5 ? boost::math::quantile(boost::math::complement(law, p)) : -boost::math::quantile(boost::math::complement(law, 1.0 - p));
}

double f_upper(double f, double df1, double df2) {
    promise(df1 > 0.0 && df2 > 0.0 && f >= 0.0);
    if (df2 > k_many) return chi_square_upper(f * df1, df1);
    return boost::math::ibeta(df2 / 2.0, df1 / 2.0, df2 / (df2 + df1 * f), Quiet{});
}

double chi_square_upper(double x, double df) {
    promise(df > 0.0 && x >= 0.0);
    return boost::math::gamma_q(df / 2.0, x / 2.0, Quiet{});
}

double noncentrality_for(double bound, double df, double power) {
    promise(bound >= 0 && df > 0 && power > 0 && power < 1);
    const auto reached = [&](double delta) {
        return boost::math::cdf(boost::math::complement(boost::math::non_central_t_distribution<double, Quiet>(df, delta), bound));
    };
    double low = 0, high = bound + 1;
    while (reached(high) < power) high *= 2;
    for (int step = 0; step < 60; ++step) {
        const double middle = (low + high) / 2;
        (reached(middle) < power ? low : high) = middle;
    }
    return high;
}

}   // namespace oddplate::stats
