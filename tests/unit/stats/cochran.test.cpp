#include "oddplate/stats/cochran.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/preference.hpp"

using namespace oddplate;

namespace {

struct Table {
    std::size_t spots;
    std::vector<std::int64_t> sets, correct;
    [[nodiscard]] stats::SpotTable view() const { return {spots, sets, correct}; }
};

// One set a taster at each spot.
Table single(std::size_t spots, const std::vector<std::int64_t>& correct) {
    return {spots, std::vector<std::int64_t>(correct.size(), 1), correct};
}

double between(const Table& table, const std::vector<std::int64_t>& correct) {
    double sum = 0, all = 0, sets = 0;
    for (std::size_t j = 0; j < table.spots; ++j) {
        double t = 0, n = 0;
        for (std::size_t i = j; i < correct.size(); i += table.spots) {
            t += static_cast<double>(correct[i]);
            n += static_cast<double>(table.sets[i]);
        }
        if (n > 0) sum += t * t / n;
        all += t;
        sets += n;
    }
    return sum - all * all / sets;
}

double choose(std::int64_t n, std::int64_t k) {
    double product = 1.0;
    for (std::int64_t i = 1; i <= k; ++i) product = product * static_cast<double>(n - k + i) / static_cast<double>(i);
    return product;
}

// Oracle: every way to deal each taster's right answers over his own sets, weighted by the number of single answers it stands
// for.
double plain_p(const Table& table) {
    const double observed = between(table, table.correct);
    double hits = 0, all = 0;
    std::vector<std::int64_t> dealt(table.correct.size(), 0);
    const std::function<void(std::size_t, std::int64_t, double)> deal = [&](std::size_t at, std::int64_t left, double weight) {
        if (at == dealt.size()) {
            all += weight;
            if (between(table, dealt) >= observed - 1e-9) hits += weight;
            return;
        }
        const bool last = at % table.spots == table.spots - 1;
        std::int64_t next = 0;
        if (last && at + 1 < dealt.size()) {
            for (std::size_t j = 0; j < table.spots; ++j) next += table.correct[at + 1 + j];
        }
        for (std::int64_t here = last ? left : 0; here <= std::min(left, table.sets[at]); ++here) {
            dealt[at] = here;
            deal(at + 1, last ? next : left - here, weight * choose(table.sets[at], here));
        }
    };
    std::int64_t first = 0;
    for (std::size_t j = 0; j < table.spots; ++j) first += table.correct[j];
    deal(0, first, 1.0);
    return hits / all;
}

Table random_table(std::size_t tasters, std::size_t spots, std::uint32_t most_sets, std::uint64_t seed) {
    core::PhiloxStream stream(seed, 0);
    Table table{spots, {}, {}};
    for (std::size_t i = 0; i < tasters * spots; ++i) {
        table.sets.push_back(most_sets == 1 ? 1 : stream.below(most_sets + 1));
        table.correct.push_back(stream.below(static_cast<std::uint32_t>(table.sets.back()) + 1));
    }
    return table;
}

}   // namespace

// Cochran (1950) Biometrika 37:256: Q = s (s - 1) Sum (T_j - mean)^2 / (s T - Sum r_i^2), worked by hand on a table of our own.
TEST_CASE("Cochran: Q is the textbook's", "[stats]") {
    const Table table = single(3, {1, 1, 0, 1, 0, 0, 0, 1, 0, 1, 1, 1, 1, 0, 0, 0, 0, 0, 1, 1, 0, 1, 0, 1});
    // Spot totals 6, 4, 2 (T = 12), rows 2 1 1 3 1 0 2 2 with squares 24: Q = 3 * 2 * (4 + 0 + 4) / (36 - 24) = 4.
    const auto found = stats::spots_differ(table.view(), 1);
    CHECK(found.is_cochran_q);
    CHECK(found.statistic == Approx(4.0).epsilon(1e-12));
    REQUIRE(found.p_value);
    CHECK(found.p_value->p == Approx(plain_p(table)).epsilon(1e-12));
}

TEST_CASE("Cochran: two spots are the sign test of those who differ", "[stats][exhaustive]") {
    for (int a = 0; a <= 8; ++a) {
        for (int b = 0; b <= 8; ++b) {
            if (a + b == 0) continue;
            std::vector<std::int64_t> correct{1, 1, 0, 0};
            for (int i = 0; i < a; ++i) correct.insert(correct.end(), {1, 0});
            for (int i = 0; i < b; ++i) correct.insert(correct.end(), {0, 1});
            CHECK(stats::spots_differ(single(2, correct).view(), 1).p_value->p ==
                  Approx(stats::preference_p(a, b)).epsilon(1e-12));
        }
    }
}

