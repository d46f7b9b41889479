#include "oddplate/stats/marginal_homogeneity.hpp"

#include <catch2/catch.hpp>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/preference.hpp"

using namespace oddplate;
using namespace oddplate::stats;

// R 4.2.2: mantelhaen.test with each person a stratum; the exact p by turning each of the 15 people who changed, 2^15 ways.
TEST_CASE("marginal homogeneity is R's generalised Mantel-Haenszel, and exact") {
    const auto test = marginal_homogeneity({{{5, 7, 2}, {1, 9, 3}, {0, 2, 4}}});
    REQUIRE(test);
    CHECK(test->statistic == Approx(6.6969696969697).epsilon(1e-13));
    CHECK(test->df == 2);
    CHECK(test->p_value == Approx(0.0351375525047629).epsilon(1e-12));
    REQUIRE(test->p_exact);
    CHECK(*test->p_exact == Approx(0.03759765625).epsilon(1e-13));
}

TEST_CASE("changes between two sorts alone are McNemar's exact test") {
    for (int up = 0; up <= 9; ++up)
        for (int down = up == 0 ? 1 : 0; down <= 9; ++down)
            for (const SortTable& table : {SortTable{{{3, up, 0}, {down, 2, 0}, {0, 0, 1}}}, SortTable{{{3, 0, up}, {0, 2, 0}, {down, 0, 1}}}, SortTable{{{3, 0, 0}, {0, 2, up}, {0, down, 1}}}}) {
                CAPTURE(up, down);
                const auto test = marginal_homogeneity(table);
                REQUIRE(test);
                CHECK(test->df == 1);
                CHECK(test->statistic == Approx((up - down) * (up - down) / double(up + down)));
                CHECK(*test->p_exact == Approx(preference_p(up, down)).epsilon(1e-12));
            }
}

TEST_CASE("nobody who changed leaves nothing to test, and the order of samples or sorts does not matter") {
    CHECK_FALSE(marginal_homogeneity({{{5, 0, 0}, {0, 9, 0}, {0, 0, 4}}}));
    const auto one = marginal_homogeneity({{{5, 7, 2}, {1, 9, 3}, {0, 2, 4}}}), turned = marginal_homogeneity({{{5, 1, 0}, {7, 9, 2}, {2, 3, 4}}}),
               renamed = marginal_homogeneity({{{4, 2, 0}, {3, 9, 1}, {2, 7, 5}}});
    CHECK(*turned->p_exact == Approx(*one->p_exact).epsilon(1e-13));
    CHECK(*renamed->p_exact == Approx(*one->p_exact).epsilon(1e-13));
    CHECK(marginal_homogeneity({{{0, 900, 800}, {700, 0, 900}, {800, 900, 0}}})->p_exact == std::nullopt);
}

// 2,000 seeded tables of 20 people who put both samples at random: the exact test alarms with 5 in 100 or less (standard error .005).
TEST_CASE("the exact test of a change keeps its error") {
    int alarms = 0;
    for (std::uint64_t table = 0; table < 2000; ++table) {
        core::PhiloxStream chance(11, table);
        SortTable counts{};
        const auto sort = [&] {
            const double u = chance.uniform();
            return u < 0.25 ? 0u : u < 0.75 ? 1u : 2u;
        };
        for (int person = 0; person < 20; ++person) {
            const auto first = sort();
            ++counts[first][sort()];
        }
        const auto test = marginal_homogeneity(counts);
        alarms += test && *test->p_exact <= 0.05;
    }
    CHECK(alarms <= 115);
    CHECK(alarms >= 50);
}
