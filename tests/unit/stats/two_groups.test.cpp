#include "oddplate/stats/two_groups.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"

using namespace oddplate;
using namespace oddplate::stats;
using Numbers = std::vector<double>;

// R 4.2.2: all combn(n, k) choices.
TEST_CASE("exchanging two groups is exact where the numbers lie on a grid") {
    const PValue whole = two_groups_p(Numbers{7, 8, 6, 9, 7, 8, 5}, Numbers{5, 6, 7, 4, 6}, 1);
    CHECK(whole.found == Found::exact);
    CHECK(whole.p == Approx(0.106060606060606).epsilon(1e-13));
    CHECK(two_groups_p(Numbers{7.5, 8, 6, 9}, Numbers{5, 6, 7, 4, 6, 2.5}, 1).p == Approx(0.0333333333333333).epsilon(1e-13));
    CHECK(two_groups_p(Numbers{5, 6, 7, 4, 6, 2.5}, Numbers{7.5, 8, 6, 9}, 1).p == Approx(0.0333333333333333).epsilon(1e-13));
    CHECK(two_groups_p(Numbers{5, 5}, Numbers{5, 5, 5}, 1).p == 1);
    CHECK(two_groups_p(Numbers{5}, Numbers{7}, 1).p == 1);
}

TEST_CASE("drawn exchanges agree with counted ones") {
    Numbers a, b;
    for (int i = 0; i < 9; ++i) a.push_back(i % 5 + 1), b.push_back(i % 4);
    const PValue counted = two_groups_p(a, b, 1);
    for (double& x : a) x *= std::sqrt(2.0);   // off any grid, the same order of all sums
    for (double& x : b) x *= std::sqrt(2.0);
    const PValue drawn = two_groups_p(a, b, 1);
    CHECK(drawn.found == Found::monte_carlo);
    CHECK(std::fabs(drawn.p - counted.p) < 4 * drawn.error + 1e-3);
}

TEST_CASE("groups without spread or people have no interval") {
    CHECK_FALSE(two_groups_interval(Numbers{5, 5, 5}, Numbers{6, 6}, 0.95, 1));
    CHECK_FALSE(two_groups_interval(Numbers{5}, Numbers{6, 7, 8}, 0.95, 1));
    const auto narrow = two_groups_interval(Numbers{5, 6, 7, 8, 5, 6, 7, 8}, Numbers{2, 3, 4, 2, 3, 4, 5}, 0.8, 1), wide = two_groups_interval(Numbers{5, 6, 7, 8, 5, 6, 7, 8}, Numbers{2, 3, 4, 2, 3, 4, 5}, 0.95, 1);
    REQUIRE((narrow && wide));
    CHECK(wide->lower < narrow->lower);
    CHECK(wide->upper > narrow->upper);
    CHECK(narrow->lower > 2);
    CHECK(narrow->upper < 5);
}

// 300 seeded tables of 40 people, a third in the second group, true difference 1.5, unequal scatter: coverage of 95 % within 3.5 standard errors (.013).
TEST_CASE("the interval of two means covers what it says") {
    int covered = 0, all = 0;
    for (std::uint64_t table = 0; table < 300; ++table) {
        core::PhiloxStream chance(5, table);
        Numbers right, side;
        for (int person = 0; person < 40; ++person) {
            const bool is_side = chance.uniform() < 0.35;
            const double z = normal_quantile(chance.uniform());
            if (is_side) side.push_back(5.5 + 2 * z);
            else right.push_back(7 + z);
        }
        if (side.size() < 12 || right.size() < 12) continue;
        const auto interval = two_groups_interval(right, side, 0.95, table);
        REQUIRE(interval);
        ++all;
        covered += interval->lower <= 1.5 && 1.5 <= interval->upper;
    }
    REQUIRE(all > 200);
    CHECK(covered >= 0.95 * all - 3.5 * 0.014 * all);
}