TEST_CASE("spots differ: p equals every way to deal the answers", "[stats][exhaustive]") {
    for (std::uint64_t seed = 0; seed < 30; ++seed) {
        for (const Table& table : {random_table(6, 3, 1, seed), random_table(5, 4, 1, 100 + seed),
                                   random_table(4, 3, 2, 200 + seed), random_table(4, 2, 4, 300 + seed)}) {
            const auto found = stats::spots_differ(table.view(), 1);
            if (!found.p_value) continue;
            CAPTURE(seed, table.spots);
            CHECK(found.p_value->found == stats::Found::exact);
            CHECK(found.p_value->p == Approx(plain_p(table)).epsilon(1e-11));
        }
    }
}

TEST_CASE("spots differ: says why there is no test", "[stats]") {
    CHECK(stats::spots_differ(single(1, {1, 0, 1}).view(), 1).why == stats::NoSpotTest::one_spot);
    CHECK(stats::spots_differ(single(3, {1, 1, 1, 0, 0, 0}).view(), 1).why == stats::NoSpotTest::nothing_varies);
    const Table apart{2, {1, 0, 0, 1, 2, 0}, {1, 0, 0, 0, 1, 0}};   // nobody was at both spots
    CHECK(stats::spots_differ(apart.view(), 1).why == stats::NoSpotTest::nothing_varies);
    const Table one{2, {1, 0, 1, 0}, {1, 0, 0, 0}};
    CHECK(stats::spots_differ(one.view(), 1).why == stats::NoSpotTest::one_spot);
    for (const auto& table : {single(3, {1, 1, 1, 0, 0, 0}), apart, one})
        CHECK_FALSE(stats::spots_differ(table.view(), 1).p_value);
}

TEST_CASE("spots differ: permutations come near the exact p, repeat, and say their error", "[stats]") {
    // A panel that is small enough for the exact law, and a copy of it with so many spots (13 of them empty) that it is drawn.
    const Table small = random_table(40, 4, 1, 9);
    const auto exact = stats::spots_differ(small.view(), 1);
    REQUIRE(exact.p_value);
    REQUIRE(exact.p_value->found == stats::Found::exact);
    Table wide{17, {}, {}};   // 13 more spots at which nobody sat
    for (std::size_t i = 0; i < 40; ++i) {
        for (std::size_t j = 0; j < 17; ++j) {
            wide.sets.push_back(j < 4 ? 1 : 0);
            wide.correct.push_back(j < 4 ? small.correct[i * 4 + j] : 0);
        }
    }
    const auto drawn = stats::spots_differ(wide.view(), 1);
    REQUIRE(drawn.p_value);
    CHECK(drawn.p_value->found == stats::Found::monte_carlo);
    CHECK(drawn.p_value->draws >= 999);
    CHECK(drawn.p_value->error > 0);
    CHECK(std::abs(drawn.p_value->p - exact.p_value->p) < 4 * drawn.p_value->error + 1e-3);
    CHECK(stats::spots_differ(wide.view(), 1).p_value->p == drawn.p_value->p);
}

// Many sets a spot: too many ways to list, so each taster is drawn by a chain of hypergeometric draws.
TEST_CASE("spots differ: long chains agree with two spots done exactly", "[stats]") {
    Table two{2, {}, {}};
    Table wide{17, {}, {}};
    for (int i = 0; i < 6; ++i) {
        for (std::size_t j = 0; j < 17; ++j) {
            wide.sets.push_back(j < 2 ? 300 : 0);
            wide.correct.push_back(j == 0 ? 110 + i : (j == 1 ? 95 + 2 * i : 0));
        }
        for (const std::int64_t right : {110 + i, 95 + 2 * i}) {
            two.sets.push_back(300);
            two.correct.push_back(right);
        }
    }
    const auto exact = stats::spots_differ(two.view(), 1);
    const auto drawn = stats::spots_differ(wide.view(), 2);
    REQUIRE(drawn.p_value);
    REQUIRE(exact.p_value);
    CHECK(drawn.p_value->found == stats::Found::monte_carlo);
    CHECK(std::abs(drawn.p_value->p - exact.p_value->p) < 4 * (drawn.p_value->error + exact.p_value->error) + 1e-3);
}

TEST_CASE("spots: one answer a taster, each at one spot, is Fisher's exact test", "[stats]") {
    // 17 of 24 at one spot and 3 of 24 at another: the sum of squares orders tables as |17 - 10| does; by exact fractions of the hypergeometric law.
    std::vector<std::int64_t> sets, right;
    for (int i = 0; i < 48; ++i) {
        const bool first = i < 24;
        sets.push_back(first);
        sets.push_back(!first);
        right.push_back(first && i < 17);
        right.push_back(!first && i < 27);
    }
    const auto test = stats::spots_differ({2, sets, right}, 1);
    REQUIRE(test.p_value);
    CHECK(test.p_value->found == stats::Found::exact);
    CHECK(test.p_value->p == Approx(8.8e-5).epsilon(0.01));
}
