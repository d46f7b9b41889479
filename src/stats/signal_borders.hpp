#pragma once
// Tests of hits and false alarms are borders in the table of counts: for so many hits, up to (or from) how many false alarms one holds.
// Borders rise with the hits, so one walk finds them, and a chance is a sum over hits of a binomial tail.

#include <cmath>
#include <cstdint>
#include <vector>

#include "oddplate/stats/signal.hpp"

namespace oddplate::stats {

/// For each number of hits, one number of false alarms.
using Border = std::vector<std::int64_t>;

/// Roots at one margin by counts; with `remember` each is found once, for whoever asks for several borders.
class Roots {
public:
    Roots(SignalRule rule, std::int64_t signals, std::int64_t noises, double margin, bool remember)
        : m_rule(rule), m_signals(signals), m_noises(noises), m_margin(margin),
          m_known(remember ? static_cast<std::size_t>((signals + 1) * (noises + 1)) : 0, k_unknown) {}
    double at(std::int64_t hits, std::int64_t false_alarms);
    /// [h] = the fewest false alarms at which the root is at most `root`, noises + 1 for none.
    Border border(double root);
    /// [h] = the most false alarms at which the root is at least `root`, -1 for none.
    Border border_above(double root);

private:
    static constexpr double k_unknown = 1e300;
    SignalRule m_rule;
    std::int64_t m_signals, m_noises;
    double m_margin;
    std::vector<double> m_known;
};

/// P(F <= border[H]), or P(F >= border[H]).
[[nodiscard]] double chance_of(const Border& border, std::int64_t noises, const SignalRates& rates, bool below);

/// The largest value over criteria, on a grid of steps of 1/20 whose best places are refined; any value above `enough` will do.
template <class F>
double largest_over_criteria(SignalRule rule, double d, F chance, double enough = 2) {
    const double low = rule == SignalRule::yes_no ? -4 - std::abs(d) / 2 : 0.02, high = 4 + std::abs(d) / 2;
    constexpr double k_step = 0.05;
    double best = 0, at = low;
    for (double c = low; c <= high; c += k_step) {
        const double here = chance(c);
        if (here > best) best = here, at = c;
        if (best > enough) return best;
    }
    for (double step = k_step / 2; step > 0.002; step /= 2) {
        for (const double c : {at - step, at + step}) {
            if (c <= 0 && rule == SignalRule::same_different) continue;
            const double here = chance(c);
            if (here > best) best = here, at = c;
        }
    }
    return best;
}

}   // namespace oddplate::stats
