#pragma once
// The search for a panel size that all exact sizes share: find where it is worth looking, walk that stretch, note the first n
// that passes and the last that fails. Why the stretch is finite stands at size_difference (power.hpp).

#include <cmath>
#include <cstdint>
#include <numbers>
#include <optional>

#include "oddplate/stats/power.hpp"

namespace oddplate::stats {

/// Power reached, allowing for rounding as `significant` does.
inline bool reached(double power, double wanted) {
    return power >= wanted * (1.0 - 1e-12);
}

/// Hoeffding (1963): from this n on, least_correct at p0 exists and the miss rate at p0 + difference is at most `miss`.
inline double hoeffding_n(double difference, double alpha, double miss) {
    const double root = (std::sqrt(std::log(1.0 / alpha)) + std::sqrt(std::log(1.0 / miss))) / std::numbers::sqrt2 / difference;
    return root * root;
}

/// Herzog (1947): no single probability of Binomial(n, p) is above this.
inline double highest_pmf(std::int64_t n, double p) {
    return 1.0 / std::sqrt(2.0 * std::numbers::e * static_cast<double>(n) * p * (1.0 - p));
}

/// Smallest n in low..high with holds(n), for a property that stays once it holds; high + 1 where it does not hold at high.
template <class Holds>
std::int64_t first_that_holds(std::int64_t low, std::int64_t high, Holds holds) {
    if (!holds(high)) return high + 1;
    while (low < high) {
        const std::int64_t middle = low + (high - low) / 2;
        if (holds(middle))
            high = middle;
        else
            low = middle + 1;
    }
    return low;
}

/// Walks n from walk.n() to `last`, where power is known to hold from `last` on.
template <class Walk>
std::optional<PanelSize> scan_sizes(Walk walk, std::int64_t last, double wanted) {
    PanelSize best;
    best.tasters_safe = walk.n();
    for (;;) {
        const double power = walk.power();
        if (!reached(power, wanted)) {
            best.tasters_safe = walk.n() + 1;
        } else if (best.tasters == 0) {
            best.tasters = walk.n();
            best.critical = walk.critical();
            best.alpha_actual = walk.size();
            best.power_actual = power;
        }
        if (walk.n() >= last) break;
        walk.more();
    }
    if (best.tasters == 0) return std::nullopt;
    return best;
}

}   // namespace oddplate::stats
