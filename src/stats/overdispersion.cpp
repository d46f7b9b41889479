// Tarone's test, by the law of (sum k, sum k^2) where that is small and by simulation where it is not.
// Tests: tests/unit/stats/overdispersion.test.cpp

#include "oddplate/stats/overdispersion.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/promise.hpp"
#include "sampling.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_most_steps = 3e6;
constexpr std::int64_t k_enough_hits = 200;   // then the error of p is about 7 % of p

struct Sums {
    double right{0.0};       // Sum k
    double squares{0.0};     // Sum k^2
    double crossed{0.0};     // Sum n k
    void add(double k, double n, double tasters) {
        right += tasters * k;
        squares += tasters * k * k;
        crossed += tasters * n * k;
    }
};

// What the design alone says.
struct Panel {
    double answers{0.0}, squares{0.0}, pairs{0.0};   // N, Sum n^2, Sum n (n - 1)

    [[nodiscard]] double tarone(const Sums& sums) const {
        const double p = sums.right / answers;
        if (p <= 0.0 || p >= 1.0) return -HUGE_VAL;   // nothing varies: as far from differing as can be
        const double spread = sums.squares - 2.0 * p * sums.crossed + p * p * squares;
        return (spread / (p * (1.0 - p)) - answers) / std::sqrt(2.0 * pairs);
    }
};

struct SameSets {
    std::int64_t of, tasters;
};

std::vector<SameSets> by_sets(std::span<const AlikeCounts> counts) {
    std::map<std::int64_t, std::int64_t> tasters;
    for (const AlikeCounts& count : counts) tasters[count.of] += count.tasters;
    std::vector<SameSets> groups;
    for (const auto& [of, number] : tasters) groups.push_back({of, number});
    return groups;
}

// P(Sum k^2 >= squares | Sum k = right) for tasters of n answers each, one taster at a time.
double exact_p(const SameSets& group, std::int64_t right, std::int64_t squares, double p) {
    const auto rows = static_cast<std::size_t>(right) + 1;
    const auto columns = static_cast<std::size_t>(squares) + 1;   // all at or beyond the observed share the last column
    std::vector<double> one;
    for (std::int64_t k = 0; k <= group.of; ++k) one.push_back(binomial_pmf(k, group.of, p));
    std::vector<double> law(rows * columns, 0.0);
    law[0] = 1.0;
    for (std::int64_t taster = 0; taster < group.tasters; ++taster) {
        std::vector<double> next(law.size(), 0.0);
        for (std::size_t k = 0; k < one.size() && k < rows; ++k)
            for (std::size_t row = k; row < rows; ++row)
                for (std::size_t column = 0; column < columns; ++column)
                    next[row * columns + std::min(columns - 1, column + k * k)] += one[k] * law[(row - k) * columns + column];
        law = std::move(next);
    }
    const double* last = law.data() + (rows - 1) * columns;
    double all = 0.0;
    for (std::size_t column = 0; column < columns; ++column) all += last[column];
    return last[columns - 1] / all;
}

// The right answers of tasters alike in n: how many of them have each k, by binomials of what is left; taster by taster where that is less.
class AlikeDraw {
public:
    AlikeDraw(const SameSets& group, double p) : m_group(group), m_p(p) {
        if (group.tasters <= group.of) return;
        double left = 1.0;
        for (std::int64_t k = 0; k <= group.of; ++k) {
            const double at = binomial_pmf(k, group.of, p);
            m_given.push_back(left > 0.0 ? std::min(1.0, at / left) : 1.0);
            left -= at;
        }
        m_given.back() = 1.0;
    }
    [[nodiscard]] double cost() const { return static_cast<double>(std::min(m_group.tasters, m_group.of + 1)) * 80.0; }   // a binomial draw costs some 80 words
    void add_to(Sums& sums, core::PhiloxStream& stream) const {
        const auto n = static_cast<double>(m_group.of);
        if (m_given.empty()) {
            for (std::int64_t i = 0; i < m_group.tasters; ++i)
                sums.add(static_cast<double>(binomial_draw(stream, m_group.of, m_p)), n, 1.0);
            return;
        }
        std::int64_t left = m_group.tasters;
        for (std::size_t k = 0; k < m_given.size() && left > 0; ++k) {
            const std::int64_t here = binomial_draw(stream, left, m_given[k]);
            left -= here;
            sums.add(static_cast<double>(k), n, static_cast<double>(here));
        }
    }

private:
    SameSets m_group;
    double m_p;
    std::vector<double> m_given;   // P(k | not fewer)
};

PValue bootstrap_p(const Panel& panel, const std::vector<SameSets>& groups, double p, double observed, std::uint64_t seed) {
    std::vector<AlikeDraw> draws;
    double cost = 0.0;
    for (const SameSets& group : groups) {
        draws.emplace_back(group, p);
        cost += draws.back().cost();
    }
    const std::int64_t most = draws_within_budget(cost);
    std::int64_t hits = 0;
    for (std::int64_t replicate = 0; replicate < most; ++replicate) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(replicate));
        Sums sums;
        for (const AlikeDraw& draw : draws) draw.add_to(sums, stream);
        if (panel.tarone(sums) >= observed - 1e-9) ++hits;
        if (hits == k_enough_hits) return stopped_early_p(hits, replicate + 1);
    }
    return monte_carlo_p(hits, most);
}

NoSpread why_not(const CountTotals& all, double chance) {
    if (all.tasters == 1) return NoSpread::one_taster;
    if (!all.repeats) return NoSpread::one_answer_each;
    if (all.correct == all.answers) return NoSpread::all_right;
    const double by_guessing = static_cast<double>(all.answers) * chance * (1.0 + 1e-12);
    return static_cast<double>(all.correct) <= by_guessing ? NoSpread::not_above_chance : NoSpread::has_one;
}

}   // namespace

Overdispersion tasters_differ(double chance, std::span<const AlikeCounts> counts, std::uint64_t seed) {
    promise(!counts.empty());
    const CountTotals all = totals(counts);
    Overdispersion found;
    found.why = why_not(all, chance);
    if (found.why != NoSpread::has_one) return found;
    Panel panel;
    Sums sums;
    for (const AlikeCounts& count : counts) {
        const auto n = static_cast<double>(count.of), tasters = static_cast<double>(count.tasters);
        panel.answers += tasters * n;
        panel.squares += tasters * n * n;
        panel.pairs += tasters * n * (n - 1.0);
        sums.add(static_cast<double>(count.correct), n, tasters);
    }
    found.statistic = panel.tarone(sums);
    const std::vector<SameSets> groups = by_sets(counts);
    const double p = sums.right / panel.answers;
    const double steps = static_cast<double>(all.tasters) * (sums.right + 1.0) * (sums.squares + 1.0) * static_cast<double>(groups.front().of + 1);
    if (groups.size() == 1 && steps <= k_most_steps)
        found.p_value = PValue{exact_p(groups.front(), all.correct, static_cast<std::int64_t>(sums.squares), p)};
    else
        found.p_value = bootstrap_p(panel, groups, p, found.statistic, seed);
    return found;
}

}   // namespace oddplate::stats
