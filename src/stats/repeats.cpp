// Tests: tests/unit/stats/repeats.test.cpp

#include "oddplate/stats/repeats.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

constexpr std::int64_t k_most_people = 500;
constexpr std::int64_t k_run = 40;   // sizes in a row that have the power, before every larger one is taken to have it

double log_factorial(std::int64_t n) { return std::lgamma(static_cast<double>(n) + 1); }

/// log of the number of ways in which so many people have one vote each way, `for_a` of all votes for the one.
double log_ways(std::int64_t people, std::int64_t for_a, std::int64_t changed) {
    const std::int64_t both_a = (for_a - changed) / 2, both_b = people - changed - both_a;
    return static_cast<double>(changed) * std::log(2.0) - log_factorial(both_a) - log_factorial(changed) - log_factorial(both_b);
}

/// Lower tails at changed = least, least + 2, ...
std::vector<double> tails(std::int64_t people, std::int64_t for_a) {
    const std::int64_t least = for_a % 2, most = std::min(for_a, 2 * people - for_a);
    std::vector<double> ways;
    for (std::int64_t changed = least; changed <= most; changed += 2) ways.push_back(log_ways(people, for_a, changed));
    const double top = *std::max_element(ways.begin(), ways.end());
    double all = 0, sum = 0;
    for (double& way : ways) all += way = std::exp(way - top);
    for (double& way : ways) way = std::min(1.0, (sum += way) / all);
    return ways;
}

}   // namespace

double steady_p(std::int64_t people, std::int64_t for_a, std::int64_t changed) {
    promise(people >= 1 && 0 <= for_a && for_a <= 2 * people && changed % 2 == for_a % 2 && 0 <= changed && changed <= std::min(for_a, 2 * people - for_a));
    return tails(people, for_a)[static_cast<std::size_t>(changed / 2)];
}

double power_steady(std::int64_t people, double steadiness, double alpha) {
    promise(people >= 1 && 0.5 <= steadiness && steadiness <= 1 && 0 < alpha && alpha < 1);
    const double changes = 2 * steadiness * (1 - steadiness);
    double power = 0;
    for (std::int64_t for_a = 0; for_a <= 2 * people; ++for_a) {
        const std::vector<double> p = tails(people, for_a);
        for (std::size_t i = 0; i < p.size() && significant(p[i], alpha); ++i) {
            const std::int64_t changed = for_a % 2 + 2 * static_cast<std::int64_t>(i), both_a = (for_a - changed) / 2;
            power += binomial_pmf(changed, people, changes) * binomial_pmf(both_a, people - changed, 0.5);
        }
    }
    return std::min(1.0, power);
}

std::optional<PanelSize> size_steady(double steadiness, double alpha, double power) {
    if (power_steady(k_most_people, steadiness, alpha) < power) return std::nullopt;
    std::int64_t low = 1, high = k_most_people;   // near the place, whatever the teeth of the saw
    while (high - low > 1) {
        const std::int64_t middle = low + (high - low) / 2;
        (power_steady(middle, steadiness, alpha) < power ? low : high) = middle;
    }
    PanelSize size;
    std::int64_t run = 0;
    for (std::int64_t people = std::max<std::int64_t>(2, high - k_run); run < k_run; ++people) {
        const double reached = power_steady(people, steadiness, alpha);
        run = reached >= power ? run + 1 : 0;
        if (run == 1) size.tasters_safe = people;
        if (run == 1 && size.tasters == 0) size.tasters = people, size.power_actual = reached, size.alpha_actual = power_steady(people, 0.5, alpha);
    }
    return size;
}

}   // namespace oddplate::stats
