// Tests: tests/unit/stats/served_first.test.cpp

#include "oddplate/stats/served_first.hpp"

#include <algorithm>
#include <numeric>
#include <utility>
#include <vector>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/holm.hpp"
#include "oddplate/stats/order_conditional.hpp"
#include "sampling.hpp"

namespace oddplate::stats {
namespace {

constexpr std::int64_t k_enough = 250;   // hits, and a p above .02 is known to a twentieth of itself

// A habit that only just shows need not be known to three digits.
constexpr double k_budget = 1e7;
constexpr std::int64_t k_deals = 9'999;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// 1 where the first served was ranked before the second, 0 where after, 1/2 where they tied.
double of_first(const RankedTray& tray) { return tray.ranks[0] < tray.ranks[1] ? 1 : tray.ranks[0] > tray.ranks[1] ? 0 : 0.5; }

}   // namespace

double first_habit_p(std::span<const RankedTray> trays) {
    std::int64_t first = 0, second = 0;
    for (const RankedTray& tray : trays) {
        first += of_first(tray) == 1;
        second += of_first(tray) == 0;
    }
    return first + second == 0 ? 1 : std::min(1.0, 2 * binomial_lower(std::min(first, second), first + second, 0.5));
}

double place_habit_p(std::span<const RankedTray> trays, std::uint64_t seed, bool quick) {
    std::vector<RankedTray> by_place(trays.begin(), trays.end());
    int places = 2;
    for (RankedTray& tray : by_place) {
        std::iota(tray.samples.begin(), tray.samples.end(), 0);
        places = std::max(places, static_cast<int>(tray.samples.size()));
    }
    return quick ? rank_statistic(by_place, places).p_chi_square : rank_p(by_place, places, seed, k_budget, k_deals).p;
}

PValue alike_but_for_order(std::span<const RankedTray> trays, int samples, std::uint64_t seed, std::int64_t draws) {
    if (trays.empty()) return {};
    std::vector<double> said, served(at(samples), 0), sums(at(samples));
    double mean = 0;
    for (const RankedTray& tray : trays) {
        said.push_back(of_first(tray));
        mean += said.back() / static_cast<double>(trays.size());
        for (const int sample : tray.samples) ++served[at(sample)];
    }
    const auto statistic = [&] {
        std::fill(sums.begin(), sums.end(), 0);
        for (std::size_t t = 0; t < trays.size(); ++t) {
            sums[at(trays[t].samples[0])] += said[t] - mean;
            sums[at(trays[t].samples[1])] -= said[t] - mean;
        }
        double total = 0;
        for (std::size_t s = 0; s < sums.size(); ++s) total += served[s] > 0 ? sums[s] * sums[s] / served[s] : 0;
        return total;
    };
    const double observed = statistic(), least = observed - 1e-9 * (1 + observed);
    core::PhiloxStream stream(seed, trays.size());
    std::int64_t hits = 0;
    for (std::int64_t draw = 1; draw <= draws; ++draw) {
        for (std::size_t i = said.size(); i > 1; --i) std::swap(said[i - 1], said[stream.below(static_cast<std::uint32_t>(i))]);
        hits += statistic() >= least;
        if (hits >= k_enough) return stopped_early_p(hits, draw);
    }
    return monte_carlo_p(hits, draws);
}

std::map<std::pair<int, int>, double> pairs_but_for_order(std::span<const RankedTray> trays) {
    std::map<std::pair<int, int>, TwoOrders> counts;   // "new" is the one of the smaller number
    for (const RankedTray& tray : trays) {
        const bool smaller_first = tray.samples[0] < tray.samples[1];
        TwoOrders& count = counts[std::minmax(tray.samples[0], tray.samples[1])];
        const double first = of_first(tray);
        if (first == 0.5) continue;
        (smaller_first ? count.new_first : count.current_first) += 1;
        if (first == 1) (smaller_first ? count.new_first_chose_first : count.current_first_chose_first) += 1;
    }
    std::vector<double> p_values;
    for (const auto& [pair, count] : counts) p_values.push_back(order_conditional_p(count).two_sided);
    const std::vector<double> adjusted = holm_adjusted(p_values);
    std::map<std::pair<int, int>, double> found;
    for (const auto& [pair, count] : counts) {
        const double p = adjusted[found.size()];
        const std::int64_t more = count.new_first - count.current_first;
        found.emplace(pair, more * more > count.new_first + count.current_first ? p : 0);
    }
    return found;
}

}   // namespace oddplate::stats
