#include "oddplate/stats/several_groups.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "oddplate/core/philox.hpp"

using namespace oddplate;

namespace {

std::vector<stats::GroupedRow> rows_of(const std::vector<double>& values, int each) {
    std::vector<stats::GroupedRow> rows;
    for (std::size_t i = 0; i < values.size(); ++i) rows.push_back({static_cast<int>(i) / each, {values[i]}});
    return rows;
}

const std::vector<double> k_values{5.1, 4.8, 6.0, 5.5, 7.2, 6.8, 7.9, 6.1, 5.9, 6.6, 4.9, 5.0};

}   // namespace

// All 12!/(4!)^3 = 34,650 groupings counted here; 200,000 exchanges by R 4.2.2 (set.seed(1); sum of squares between groups as large as aov's) gave .02227.
TEST_CASE("several groups: as every grouping counted says", "[stats]") {
    std::vector<int> group{0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2};
    const auto between = [&] {
        double sums[3] = {0, 0, 0};
        for (std::size_t i = 0; i < group.size(); ++i) sums[group[i]] += k_values[i];
        return sums[0] * sums[0] + sums[1] * sums[1] + sums[2] * sums[2];
    };
    const double observed = between();
    int hits = 0, all = 0;
    do {
        ++all;
        hits += between() >= observed * (1 - 1e-12);
    } while (std::next_permutation(group.begin(), group.end()));
    CHECK(all == 34'650);
    const double exact = static_cast<double>(hits) / all;
    CHECK(std::abs(exact - 0.02227) < 4 * std::sqrt(exact * (1 - exact) / 200'000));
    const auto found = stats::several_groups_p(rows_of(k_values, 4), 1);
    REQUIRE(found);
    CHECK(std::abs(found->p - exact) < 4 * std::sqrt(exact * (1 - exact) / 9999));
}

TEST_CASE("several groups: scale, shift and empty columns change nothing; nothing that varies has no p", "[stats]") {
    auto rows = rows_of(k_values, 4);
    const double plain = stats::several_groups_p(rows, 3)->p;
    for (auto& row : rows) row.values = {100 - 7 * row.values[0], 5.0, std::nan("")};
    CHECK(stats::several_groups_p(rows, 3)->p == plain);
    for (auto& row : rows) row.group = 0;
    CHECK_FALSE(stats::several_groups_p(rows, 3));
    CHECK_FALSE(stats::several_groups_p(rows_of({2, 2, 2, 2}, 2), 3));
    CHECK_FALSE(stats::several_groups_p({}, 3));
}

TEST_CASE("several groups: groups that are alike alarm at alpha at most, gaps and all", "[stats][simulation]") {
    int alarms = 0;
    constexpr int k_panels = 300;
    for (int panel = 0; panel < k_panels; ++panel) {
        core::PhiloxStream stream(4, static_cast<std::uint64_t>(panel));
        std::vector<stats::GroupedRow> rows;
        for (int person = 0; person < 24; ++person) {
            const double own = stream.uniform();
            stats::GroupedRow row{person % 3, {}};
            for (int column = 0; column < 4; ++column) row.values.push_back(stream.uniform() < 0.25 ? std::nan("") : own + stream.uniform());
            rows.push_back(std::move(row));
        }
        alarms += stats::several_groups_p(rows, 5)->p <= 0.05;
    }
    CHECK(alarms <= k_panels * 0.05 + 3 * std::sqrt(k_panels * 0.05 * 0.95));
}
