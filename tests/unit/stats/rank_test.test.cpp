#include "oddplate/stats/rank_test.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "oddplate/core/philox.hpp"

using namespace oddplate;
using stats::RankedTray;

namespace {

/// Rows of plain numbers, a taster each; all samples on every tray.
std::vector<RankedTray> trays_of(const std::vector<std::vector<double>>& rows) {
    std::vector<RankedTray> trays;
    for (const auto& row : rows) {
        RankedTray tray{static_cast<int>(trays.size()), std::vector<int>(row.size()), row};
        std::iota(tray.samples.begin(), tray.samples.end(), 0);
        trays.push_back(tray);
    }
    return trays;
}

const std::vector<std::vector<double>> k_first_base{
    {5.40, 5.50, 5.55}, {5.85, 5.70, 5.75}, {5.20, 5.60, 5.50}, {5.55, 5.50, 5.40}, {5.90, 5.85, 5.70}, {5.45, 5.55, 5.60},
    {5.40, 5.40, 5.35}, {5.45, 5.50, 5.35}, {5.25, 5.15, 5.00}, {5.85, 5.80, 5.70}, {5.25, 5.20, 5.10}, {5.65, 5.55, 5.45},
    {5.60, 5.35, 5.45}, {5.05, 5.00, 4.95}, {5.50, 5.50, 5.40}, {5.45, 5.55, 5.50}, {5.55, 5.55, 5.35}, {5.45, 5.50, 5.55},
    {5.50, 5.45, 5.25}, {5.65, 5.60, 5.40}, {5.70, 5.65, 5.55}, {6.30, 6.30, 6.25}};
const std::vector<std::vector<double>> k_lotion{{5, 4, 7, 10, 12},      {1, 3, 1, 0, 2},       {16, 12, 22, 22, 35}, {5, 4, 3, 5, 4},
                                                {10, 9, 7, 13, 10}, {19, 18, 28, 37, 58}, {10, 7, 6, 8, 7}};

std::vector<RankedTray> ice_cream() {
    const int varieties[][3] = {{1, 2, 4}, {2, 3, 5}, {3, 4, 6}, {4, 5, 7}, {1, 5, 6}, {2, 6, 7}, {1, 3, 7}};
    const double ranks[][3] = {{2, 3, 1}, {3, 1, 2}, {2, 1, 3}, {1, 2, 3}, {3, 1, 2}, {3, 1, 2}, {3, 1, 2}};
    std::vector<RankedTray> trays;
    for (int i = 0; i < 7; ++i)
        trays.push_back({i, {varieties[i][0] - 1, varieties[i][1] - 1, varieties[i][2] - 1}, {ranks[i][0], ranks[i][1], ranks[i][2]}});
    return trays;
}

/// p by dealing every row in every order (distinct or not), the statistic computed each time.
double by_enumeration(std::vector<RankedTray> trays, int samples, std::size_t row, double observed, double& orders) {
    if (row == trays.size()) {
        ++orders;
        return stats::rank_statistic(trays, samples).statistic >= observed - 1e-9 ? 1 : 0;
    }
    double hits = 0;
    std::vector<std::size_t> order(trays[row].ranks.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const std::vector<double> ranks = trays[row].ranks;
    do {
        for (std::size_t i = 0; i < order.size(); ++i) trays[row].ranks[i] = ranks[order[i]];
        hits += by_enumeration(trays, samples, row + 1, observed, orders);
    } while (std::next_permutation(order.begin(), order.end()));
    return hits;
}
double by_enumeration(const std::vector<RankedTray>& trays, int samples) {
    double orders = 0;
    const double hits = by_enumeration(trays, samples, 0, stats::rank_statistic(trays, samples).statistic, orders);
    return hits / orders;
}

/// Rows of untied ranks whose statistic is this or the next above, found by trying.
double exact_tail(int samples, int rows, double statistic) {
    // All rows alike give the largest; rows are turned over one by one in the search.
    core::PhiloxStream stream(7, static_cast<std::uint64_t>(samples * 100 + rows));
    for (int trial = 0; trial < 200'000; ++trial) {
        std::vector<std::vector<double>> table(static_cast<std::size_t>(rows));
        for (auto& row : table) {
            row.resize(static_cast<std::size_t>(samples));
            std::iota(row.begin(), row.end(), 1.0);
            if (stream.below(3) == 0) continue;
            for (std::size_t i = row.size(); i > 1; --i) std::swap(row[i - 1], row[stream.below(static_cast<std::uint32_t>(i))]);
        }
        const auto trays = trays_of(table);
        if (std::abs(stats::rank_statistic(trays, samples).statistic - statistic) < 1e-9) return stats::rank_p(trays, samples, 1).p;
    }
    return -1;
}

}   // namespace

// Hollander & Wolfe (1973) p. 140, R's help of friedman.test: data, rank sums, statistic and p.
TEST_CASE("Ranks: rounding first base", "[stats][published]") {
    const auto trays = trays_of(k_first_base);
    const auto found = stats::rank_statistic(trays, 3);
    CHECK(found.sums == std::vector<double>{53, 47, 32});
    CHECK(found.statistic == Approx(11.142857).margin(5e-7));
    CHECK(found.df == 2);
    CHECK(found.p_chi_square == Approx(0.003805041).margin(5e-10));
    const auto p = stats::rank_p(trays, 3, 1);
    CHECK(p.found == stats::Found::exact);
    CHECK(p.p == Approx(found.p_chi_square).epsilon(0.5));
}

// Conover (1999) p. 375, R's help of quade.test; Friedman's statistic by R 4.2.2's friedman.test.
TEST_CASE("Ranks: hand lotion", "[stats][reference]") {
    const auto found = stats::rank_statistic(trays_of(k_lotion), 5);
    CHECK(found.statistic == Approx(8.328358209).margin(5e-10));
    CHECK(found.p_chi_square == Approx(0.08026409).margin(5e-9));
    REQUIRE(found.concordance);
    CHECK(*found.concordance == Approx(0.2974413646).margin(5e-11));
}

// ISO 8587:2006, table 1: seven assessors, four samples, ties. The uncorrected statistic would be 6.557.
TEST_CASE("Ranks: ties are corrected for", "[stats][published]") {
    const auto trays = trays_of({{1, 2, 3, 4}, {4, 1.5, 1.5, 3}, {1, 3, 3, 3}, {1, 3, 4, 2}, {3, 1, 2, 4}, {2, 1, 3, 4}, {2, 1, 4, 3}});
    const auto found = stats::rank_statistic(trays, 4);
    CHECK(found.sums == std::vector<double>{14, 12.5, 20.5, 23});
    CHECK(found.statistic == Approx(7.061538462).margin(5e-10));
    CHECK(found.p_chi_square == Approx(0.06996198).margin(5e-9));
}

// Conover (1999) p. 391: seven varieties of ice cream, three a person.
TEST_CASE("Ranks: incomplete trays", "[stats][published]") {
    const auto trays = ice_cream();
    const auto found = stats::rank_statistic(trays, 7);
    CHECK(found.sums == std::vector<double>{8, 9, 4, 3, 5, 6, 7});
    CHECK(found.statistic == Approx(12).margin(1e-9));
    CHECK(found.df == 6);
    CHECK(found.p_chi_square == Approx(0.0619688).margin(5e-8));
    CHECK(!found.concordance);
    const auto p = stats::rank_p(trays, 7, 1);
    CHECK(p.found == stats::Found::exact);
    // The statistic's largest value is reached by the orders that leave each variety ranked as low or high as can be; 7!/... by enumeration below
    double orders = 0;
    CHECK(p.p == Approx(by_enumeration(trays, 7, 0, found.statistic, orders) / 279936.0).epsilon(1e-12));
    CHECK(orders == 279936);
}

// Friedman's exact law: smallest attainable statistics at the 5 % and 1 % level, Hollander & Wolfe table A.15 (computed by full enumeration; the
// classic tables' values agree, from memory).
TEST_CASE("Ranks: exact tails of the tables", "[stats][published]") {
    struct Row {
        int k, n;
        double statistic, p;
    };
    for (const Row& row : {Row{3, 3, 6.0, .027778}, Row{3, 4, 6.5, .041667}, Row{3, 4, 8.0, .004630}, Row{3, 5, 6.4, .039352}, Row{3, 5, 8.4, .008488},
                           Row{3, 6, 7.0, .028935}, Row{3, 6, 9.0, .008102}, Row{4, 2, 6.0, .041667}, Row{4, 3, 7.4, .032986}, Row{4, 3, 9.0, .001736},
                           Row{4, 4, 7.8, .036386}, Row{4, 4, 9.6, .006872}, Row{4, 5, 7.8, .044340}, Row{4, 5, 9.96, .008744}}) {
        CAPTURE(row.k, row.n, row.statistic);
        CHECK(exact_tail(row.k, row.n, row.statistic) == Approx(row.p).margin(5.1e-7));
    }
}

TEST_CASE("Ranks: the exact p is enumeration's", "[stats]") {
    const std::vector<std::vector<std::vector<double>>> tables{
        {{1, 2, 3}, {1, 2, 3}, {2, 1, 3}, {1, 3, 2}},
        {{1, 1, 3}, {2, 2, 1}, {1, 2, 2}, {1, 2, 3}, {3, 3, 3}},
        {{1, 2, 3, 4}, {2, 1, 3, 4}, {1, 2.5, 2.5, 4}},
    };
    for (const auto& table : tables) {
        const auto trays = trays_of(table);
        const auto p = stats::rank_p(trays, static_cast<int>(table.front().size()), 1);
        CHECK(p.found == stats::Found::exact);
        CHECK(p.p == Approx(by_enumeration(trays, static_cast<int>(table.front().size()))).epsilon(1e-12));
    }
    std::vector<RankedTray> gaps{{0, {0, 1, 2}, {1, 2, 3}}, {1, {0, 3}, {1, 2}}, {2, {1, 2, 3}, {1, 2, 3}}, {3, {0, 1, 3}, {1, 3, 2}}};
    CHECK(stats::rank_p(gaps, 4, 1).p == Approx(by_enumeration(gaps, 4)).epsilon(1e-12));
}

TEST_CASE("Ranks: large tables are exact, or say that they are drawn", "[stats]") {
    std::vector<std::vector<double>> rows;
    for (int i = 0; i < 60; ++i)
        rows.push_back(i % 3 == 0 ? std::vector<double>{1, 2, 3, 4} : i % 3 == 1 ? std::vector<double>{2, 4, 1, 3} : std::vector<double>{3, 1, 4, 2});
    CHECK(stats::rank_p(trays_of(rows), 4, 1).found == stats::Found::exact);
    rows.clear();
    for (int i = 0; i < 40; ++i) rows.push_back(i % 2 == 0 ? std::vector<double>{1, 2, 3, 4, 5, 6, 7} : std::vector<double>{7, 5, 6, 2, 4, 1, 3});
    const auto trays = trays_of(rows);
    const auto p = stats::rank_p(trays, 7, 1), again = stats::rank_p(trays, 7, 1);
    CHECK(p.found == stats::Found::monte_carlo);
    CHECK(p.error > 0);
    CHECK(p.p == again.p);
    CHECK(std::abs(p.p - stats::rank_statistic(trays, 7).p_chi_square) < 0.02);
}

TEST_CASE("Ranks: two samples are the sign test", "[stats]") {
    std::vector<std::vector<double>> rows(10, {1, 2});
    rows[0] = rows[1] = {2, 1};
    // 8 of 10 for the first, two-sided: 2 (45 + 10 + 1)/1024
    CHECK(stats::rank_p(trays_of(rows), 2, 1).p == Approx(112.0 / 1024).epsilon(1e-12));
    CHECK(stats::rank_pairs(trays_of(rows), 2, 1).front().p.p == Approx(112.0 / 1024).epsilon(1e-12));
}

TEST_CASE("Ranks: relabelling, an empty tray and somebody who ties everything change nothing", "[stats]") {
    auto trays = trays_of(k_lotion);
    const auto plain = stats::rank_statistic(trays, 5);
    const double p = stats::rank_p(trays, 5, 1).p;
    auto renamed = trays;
    const std::array<int, 5> name{3, 0, 4, 1, 2};
    for (RankedTray& tray : renamed)
        for (int& sample : tray.samples) sample = name[static_cast<std::size_t>(sample)];
    const auto other = stats::rank_statistic(renamed, 5);
    CHECK(other.statistic == Approx(plain.statistic).epsilon(1e-12));
    CHECK(stats::rank_p(renamed, 5, 1).p == Approx(p).epsilon(1e-12));
    for (std::size_t j = 0; j < 5; ++j) CHECK(other.sums[static_cast<std::size_t>(name[j])] == plain.sums[j]);
    trays.push_back({7, {}, {}});
    CHECK(stats::rank_statistic(trays, 5).statistic == Approx(plain.statistic).epsilon(1e-12));
    trays.push_back({8, {0, 1, 2, 3, 4}, {2, 2, 2, 2, 2}});
    CHECK(stats::rank_statistic(trays, 5).statistic == Approx(plain.statistic).epsilon(1e-12));
    CHECK(stats::rank_p(trays, 5, 1).p == Approx(p).epsilon(1e-12));
}

TEST_CASE("Ranks: samples that never met are groups, and nothing ranked is no claim", "[stats]") {
    const std::vector<RankedTray> apart{{0, {0, 1}, {1, 2}}, {1, {2, 3}, {1, 2}}, {2, {0, 1}, {1, 2}}};
    const auto found = stats::rank_statistic(apart, 4);
    CHECK(found.groups == 2);
    CHECK(found.df == 2);
    CHECK(found.group[0] == found.group[1]);
    CHECK(found.group[0] != found.group[2]);
    CHECK(stats::rank_p({}, 4, 1).p == 1);
    CHECK(stats::rank_statistic({}, 4).df == 0);
    const auto pairs = stats::rank_pairs(apart, 4, 1);
    CHECK(pairs[1].tasters == 0);
}

TEST_CASE("Ranks: one tongue with several trays is one row", "[stats]") {
    // Three trays of one taster, all alike, say no more than one: his order is one of 3! = 6, or its reverse among them.
    const std::vector<RankedTray> one{{0, {0, 1, 2}, {1, 2, 3}}, {0, {0, 1, 2}, {1, 2, 3}}, {0, {2, 1, 0}, {3, 2, 1}}};
    CHECK(stats::rank_p(one, 3, 1).p == Approx(1));
    CHECK(stats::rank_statistic(one, 3).sums == std::vector<double>{3, 6, 9});
    // Unlike trays: tasters turn round as wholes.
    const std::vector<RankedTray> unlike{{0, {0, 1, 2}, {1, 2, 3}}, {0, {0, 1, 3}, {1, 2, 3}}, {1, {1, 2, 3}, {1, 2, 3}}, {2, {0, 2, 3}, {1, 2, 3}}};
    const auto p = stats::rank_p(unlike, 4, 1);
    CHECK(p.found == stats::Found::exact);
    CHECK(p.p == Approx(2.0 / 8));
}

// Page (1963) JASA 58:216, cotton strength against potash, Hollander & Wolfe (1973) ch. 7: data and L from memory; E, variance and z by the
// paper's formulas; exact critical values 150, 155, 160 for n=3, k=5 as in its table (memory), tails by enumeration.
TEST_CASE("Page: cotton and potash", "[stats][published]") {
    const auto trays = trays_of({{7.46, 7.17, 7.76, 8.14, 7.63}, {7.68, 7.57, 7.73, 8.15, 8.00}, {7.21, 7.80, 7.74, 7.87, 7.93}});
    const std::vector<int> order{0, 1, 2, 3, 4};
    const auto found = stats::page_test(trays, order, 1);
    CHECK(found.statistic == 158);
    CHECK(found.expected == Approx(135));
    CHECK(found.variance == Approx(75));
    CHECK(found.p_normal == Approx(0.00395589).margin(5e-9));
    CHECK(found.p.found == stats::Found::exact);
    CHECK(found.p.p < 0.009719907);
    CHECK(found.p.p > 0.00072338);
    // Rows with L = 55 - s in all: 150, 155 and 160
    const auto tail = [&](const std::vector<std::vector<double>>& rows) { return stats::page_test(trays_of(rows), order, 1); };
    const auto at_160 = tail({{1, 2, 3, 4, 5}, {1, 2, 3, 4, 5}, {1, 2, 5, 4, 3}}), l160 = tail({{1, 2, 3, 4, 5}, {1, 2, 3, 4, 5}, {2, 1, 4, 3, 5}});
    CHECK(at_160.statistic == 161);
    CHECK(l160.statistic == 163);
    const auto exact_160 = tail({{1, 2, 3, 4, 5}, {1, 2, 3, 5, 4}, {1, 2, 5, 4, 3}});
    CHECK(exact_160.statistic == 160);
    CHECK(exact_160.p.p == Approx(0.00072338).margin(5e-9));
    const auto exact_155 = tail({{2, 1, 3, 4, 5}, {1, 2, 5, 4, 3}, {1, 2, 5, 4, 3}});
    CHECK(exact_155.statistic == 156);
    const auto at_155 = tail({{2, 1, 3, 5, 4}, {1, 2, 5, 4, 3}, {1, 2, 5, 4, 3}});
    CHECK(at_155.statistic == 155);
    CHECK(at_155.p.p == Approx(0.009719907).margin(5e-10));
}

TEST_CASE("Page: with two samples it is the sign test, one-sided", "[stats]") {
    std::vector<std::vector<double>> rows(10, {1, 2});
    rows[0] = rows[1] = {2, 1};
    CHECK(stats::page_test(trays_of(rows), std::vector<int>{0, 1}, 1).p.p == Approx(56.0 / 1024).epsilon(1e-12));
    CHECK(stats::page_test(trays_of(rows), std::vector<int>{1, 0}, 1).p.p == Approx(1013.0 / 1024).epsilon(1e-12));
}

TEST_CASE("Rank pairs: counted flips, Holm over the pairs, and the leading group", "[stats]") {
    std::vector<std::vector<double>> rows(12, {1, 2, 3});
    rows[0] = {2, 1, 3};
    const auto trays = trays_of(rows);
    const auto pairs = stats::rank_pairs(trays, 3, 1);
    REQUIRE(pairs.size() == 3);
    CHECK(pairs[0].difference == Approx(10.0 / 12));
    CHECK(pairs[0].a_first == 11);
    CHECK(pairs[0].p.p == Approx(2 * 13.0 / 4096).epsilon(1e-12));        // 11 or more of 12, two-sided
    CHECK(pairs[1].p.p == Approx(2.0 / 4096).epsilon(1e-12));
    CHECK(pairs[1].p_adjusted == Approx(3 * 2.0 / 4096).epsilon(1e-12));
    const auto found = stats::rank_statistic(trays, 3);
    CHECK(stats::leading_group(found, pairs, 0.05) == std::vector<int>{0});
    CHECK(stats::leading_group(found, pairs, 0.005) == std::vector<int>{0, 1});
    // The one of few trays comes first and is shown against nobody; it does not draw those in front who are shown to be behind another.
    std::vector<stats::RankedTray> few;
    for (int i = 0; i < 24; ++i) few.push_back({i, {1, 2}, {1, 2}});
    for (int i = 0; i < 3; ++i) few.push_back({30 + i, {0, 1, 2}, {1, 2, 3}});
    CHECK(stats::leading_group(stats::rank_statistic(few, 3), stats::rank_pairs(few, 3, 1), 0.05) == std::vector<int>{0, 1});
}

TEST_CASE("Ranks: effects of incomplete trays allow for what lay beside", "[stats]") {
    // A true order 0 < 1 < 2 < 3 told without error on unlike trays: 1 is first of its tray more often than 0 is, its mean rank is lower.
    std::vector<RankedTray> trays;
    for (int i = 0; i < 4; ++i) {
        trays.push_back({2 * i, {0, 1}, {1, 2}});
        trays.push_back({2 * i + 1, {1, 2, 3}, {1, 2, 3}});
    }
    const auto found = stats::rank_statistic(trays, 4);
    CHECK(found.effects[0] < found.effects[1]);
    CHECK(found.effects[1] < found.effects[2]);
    CHECK(found.effects[2] < found.effects[3]);
    CHECK(found.effects[0] + found.effects[1] + found.effects[2] + found.effects[3] == Approx(0).margin(1e-12));
    const auto complete = stats::rank_statistic(trays_of(k_lotion), 5);
    for (std::size_t j = 0; j < 5; ++j) CHECK(complete.effects[j] == Approx(complete.means[j] - 3).margin(1e-12));
}
