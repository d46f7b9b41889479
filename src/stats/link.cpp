// The curve's inverse. From a start that is good to 1e-7 or so one step of Newton's method does, two at the most. A curve without
// such a start is searched inside a bracket, on a scale on which it is nearly straight: log gain against log d near guessing
// (gain ~ d or d^2 there), log shortfall against d at the far end (it falls like exp(-d^2)). Tests: tests/unit/stats/link.test.cpp

#include "oddplate/stats/link.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

constexpr int k_most_steps = 200;

constexpr int k_few_steps = 6;
constexpr double k_good_step = 1e-8;   // the error after such a step is its square

/// Newton from a near start; `step` gives what to add. Nothing where the steps do not shrink as they should.
template <class Step>
std::optional<double> polished(double d, Step step) {
    for (int i = 0; i < k_few_steps; ++i) {
        const double by = step(d);
        d += by;
        if (!(d > 0.0)) return std::nullopt;
        if (std::fabs(by) <= k_good_step * d) return d;
    }
    return std::nullopt;
}

struct Bracket {
    double low;
    double high;
};

// Root of a rising function in the bracket. f gives value and slope; a Newton step that leaves the bracket becomes a bisection.
template <class F>
double rising_root(F f, Bracket bracket, double start) {
    double x = start;
    for (int i = 0; i < k_most_steps; ++i) {
        const auto [value, slope] = f(x);
        if (value == 0.0) return x;
        (value < 0.0 ? bracket.low : bracket.high) = x;
        double next = x - value / slope;
        if (!(bracket.low < next && next < bracket.high)) next = bracket.low + (bracket.high - bracket.low) / 2.0;
        if (std::fabs(next - x) <= 2e-16 * std::fabs(next)) return next;
        x = next;
    }
    return x;
}

struct ValueSlope {
    double value;
    double slope;
};

// d > 0 with gain(d) = g, for 0 < g below half of what there is to gain. u = log d is the unknown.
double solve_gain(const Link& link, double g) {
    if (link.start_by_gain != nullptr)
        if (const auto d = polished(link.start_by_gain(g), [&](double at) { return (g - link.gain(at)) / link.slope(at); })) return *d;
    Bracket d{1.0, 1.0};
    while (link.gain(d.low) > g) d.low /= 16.0;
    while (link.gain(d.high) < g) d.high *= 2.0;
    const double target = std::log(g);
    const auto f = [&](double u) {
        const double at = std::exp(u);
        const double gain = link.gain(at);
        return ValueSlope{std::log(gain) - target, at * link.slope(at) / gain};
    };
    const Bracket u{std::log(d.low), std::log(d.high)};
    const double first = std::exp(rising_root(f, u, (u.low + u.high) / 2.0));
    // exp lost digits of u that is far from 0; one plain step gives them back.
    const double last = first - (link.gain(first) - g) / link.slope(first);
    return last > 0.0 ? last : first;
}

// d with shortfall(d) = s, for s at most half of what there is to gain (d is then above 0).
double solve_shortfall(const Link& link, double s) {
    if (link.start_by_shortfall != nullptr)
        if (const auto d = polished(link.start_by_shortfall(s), [&](double at) {
                const double shortfall = link.shortfall(at);
                return std::log(shortfall / s) * shortfall / link.slope(at);
            }))
            return *d;
    Bracket d{0.0, 1.0};
    while (link.shortfall(d.high) > s && d.high < 1e3) d.high *= 2.0;
    const double target = std::log(s);
    const auto f = [&](double at) {
        const double shortfall = link.shortfall(at);
        if (shortfall <= 0.0) return ValueSlope{1.0, 0.0};   // past underflow: the root lies to the left
        return ValueSlope{target - std::log(shortfall), link.slope(at) / shortfall};
    };
    return rising_root(f, d, (d.low + d.high) / 2.0);
}

