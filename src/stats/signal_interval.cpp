// The distances that neither exact test rejects. Tests: tests/unit/stats/signal_interval.test.cpp

#include <algorithm>
#include <cmath>

#include "oddplate/stats/promise.hpp"
#include "oddplate/stats/signal.hpp"
#include "signal_borders.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_most_d = 40;   // no count of answers tells distances above this apart
constexpr double k_within = 1e-6;
constexpr double k_slack = 1e-6;   // a root is the square root of a difference of logs, so its own rounding is near 1e-7; counts as near are as far

/// The largest chance over criteria that the data point as far up (down) from d as they do; any value above `enough` will do.
double chance_beyond(SignalRule rule, const SignalCounts& counts, double d, bool up, double enough) {
    const double root = signal_root(rule, counts, d);
    if (up ? root <= k_slack : root >= -k_slack) return 1;
    Roots roots(rule, counts.signals, counts.noises, d, false);
    const Border border = up ? roots.border_above(root - k_slack) : roots.border(root + k_slack);
    return largest_over_criteria(
        rule, d, [&](double c) { return chance_of(border, counts.noises, signal_rates(rule, d, c), up); }, enough);
}

/// Where that chance comes down to `side` on the way from d outwards; nothing where it never does.
Limit limit(SignalRule rule, const SignalCounts& counts, double from, double end, double side) {
    const bool up = end < from;   // a lower limit is a distance that is too small for such data
    const auto is_held = [&](double d) { return chance_beyond(rule, counts, d, up, side) > side; };
    double inside = from, outside = from;
    for (double step = 0.5;; step *= 2) {
        outside = up ? std::max(end, from - step) : std::min(end, from + step);
        if (!is_held(outside)) break;
        if (outside == end) return std::nullopt;
        inside = outside;
    }
    while (std::abs(outside - inside) > k_within) {
        const double middle = inside + (outside - inside) / 2;
        (is_held(middle) ? inside : outside) = middle;
    }
    return outside;   // rounded outwards
}

}   // namespace

SignalEstimate signal_limits(SignalRule rule, const SignalCounts& counts, double confidence) {
    promise(counts.both() && 0 < confidence && confidence < 1 && counts.signals + counts.noises <= k_most_exact_answers);
    const double least = rule == SignalRule::yes_no ? -k_most_d : 0, side = (1 - confidence) / 2 * (1 + 1e-12);
    const std::int64_t said = counts.hits + counts.false_alarms;
    SignalEstimate limits;
    if (said > 0 && said < counts.signals + counts.noises) {   // one word alone says nothing about distances
        const double d = std::clamp(fit_signals(rule, counts, confidence).d.estimate.value_or(
                                        counts.hits * counts.noises > counts.false_alarms * counts.signals ? k_most_d : least),
                                    least, k_most_d);
        if (d > least) limits.lower = limit(rule, counts, d, least, side);
        if (d < k_most_d) limits.upper = limit(rule, counts, d, k_most_d, side);
    }
    if (rule == SignalRule::same_different && !limits.lower) limits.lower = 0;
    return limits;
}

}   // namespace oddplate::stats
