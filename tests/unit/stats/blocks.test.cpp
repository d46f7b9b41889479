#include "oddplate/stats/blocks.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

#include "oddplate/core/philox.hpp"

using namespace oddplate;
using stats::Design;

namespace {

/// Each row some of the things, each as likely as every other, in any order.
Design random_rows(int things, int size, int count, core::PhiloxStream& chance) {
    Design rows;
    std::vector<int> all(static_cast<std::size_t>(things));
    std::iota(all.begin(), all.end(), 0);
    for (int row = 0; row < count; ++row) {
        for (std::size_t i = 0; i < static_cast<std::size_t>(size); ++i)
            std::swap(all[i], all[i + chance.below(static_cast<std::uint32_t>(all.size() - i))]);
        rows.emplace_back(all.begin(), all.begin() + size);
    }
    return rows;
}

}   // namespace

// Williams (1949), Aust. J. Sci. Res. A2:149: each thing once in each place, each ordered pair of neighbours equally often: once for even sizes, twice for odd.
TEST_CASE("Williams' rows: balanced for place and for what came before, 3 to 12", "[stats][published]") {
    for (int n = 3; n <= 12; ++n) {
        CAPTURE(n);
        const Design rows = stats::williams_rows(n);
        CHECK(static_cast<int>(rows.size()) == (n % 2 == 0 ? n : 2 * n));
        std::map<std::pair<int, int>, int> follows;
        for (const auto& row : rows) {
            CHECK(std::set<int>(row.begin(), row.end()).size() == static_cast<std::size_t>(n));
            for (std::size_t i = 1; i < row.size(); ++i) ++follows[{row[i - 1], row[i]}];
        }
        CHECK(static_cast<int>(follows.size()) == n * (n - 1));
        for (const auto& [pair, times] : follows) CHECK(times == (n % 2 == 0 ? 1 : 2));
        const auto report = stats::design_report(rows, n);
        CHECK(report.places_spread == 0);
        CHECK(report.followers_spread == 0);
        CHECK(report.a_efficiency == Approx(1).epsilon(1e-12));
    }
}

// Cochran & Cox (1957), plans 11.x, and Fisher & Yates (t, k, r, b, lambda), from memory; the identities b k = t r and lambda (t - 1) = r (k - 1) are
// asserted with the counts.
TEST_CASE("Blocks: designs of the tables are found with as few blocks", "[stats][published]") {
    struct Row {
        int t, k, r, b, lambda;
    };
    for (const Row& row : {Row{4, 2, 3, 6, 1}, Row{4, 3, 3, 4, 2}, Row{5, 2, 4, 10, 1}, Row{5, 3, 6, 10, 3}, Row{5, 4, 4, 5, 3}, Row{6, 2, 5, 15, 1}, Row{6, 3, 5, 10, 2},
                           Row{6, 4, 10, 15, 6}, Row{6, 5, 5, 6, 4}, Row{7, 3, 3, 7, 1}, Row{7, 4, 4, 7, 2}, Row{8, 4, 7, 14, 3}, Row{8, 7, 7, 8, 6}, Row{9, 3, 4, 12, 1},
                           Row{9, 6, 8, 12, 5}, Row{10, 3, 9, 30, 2}, Row{10, 5, 9, 18, 4}, Row{11, 5, 5, 11, 2}, Row{12, 3, 11, 44, 2}, Row{12, 4, 11, 33, 3}, Row{12, 6, 11, 22, 5}}) {
        CAPTURE(row.t, row.k);
        const auto served = stats::serving_rows(row.t, row.k);
        const int orders = row.k % 2 == 0 ? row.k : 2 * row.k;
        CHECK(static_cast<int>(served.rows.size()) == row.b * orders);
        CHECK(served.batch == row.b);
        CHECK(row.b * row.k == row.t * row.r);
        CHECK(row.lambda * (row.t - 1) == row.r * (row.k - 1));
        const auto report = stats::design_report(served.rows, row.t);
        CHECK(report.a_efficiency == Approx(report.bound).epsilon(1e-10));
    }
}

TEST_CASE("Serving rows: every balance, 3 to 12 samples", "[stats]") {
    for (int things = 3; things <= 12; ++things)
        for (int size = 2; size <= things; ++size) {
            CAPTURE(things, size);
            const auto served = stats::serving_rows(things, size);
            REQUIRE(served.rows.size() % static_cast<std::size_t>(served.batch) == 0);
            const auto whole = stats::design_report(served.rows, things);
            CHECK(whole.connected);
            CHECK(whole.replications_spread == 0);
            CHECK(whole.places_spread == 0);
            CHECK(whole.pairs_apart == 0);
            if (things == 12 && (size == 5 || size == 7)) {
                CHECK(whole.pairs_spread == static_cast<int>(served.rows.size()) / served.batch);   // one a batch
                CHECK(whole.a_efficiency > 0.998 * whole.bound);
                CHECK(whole.a_efficiency <= whole.bound * (1 + 1e-12));
            } else {
                CHECK(whole.pairs_spread == 0);
                CHECK(whole.followers_spread == 0);
                CHECK(whole.a_efficiency == Approx(whole.bound).epsilon(1e-10));
            }
            CHECK(served.rows.size() <= 1800);
            for (std::size_t first = 0; first < served.rows.size(); first += static_cast<std::size_t>(served.batch)) {
                const Design batch(served.rows.begin() + static_cast<std::ptrdiff_t>(first),
                                   served.rows.begin() + static_cast<std::ptrdiff_t>(first) + served.batch);
                CHECK(stats::design_report(batch, things).places_spread <= 1);
            }
        }
}