// d < 0 with Pc(d) = p below chance, on a signed curve: bisection with Newton steps on Pc itself.
std::optional<double> solve_below(const Link& link, double g) {
    if (g <= -link.chance) return std::nullopt;
    Bracket d{-1.0, 0.0};
    while (link.gain(d.low) > g && d.low > -1e3) d.low *= 2.0;
    const auto f = [&](double at) { return ValueSlope{link.gain(at) - g, link.slope(at)}; };
    return rising_root(f, d, (d.low + d.high) / 2.0);
}

}   // namespace

double proportion_correct(const Link& link, double d) {
    promise(link.is_signed || d >= 0.0);
    const double gain = link.gain(d);
    if (gain < (1.0 - link.chance) / 2.0) return link.chance + gain;
    return 1.0 - link.shortfall(d);
}

std::optional<double> d_from_gain(const Link& link, double g) {
    const double most = 1.0 - link.chance;
    if (!(g < most)) return std::nullopt;
    if (g == 0.0 || (g < 0.0 && !link.is_signed)) return 0.0;
    if (g < 0.0) return solve_below(link, g);
    if (g <= most / 2.0) return solve_gain(link, g);
    return solve_shortfall(link, most - g);
}

std::optional<double> d_from_shortfall(const Link& link, double s) {
    promise(0.0 <= s && s <= 1.0);
    if (s == 0.0) return std::nullopt;
    const double most = 1.0 - link.chance;
    if (s >= most / 2.0) return d_from_gain(link, most - s);
    return solve_shortfall(link, s);
}

std::optional<double> d_from_proportion(const Link& link, double p) {
    promise(0.0 <= p && p <= 1.0);
    const double gain = p - link.chance;
    return gain <= (1.0 - link.chance) / 2.0 ? d_from_gain(link, gain) : d_from_shortfall(link, 1.0 - p);
}

std::optional<double> d_from_count(const Link& link, std::int64_t k, std::int64_t n) {
    promise(n >= 1 && 0 <= k && k <= n);
    const double count = static_cast<double>(n);
    const double shortfall = static_cast<double>(n - k) / count;
    if (shortfall < (1.0 - link.chance) / 2.0) return d_from_shortfall(link, shortfall);
    // k - n chance is free of rounding up to the last digit of chance itself; what that digit alone makes (8 of 24 at 1/3) is no
    // gain.
    const double excess = std::fma(-count, link.chance, static_cast<double>(k));
    if (std::fabs(excess) <= std::numeric_limits<double>::epsilon() * count * link.chance) return 0.0;
    return d_from_gain(link, excess / count);
}

std::optional<double> d_standard_error(const Link& link, double d, std::int64_t n) {
    promise(n >= 1 && (link.is_signed || d >= 0.0));
    const double slope = link.slope(d);
    const double correct = link.chance + link.gain(d);
    const double variance = correct * link.shortfall(d);
    if (!(slope > 0.0) || !(variance > 0.0)) return std::nullopt;
    return std::sqrt(variance / static_cast<double>(n)) / slope;
}

double discriminators_from_proportion(double chance, double p) {
    return std::max(0.0, (p - chance) / (1.0 - chance));
}

double proportion_from_discriminators(double chance, double pd) {
    return chance + (1.0 - chance) * pd;
}

double discriminators_from_d(const Link& link, double d) {
    promise(link.is_signed || d >= 0.0);
    const double most = 1.0 - link.chance;
    const double gain = link.gain(d);
    if (gain <= most / 2.0) return std::max(0.0, gain / most);
    return 1.0 - link.shortfall(d) / most;
}

std::optional<double> d_from_discriminators(const Link& link, double pd) {
    promise(0.0 <= pd && pd <= 1.0);
    const double most = 1.0 - link.chance;
    return pd <= 0.5 ? d_from_gain(link, pd * most) : d_from_shortfall(link, (1.0 - pd) * most);
}

}   // namespace oddplate::stats
