// See signal_borders.hpp. Tests: tests/unit/stats/signal_tests.test.cpp, signal_interval.test.cpp

#include "signal_borders.hpp"

#include <algorithm>

#include "lattice.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_keep = 1e-25;   // terms below this share of the largest are left out

}   // namespace

double Roots::at(std::int64_t hits, std::int64_t false_alarms) {
    if (m_known.empty()) return signal_root(m_rule, {hits, m_signals, false_alarms, m_noises}, m_margin);
    double& root = m_known[static_cast<std::size_t>(hits * (m_noises + 1) + false_alarms)];
    if (root == k_unknown) root = signal_root(m_rule, {hits, m_signals, false_alarms, m_noises}, m_margin);
    return root;
}

Border Roots::border(double root) {
    Border border(static_cast<std::size_t>(m_signals + 1), m_noises + 1);
    std::int64_t fewest = 0;
    for (std::int64_t hits = 0; hits <= m_signals; ++hits) {
        while (fewest <= m_noises && at(hits, fewest) > root) ++fewest;
        border[static_cast<std::size_t>(hits)] = fewest;
    }
    return border;
}

Border Roots::border_above(double root) {
    Border border(static_cast<std::size_t>(m_signals + 1), -1);
    std::int64_t most = -1;
    for (std::int64_t hits = 0; hits <= m_signals; ++hits) {
        while (most + 1 <= m_noises && at(hits, most + 1) >= root) ++most;
        border[static_cast<std::size_t>(hits)] = most;
    }
    return border;
}

/// A pass over the hits with the tails of F added up beforehand.
double chance_of(const Border& border, std::int64_t noises, const SignalRates& rates, bool below) {
    const auto signals = static_cast<std::int64_t>(border.size()) - 1;
    const Lattice alarms = binomial_lattice(noises, rates.false_alarm, k_keep), hits = binomial_lattice(signals, rates.hit, k_keep);
    std::vector<double> tails = alarms.weights;   // of F from each of its values outwards, smallest terms first
    if (below)
        for (std::size_t i = 1; i < tails.size(); ++i) tails[i] += tails[i - 1];
    else
        for (std::size_t i = tails.size() - 1; i-- > 0;) tails[i] += tails[i + 1];
    double sum = 0;
    for (std::int64_t h = hits.first; h <= hits.last(); ++h) {
        const std::int64_t f = border[static_cast<std::size_t>(h)];
        if (below ? f < alarms.first : f > alarms.last()) continue;
        const bool all = below ? f >= alarms.last() : f <= alarms.first;
        const double tail = all ? 1.0 : tails[static_cast<std::size_t>(f - alarms.first)];
        sum += tail * hits.at(h);
    }
    return std::min(1.0, sum);
}

}   // namespace oddplate::stats