// Thing 0 lies on every tray, so it is met, and stands everywhere, more often than the others on purpose: what is even is looked at apart from it.
TEST_CASE("Serving rows with one thing on every tray: every balance, 3 to 12 samples", "[stats]") {
    for (int things = 3; things <= 12; ++things)
        for (int size = 2; size < things; ++size) {
            CAPTURE(things, size);
            std::set<int> firsts_places, others_places, beside_first, others_together, around_first, others_followers;
            std::map<std::pair<int, int>, int> places, together, follows;
            const auto rows = stats::serving_rows(things, size, true).rows;
            for (const auto& row : rows)
                for (int i = 0; i < size; ++i) {
                    const int here = row[static_cast<std::size_t>(i)];
                    ++places[{here, i}];
                    if (i > 0) ++follows[{row[static_cast<std::size_t>(i - 1)], here}];
                    for (const int other : row) ++together[{here, other}];
                }
            CHECK(together[{0, 0}] == static_cast<int>(rows.size()));
            CHECK(stats::first_efficiency(rows, things) == Approx(1).epsilon(1e-10));
            for (int i = 0; i < size; ++i) firsts_places.insert(places[{0, i}]);
            for (int a = 1; a < things; ++a) {
                beside_first.insert(together[{0, a}]);
                around_first.insert({follows[{0, a}], follows[{a, 0}]});
                for (int i = 0; i < size; ++i) others_places.insert(places[{a, i}]);
                for (int b = 1; b < things; ++b)
                    if (a != b) others_together.insert(together[{a, b}]), others_followers.insert(follows[{a, b}]);
            }
            for (const auto& counts : {firsts_places, others_places, beside_first, others_together, around_first, others_followers}) CHECK(counts.size() == 1);
        }
}

TEST_CASE("Searched blocks: never behind random ones", "[stats]") {
    core::PhiloxStream chance(20260, 8);
    for (const auto& [things, size, count] : {std::tuple{8, 3, 8}, {10, 4, 12}, {12, 5, 24}, {12, 7, 24}, {6, 3, 7}}) {
        CAPTURE(things, size, count);
        const Design found = stats::searched_blocks(things, size, count);
        CHECK(static_cast<int>(found.size()) == count);
        CHECK(found == stats::searched_blocks(things, size, count));
        const auto report = stats::design_report(found, things);
        CHECK(report.replications_spread <= 1);
        CHECK(report.pairs_spread <= 2);
        for (const auto& block : found) CHECK(std::set<int>(block.begin(), block.end()).size() == static_cast<std::size_t>(size));
        for (int time = 0; time < 300; ++time) {
            const auto random = stats::design_report(random_rows(things, size, count, chance), things);
            CHECK(report.a_efficiency >= random.a_efficiency * (1 - 1e-12));
            CHECK(report.replications_spread <= random.replications_spread);
            if (random.replications_spread <= 1) CHECK(report.pairs_spread <= random.pairs_spread);
        }
    }
}

TEST_CASE("Serving rows of searched blocks: as even as any random rows in pairs, places and what follows what", "[stats]") {
    core::PhiloxStream chance(20260, 9);
    for (const int size : {5, 7}) {
        CAPTURE(size);
        const auto served = stats::serving_rows(12, size);
        const auto report = stats::design_report(served.rows, 12);
        for (int time = 0; time < 100; ++time) {
            const auto random = stats::design_report(random_rows(12, size, static_cast<int>(served.rows.size()), chance), 12);
            CHECK(report.pairs_spread <= random.pairs_spread);
            CHECK(report.places_spread <= random.places_spread);
            CHECK(report.followers_spread <= random.followers_spread);
        }
    }
}

TEST_CASE("A design that leaves samples apart is not connected", "[stats]") {
    CHECK(!stats::design_report({{0, 1}, {2, 3}}, 4).connected);
    CHECK(stats::design_report({{0, 1}, {1, 2}, {2, 3}}, 4).connected);
    CHECK(stats::design_report({{0, 1}, {2, 3}}, 4).a_efficiency == 0);
}

// By hand: pairs 01, 01, 02 compare 1 with 0 at variance 1 (two differences of variance 2), 2 with 0 at variance 2; the best three pairs, 3/2 of each, at 4/3 each.
TEST_CASE("Rows that all hold one thing: how surely the others are compared with it", "[stats]") {
    CHECK(stats::first_efficiency({{0, 1}, {0, 1}, {2, 0}}, 3) == Approx((4.0 / 3) / 1.5));
    CHECK(stats::first_efficiency({{0, 1}, {2, 0}}, 3) == Approx(1));
    CHECK(stats::first_efficiency({{0, 1}, {1, 0}}, 3) == 0);
    core::PhiloxStream chance(20260, 10);
    for (int time = 0; time < 100; ++time) {
        Design rows = random_rows(5, 2, 12, chance);
        for (auto& row : rows) {
            for (int& thing : row) ++thing;
            row.push_back(0);
        }
        CHECK(stats::first_efficiency(rows, 6) <= 1 + 1e-12);
    }
}
