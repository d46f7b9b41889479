#include "oddplate/stats/served_first.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

#include "oddplate/stats/order_conditional.hpp"

using namespace oddplate;

namespace {

stats::RankedTray tray(int first, int second, double of_first) {
    return {0, {first, second}, of_first == 1 ? std::vector<double>{1, 2} : of_first == 0 ? std::vector<double>{2, 1} : std::vector<double>{1.5, 1.5}};
}

/// The statistic as its docstring says it.
double statistic(const std::vector<stats::RankedTray>& trays, const std::vector<double>& said, int samples) {
    double mean = 0;
    for (const double one : said) mean += one / static_cast<double>(said.size());
    double total = 0;
    for (int s = 0; s < samples; ++s) {
        double sum = 0, served = 0;
        for (std::size_t t = 0; t < trays.size(); ++t) {
            if (trays[t].samples[0] == s) sum += said[t] - mean, ++served;
            if (trays[t].samples[1] == s) sum -= said[t] - mean, ++served;
        }
        if (served > 0) total += sum * sum / served;
    }
    return total;
}

}   // namespace

// C(20,15) + ... + C(20,20) = 21,700 of 2^20 outcomes, both ways.
TEST_CASE("the habit of choosing the first: a sign test", "[stats]") {
    std::vector<stats::RankedTray> trays;
    for (int i = 0; i < 20; ++i) trays.push_back(tray(i % 3, (i + 1) % 3, i < 15 ? 1 : 0));
    trays.push_back(tray(0, 1, 0.5));
    CHECK(stats::first_habit_p(trays) == Approx(43'400.0 / 1'048'576.0).epsilon(1e-12));
    CHECK(stats::first_habit_p({}) == 1);
}

// All 6^6 deals of 1, 2, 3 to the places of six trays; the six in which every tray has one order part them the most.
TEST_CASE("the habit of ranking by place: Friedman's test with the places for samples", "[stats]") {
    const std::vector<std::vector<int>> served{{0, 1, 2}, {1, 2, 3}, {3, 0, 1}, {2, 3, 0}, {0, 2, 1}, {1, 3, 2}};
    std::vector<stats::RankedTray> trays;
    for (int taster = 0; taster < 6; ++taster) trays.push_back({taster, served[static_cast<std::size_t>(taster)], {2, 1, 3}});
    CHECK(stats::place_habit_p(trays, 1) == Approx(6.0 / 46'656.0).epsilon(1e-12));
    CHECK(stats::place_habit_p(trays, 1, true) == Approx(std::exp(-6.0)).epsilon(1e-12));   // 12 of chi-square, 2 degrees of freedom
    std::vector<stats::RankedTray> of_two;
    for (int i = 0; i < 20; ++i) of_two.push_back({i, {i % 3, (i + 1) % 3}, i < 15 ? std::vector<double>{1, 2} : std::vector<double>{2, 1}});
    CHECK(stats::place_habit_p(of_two, 1) == Approx(stats::first_habit_p(of_two)).epsilon(1e-12));
    CHECK(stats::place_habit_p({}, 1) == 1);
}

TEST_CASE("alike but for the order: as every shuffle counted", "[stats]") {
    const std::vector<stats::RankedTray> trays{tray(0, 1, 1), tray(0, 2, 1), tray(1, 0, 0), tray(2, 0, 0), tray(1, 2, 1), tray(2, 1, 0), tray(0, 1, 1), tray(2, 0, 0.5)};
    std::vector<double> said{1, 1, 0, 0, 1, 0, 1, 0.5};
    const double observed = statistic(trays, said, 3);
    std::sort(said.begin(), said.end());
    std::int64_t hits = 0, all = 0;
    do {
        ++all;
        hits += statistic(trays, said, 3) >= observed - 1e-9;
    } while (std::next_permutation(said.begin(), said.end()));
    REQUIRE(all == 280);   // 8!/(4! 3! 1!)
    const auto p = stats::alike_but_for_order(trays, 3, 1);
    CHECK(std::abs(p.p - static_cast<double>(hits) / static_cast<double>(all)) < 4 * p.error + 1e-4);
    CHECK(stats::alike_but_for_order({}, 3, 1).p == 1);
}

TEST_CASE("alike but for the order: two samples are Gart's test", "[stats]") {
    std::vector<stats::RankedTray> trays;
    for (int i = 0; i < 14; ++i) trays.push_back(tray(0, 1, i < 12 ? 1 : 0));
    for (int i = 0; i < 8; ++i) trays.push_back(tray(1, 0, i < 3 ? 1 : 0));
    CHECK(stats::pairs_but_for_order(trays).at({0, 1}) == stats::order_conditional_p({14, 12, 8, 3}).two_sided);   // 6 more one way, of 22
    trays.push_back(tray(1, 0, 1));
    trays.push_back(tray(1, 0, 0));
    CHECK(stats::pairs_but_for_order(trays).at({0, 1}) == 0);   // 4 more one way, of 24
    // Fisher's exact test on (12, 2; 4, 6), both ways by probability: .03241 (hypergeometric terms added up). Gart would double the smaller tail.
    const auto p = stats::alike_but_for_order(trays, 2, 1, 99'999);
    CHECK(p.p == Approx(0.0324).margin(0.006));
}

TEST_CASE("alike but for the order: always the first one is no liking, a pair served both ways evenly needs no allowance", "[stats]") {
    std::vector<stats::RankedTray> trays;
    for (int i = 0; i < 30; ++i) trays.push_back(tray(0, 1 + i % 2, 1));
    CHECK(stats::alike_but_for_order(trays, 3, 1).p == 1);
    CHECK(stats::pairs_but_for_order(trays).at({0, 1}) == 1);
    for (int i = 0; i < 15; ++i) trays.push_back(tray(1, 0, 0));
    CHECK(stats::pairs_but_for_order(trays).at({0, 1}) == 0);
    CHECK(stats::pairs_but_for_order(trays).at({0, 2}) == 1);
}
