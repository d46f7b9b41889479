#include "level_looks.hpp"

#include <cmath>

namespace oddplate::methods {

std::vector<std::pair<double, double>> level_curve(const stats::RiseCurve& curve, double low, double high, bool logarithmic) {
    constexpr int k_pieces = 80;
    const double first = logarithmic ? std::log(low) : low, last = logarithmic ? std::log(high) : high;
    std::vector<std::pair<double, double>> points;
    for (int i = 0; i <= k_pieces; ++i) {
        const double part = static_cast<double>(i) / k_pieces, x = first * (1 - part) + last * part;   // the difference of the two might overflow
        points.emplace_back(logarithmic ? std::exp(x) : x, curve.share(x));
    }
    return points;
}

}   // namespace oddplate::methods
