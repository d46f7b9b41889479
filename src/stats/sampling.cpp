// Inversion: the unit interval is laid out from the mode outward, the larger neighbour first, so few steps are needed.
// Tests: tests/unit/stats/cochran.test.cpp (against the exact laws)

#include "sampling.hpp"

#include <algorithm>
#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/hypergeometric.hpp"

namespace oddplate::stats {
namespace {

// up(k) = P(k + 1)/P(k) on least..most.
template <class Up>
std::int64_t invert(double u, std::int64_t mode, double at_mode, std::int64_t least, std::int64_t most, Up up) {
    std::int64_t low = mode;
    std::int64_t high = mode;
    double at_low = at_mode;
    double at_high = at_mode;
    u -= at_mode;
    while (u > 0.0 && (low > least || high < most)) {
        const double next_low = low > least ? at_low / up(low - 1) : -1.0;
        const double next_high = high < most ? at_high * up(high) : -1.0;
        if (next_high >= next_low) {
            ++high;
            u -= at_high = next_high;
            if (u <= 0.0) return high;
        } else {
            --low;
            u -= at_low = next_low;
            if (u <= 0.0) return low;
        }
        if (std::max(next_low, next_high) <= 0.0) break;   // rounding left a crumb of u beyond both ends
    }
    return mode;
}

}   // namespace

std::int64_t binomial_draw(core::PhiloxStream& stream, std::int64_t n, double p) {
    if (n == 0 || p <= 0.0) return 0;
    if (p >= 1.0) return n;
    const std::int64_t mode = std::min(n, static_cast<std::int64_t>(static_cast<double>(n + 1) * p));
    const double odds = p / (1.0 - p);
    return invert(stream.uniform(), mode, binomial_pmf(mode, n, p), 0, n,
                  [&](std::int64_t k) { return odds * static_cast<double>(n - k) / static_cast<double>(k + 1); });
}

std::int64_t hypergeometric_draw(core::PhiloxStream& stream, std::int64_t total, std::int64_t marked, std::int64_t drawn) {
    const std::int64_t least = std::max<std::int64_t>(0, drawn - (total - marked));
    const std::int64_t most = std::min(marked, drawn);
    if (least == most) return least;
    const double guess = static_cast<double>(marked + 1) * static_cast<double>(drawn + 1) / static_cast<double>(total + 2);
    const std::int64_t mode = std::clamp(static_cast<std::int64_t>(guess), least, most);
    return invert(stream.uniform(), mode, hypergeometric_pmf(mode, total, marked, drawn), least, most, [&](std::int64_t k) {
        return static_cast<double>(marked - k) / static_cast<double>(k + 1) * static_cast<double>(drawn - k) /
               static_cast<double>(total - marked - drawn + k + 1);
    });
}

std::int64_t draws_within_budget(double cost_of_one) {
    return std::clamp<std::int64_t>(static_cast<std::int64_t>(5e6 / std::max(1.0, cost_of_one)), 999, 9999);
}

PValue monte_carlo_p(std::int64_t hits, std::int64_t draws) {
    const double p = static_cast<double>(1 + hits) / static_cast<double>(1 + draws);
    return {p, Found::monte_carlo, std::sqrt(p * (1.0 - p) / static_cast<double>(draws)), draws};
}

PValue stopped_early_p(std::int64_t hits, std::int64_t draws) {
    const double p = static_cast<double>(hits) / static_cast<double>(draws);
    return {p, Found::monte_carlo, p * std::sqrt((1.0 - p) / static_cast<double>(hits)), draws};
}

}   // namespace oddplate::stats
