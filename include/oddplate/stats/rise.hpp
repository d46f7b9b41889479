#pragma once
// A share that rises along a level, from what guessing gives to everybody: where does it reach a wanted part of the way?

#include <cstdint>
#include <optional>
#include <span>

#include "oddplate/stats/interval.hpp"

namespace oddplate::stats {

/// One answer at x: a level, or its logarithm where levels go by ratios.
struct Placed {
    std::int32_t taster{0};
    double x{0};
    bool yes{false};
};

/// share(x) = guess + (1 - guess) / (1 + exp(-(a + b (x - mean) / scale))).
struct RiseCurve {
    double a{0}, b{0}, mean{0}, scale{1}, guess{0};

    [[nodiscard]] double share(double x) const;
    [[nodiscard]] double slope() const { return b / scale; }   ///< log odds (luck taken off) a unit of x
};

/// Why there is no point.
enum class NoPoint { has_one, one_level, no_slope, at_luck, all_one_way, one_taster, not_reached };

struct Rise {
    std::optional<RiseCurve> curve;
    std::optional<double> point;             ///< x at which the wanted part of the way is reached, where it lies in low..high
    Interval limits{};                       ///< of the point; a side beyond low..high is infinite
    NoPoint why{NoPoint::one_level};
    bool above{false};                       ///< not_reached: the point lies above the highest level (else below the lowest)
    double misfit_p{1};                      ///< chance by luck of so bad a fit of the levels' shares, approximate (as if every answer were another person's); 1 with two levels
};

/// The curve by maximum likelihood (with a guessing rate: Finney 1971, Probit Analysis, ch. 7, the natural response rate, here known from the method). Its
/// covariance takes each taster's answers as one cluster (Liang & Zeger 1986, Biometrika 73:13, times G/(G - 1)). The point solves
/// (share - guess) / (1 - guess) = `at`; its limits are Fieller's (1954, JRSS B 16:175) with Student's t of G - 1 degrees of freedom.
/// guess in [0, 1); at and confidence in (0, 1); low..high are the levels tasted, every x among them; finite numbers from any number of tasters G.
[[nodiscard]] Rise rise(std::span<const Placed> answers, double guess, double at, double confidence, double low, double high);

}   // namespace oddplate::stats
