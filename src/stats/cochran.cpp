// Do the spots differ? A permutation test within tasters: exact law of the spots' totals where it is small enough, seeded
// permutations beyond. Large groups of alike tasters are drawn at once (how many of them fall each way), so a panel of thousands
// stays quick. Tests: tests/unit/stats/cochran.test.cpp

#include "oddplate/stats/cochran.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>
#include <vector>

#include "oddplate/stats/promise.hpp"
#include "sampling.hpp"
#include "spot_law.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_most_steps = 3e6;
constexpr std::size_t k_most_falls = 256;
constexpr std::int64_t k_enough_hits = 200;   // then the error of p is about 7 % of p, and more draws would not change what is said

struct Sorted {
    std::vector<SpotGroup> groups;           // tasters whose answers can fall in more than one way
    std::vector<std::int64_t> fixed;         // right answers by spot of all others
    std::vector<std::int64_t> sets, right;   // by spot, of all
    bool symmetric{true};                    // each taster has the same number of sets at every spot
    bool one_each{true};                     // and that number is 1 (or 0: not there at all)
    double squares{0.0};                     // Sum over tasters of (right answers)^2
};

Sorted sort_out(const SpotTable& table) {
    const std::size_t spots = table.spots;
    promise(spots >= 1 && table.sets.size() == table.correct.size() && table.sets.size() % spots == 0);
    Sorted sorted;
    sorted.fixed.assign(spots, 0);
    sorted.sets.assign(spots, 0);
    sorted.right.assign(spots, 0);
    std::map<std::pair<std::vector<std::int64_t>, std::int64_t>, std::int64_t> alike;
    for (std::size_t at = 0; at < table.sets.size(); at += spots) {
        std::vector<std::int64_t> sets(table.sets.begin() + static_cast<std::ptrdiff_t>(at),
                                       table.sets.begin() + static_cast<std::ptrdiff_t>(at + spots));
        std::int64_t right = 0;
        std::int64_t all = 0;
        for (std::size_t j = 0; j < spots; ++j) {
            promise(0 <= table.correct[at + j] && table.correct[at + j] <= sets[j]);
            right += table.correct[at + j];
            all += sets[j];
            sorted.sets[j] += sets[j];
            sorted.right[j] += table.correct[at + j];
            if (sets[j] != sets[0]) sorted.symmetric = false;
        }
        if (sets[0] > 1) sorted.one_each = false;
        sorted.squares += static_cast<double>(right) * static_cast<double>(right);
        const bool at_one_spot = *std::max_element(sets.begin(), sets.end()) == all;
        if (right > 0 && right < all && !at_one_spot) {
            ++alike[{std::move(sets), right}];
        } else {
            for (std::size_t j = 0; j < spots; ++j) sorted.fixed[j] += table.correct[at + j];
        }
    }
    sorted.one_each = sorted.one_each && sorted.symmetric;
    for (const auto& [key, tasters] : alike) {
        sorted.groups.push_back({key.first, key.second, tasters, all_falls(key.first, key.second, k_most_falls)});
    }
    return sorted;
}

double between_squares(std::span<const std::int64_t> right, const Sorted& sorted) {
    double total = 0.0;
    double sets = 0.0;
    double sum = 0.0;
    for (std::size_t j = 0; j < right.size(); ++j) {
        if (sorted.sets[j] == 0) continue;
        const double t = static_cast<double>(right[j]);
        const double n = static_cast<double>(sorted.sets[j]);
        sum += t * t / n;
        total += t;
        sets += n;
    }
    return sum - total * total / sets;
}

// As extreme as observed, allowing for the rounding of equal sums of squares.
bool at_least(double statistic, double observed) {
    return statistic >= observed - 1e-9 * std::max(1.0, observed);
}

void add_fall(const Fall& fall, std::int64_t times, std::vector<std::int64_t>& totals) {
    for (std::size_t j = 0; j < totals.size(); ++j) totals[j] += times * fall.right[j];
}

// How many of the group's tasters fall each way: a multinomial draw as a chain of binomials.
void draw_listed(core::PhiloxStream& stream, const SpotGroup& group, std::vector<std::int64_t>& totals) {
    std::int64_t left = group.tasters;
    double weight_left = 1.0;
    for (std::size_t i = 0; i < group.falls.size() && left > 0; ++i) {
        const Fall& fall = group.falls[i];
        const bool last = i + 1 == group.falls.size();
        const std::int64_t times = last ? left : binomial_draw(stream, left, fall.weight / weight_left);
        add_fall(fall, times, totals);
        left -= times;
        weight_left -= fall.weight;
    }
}

