// The curves of methods that count hits and false alarms, at their best criterion. Tests: tests/unit/stats/signal.test.cpp

#include <boost/math/quadrature/gauss.hpp>

#include <cmath>
#include <numbers>

#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/signal.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_root2 = std::numbers::sqrt2;

double pair_gain(double d) {
    const double a = best_criterion(SignalRule::same_different, d) / k_root2, b = d / k_root2;
    if (d > 1.5) return (2 * normal_cdf(a) - normal_cdf(a - b) - normal_cdf(a + b)) / 2;
    const auto inside = [&](double s) { return std::exp(-s * s / 2) * std::sinh(a * s); };
    return normal_density(a) * boost::math::quadrature::gauss<double, 15>::integrate(inside, 0.0, b);
}

double pair_shortfall(double d) {
    const double a = best_criterion(SignalRule::same_different, d) / k_root2, b = d / k_root2;
    return (2 * normal_upper(a) + normal_cdf(a - b) - normal_upper(a + b)) / 2;
}

double pair_slope(double d) {
    const double a = best_criterion(SignalRule::same_different, d) / k_root2, b = d / k_root2;
    if (a * b > 1) return (normal_density(a - b) - normal_density(a + b)) / (2 * k_root2);   // no cancelling, no overflow
    return normal_density(a) * std::exp(-b * b / 2) * std::sinh(a * b) / k_root2;
}

}   // namespace

const Link& yes_no_link() {
    static constexpr Link link{.chance = 0.5,
                               .gain = [](double d) { return std::erf(d / (2 * k_root2)) / 2; },
                               .shortfall = [](double d) { return std::erfc(d / (2 * k_root2)) / 2; },
                               .slope = [](double d) { return normal_density(d / 2) / 2; },
                               .is_signed = true};
    return link;
}

const Link& same_different_link() {
    static constexpr Link link{.chance = 0.5, .gain = pair_gain, .shortfall = pair_shortfall, .slope = pair_slope};
    return link;
}

}   // namespace oddplate::stats
