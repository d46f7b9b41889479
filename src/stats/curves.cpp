// Closed forms of the methods' curves (derived in the header), each arranged so that neither the gain over guessing nor the
// shortfall from certainty is a difference of nearly equal numbers. Tests: tests/unit/stats/curves.test.cpp

#include "oddplate/stats/curves.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include "oddplate/stats/normal.hpp"

namespace oddplate::stats {
namespace {

using std::numbers::pi;
using std::numbers::sqrt2;
using std::numbers::sqrt3;

constexpr double k_sqrt6 = 2.449489742783178098197284074705891;

// Gauss-Legendre, 16 points on -1..1 (positive half; the rule is symmetric). Abramowitz & Stegun (1964), table 25.4.
struct Node {
    double x;
    double weight;
};
constexpr std::array<Node, 8> k_nodes{{{0.0950125098376374402, 0.1894506104550684963},
                                       {0.2816035507792589132, 0.1826034150449235889},
                                       {0.4580167776572273863, 0.1691565193950025382},
                                       {0.6178762444026437484, 0.1495959888165767321},
                                       {0.7554044083550030339, 0.1246289712555338720},
                                       {0.8656312023878317439, 0.0951585116824927848},
                                       {0.9445750230732325761, 0.0622535239386478929},
                                       {0.9894009349916499326, 0.0271524594117540949}}};

template <class F>
double integrate(double from, double to, F f) {
    const double middle = (from + to) / 2.0;
    const double half = (to - from) / 2.0;
    double sum = 0.0;
    for (const Node& node : k_nodes) sum += node.weight * (f(middle - half * node.x) + f(middle + half * node.x));
    return half * sum;
}

// T(h, sqrt 3) by reflection: T(h, a) = [Q(h) Phi(ah) + Phi(h) Q(ah)]/2 - T(ah, 1/a); what is taken away is small beside the
// rest.
double t_root3(double h) {
    const double far = sqrt3 * h;
    return (normal_upper(h) * normal_cdf(far) + normal_cdf(h) * normal_upper(far)) / 2.0 - owens_t(far, 1.0 / sqrt3);
}

double triangle_shortfall(double d) {
    return 4.0 * t_root3(d / k_sqrt6);
}

double triangle_gain(double d) {
    const double h = d / k_sqrt6;
    if (h > 0.75) return 2.0 / 3.0 - 4.0 * t_root3(h);
    // 4 [T(0, a) - T(h, a)] = (2/pi) Int_0^a (1 - exp(-h^2 (1 + x^2)/2)) / (1 + x^2) dx; an entire function of x, so 16 points
    // do.
    const double c = h * h / 2.0;
    return 2.0 / pi * integrate(0.0, sqrt3, [c](double x) { return -std::expm1(-c * (1.0 + x * x)) / (1.0 + x * x); });
}

double triangle_slope(double d) {
    return 2.0 / k_sqrt6 * normal_density(d / k_sqrt6) * std::erf(d / 2.0);
}

double two_afc_gain(double d) {
    return std::erf(d / 2.0) / 2.0;
}

double two_afc_shortfall(double d) {
    return std::erfc(d / 2.0) / 2.0;
}

double two_afc_slope(double d) {
    return std::exp(-d * d / 4.0) * std::numbers::inv_sqrtpi / 2.0;
}

}   // namespace

const Link& triangle_link() {
    static constexpr Link link{1.0 / 3.0, triangle_gain, triangle_shortfall, triangle_slope, false};
    return link;
}

const Link& two_afc_link() {
    static constexpr Link link{0.5, two_afc_gain, two_afc_shortfall, two_afc_slope, true};
    return link;
}

}   // namespace oddplate::stats