// One taster after the other, one spot after the other.
void draw_unlisted(core::PhiloxStream& stream, const SpotGroup& group, std::vector<std::int64_t>& totals) {
    for (std::int64_t taster = 0; taster < group.tasters; ++taster) {
        std::int64_t sets = 0;
        for (const std::int64_t here : group.sets) sets += here;
        std::int64_t right = group.right;
        for (std::size_t j = 0; j < totals.size() && right > 0; ++j) {
            const std::int64_t here = hypergeometric_draw(stream, sets, right, group.sets[j]);
            totals[j] += here;
            right -= here;
            sets -= group.sets[j];
        }
    }
}

PValue permuted(const Sorted& sorted, double observed, std::uint64_t seed) {
    double cost = 0.0;   // a binomial draw costs about 64 elementary ones
    for (const SpotGroup& group : sorted.groups) {
        cost += group.falls.empty() ? 64.0 * static_cast<double>(group.tasters) * static_cast<double>(sorted.sets.size())
                                    : 64.0 * static_cast<double>(group.falls.size());
    }
    const std::int64_t draws = draws_within_budget(cost);
    std::int64_t hits = 0;
    std::vector<std::int64_t> totals;
    for (std::int64_t draw = 0; draw < draws; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        totals = sorted.fixed;
        for (const SpotGroup& group : sorted.groups) {
            if (group.falls.empty())
                draw_unlisted(stream, group, totals);
            else
                draw_listed(stream, group, totals);
        }
        if (at_least(between_squares(totals, sorted), observed)) ++hits;
        if (hits == k_enough_hits) return stopped_early_p(hits, draw + 1);
    }
    return monte_carlo_p(hits, draws);
}

/// One answer a taster, each at one spot: nothing can be exchanged within tasters, but the answers can among all of them (Fisher 1935; Freeman & Halton
/// 1951), as if they were one taster's.
std::optional<std::array<std::vector<std::int64_t>, 2>> as_one_taster(const SpotTable& table, const Sorted& sorted) {
    for (std::size_t at = 0; at < table.sets.size(); at += table.spots) {
        std::int64_t all = 0;
        for (std::size_t j = 0; j < table.spots; ++j) all += table.sets[at + j];
        if (all > 1) return std::nullopt;
    }
    return std::array{sorted.sets, sorted.right};
}

}   // namespace

SpotTest spots_differ(const SpotTable& table, std::uint64_t seed) {
    const Sorted sorted = sort_out(table);
    SpotTest result;
    const auto visited = std::count_if(sorted.sets.begin(), sorted.sets.end(), [](std::int64_t sets) { return sets > 0; });
    if (visited < 2) {
        result.why = NoSpotTest::one_spot;
        return result;
    }
    const double observed = between_squares(sorted.right, sorted);
    result.statistic = observed;
    if (sorted.groups.empty()) {
        const bool is_one = table.sets.size() == table.spots;
        if (const auto one = is_one ? std::nullopt : as_one_taster(table, sorted)) return spots_differ({table.spots, (*one)[0], (*one)[1]}, seed);
        result.why = NoSpotTest::nothing_varies;
        return result;
    }
    if (sorted.one_each) {
        // Q = s (s - 1) Sum (T_j - mean)^2 / (s T - Sum r_i^2), and the sum of squares here is Sum (T_j - mean)^2 / N_1.
        const double spots = static_cast<double>(table.spots);
        double total = 0.0;
        for (const std::int64_t right : sorted.right) total += static_cast<double>(right);
        result.is_cochran_q = true;
        result.statistic =
            spots * (spots - 1.0) * observed * static_cast<double>(sorted.sets[0]) / (spots * total - sorted.squares);
    }
    if (const auto law = exact_spot_law(sorted.groups, sorted.fixed, sorted.sets, sorted.symmetric, k_most_steps)) {
        PValue exact{0.0, Found::exact, 0.0, 0};
        for (const WeightedTotals& point : *law) {
            if (at_least(between_squares(point.totals, sorted), observed)) exact.p += point.weight;
        }
        exact.p = std::min(1.0, exact.p);
        result.p_value = exact;
    } else {
        result.p_value = permuted(sorted, observed, seed);
    }
    return result;
}

}   // namespace oddplate::stats
