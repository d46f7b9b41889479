#include "oddplate/stats/closed_testing.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/holm.hpp"

using namespace oddplate;
using namespace oddplate::stats;

TEST_CASE("closed testing of two spots, written out") {
    const SpotCount spots[] = {{10, 15}, {7, 15}};
    const auto found = closed_test(spots, 1.0 / 3);
    REQUIRE(found);
    const double both = binomial_upper(17, 30, 1.0 / 3);
    CHECK(found->p_anywhere == both);
    CHECK(found->p_adjusted[0] == std::max(both, binomial_upper(10, 15, 1.0 / 3)));
    CHECK(found->p_adjusted[1] == std::max(both, binomial_upper(7, 15, 1.0 / 3)));
}

TEST_CASE("closed testing gains where spots lean the same way") {
    const SpotCount spots[] = {{9, 15}, {9, 15}, {9, 15}};
    const auto found = closed_test(spots, 1.0 / 3);
    const double alone = binomial_upper(9, 15, 1.0 / 3);
    CHECK(found->p_adjusted[0] == alone);   // the larger sets are clearer than the spot itself
    CHECK(found->p_adjusted[0] < holm_adjusted(std::vector<double>(3, alone))[0]);
}

TEST_CASE("closed testing takes empty spots and up to eight") {
    const SpotCount one_empty[] = {{12, 15}, {0, 0}};
    CHECK(closed_test(one_empty, 1.0 / 3)->p_adjusted[1] == 1.0);
    CHECK(closed_test(one_empty, 1.0 / 3)->p_adjusted[0] == binomial_upper(12, 15, 1.0 / 3));
    const std::vector<SpotCount> nine(9, {5, 10});
    CHECK_FALSE(closed_test(nine, 0.5));
    CHECK(closed_test(std::span(nine).first(8), 0.5));
}

// One spot of three differs (d' large), two do not: a false claim at either at most .05 of the time, up to 4 standard errors of 4,000
// panels (.0138).
TEST_CASE("closed testing keeps false claims down whichever spots differ") {
    int wrong = 0;
    for (int panel = 0; panel < 4000; ++panel) {
        core::PhiloxStream stream(9, static_cast<std::uint64_t>(panel));
        SpotCount spots[] = {{0, 20}, {0, 20}, {0, 20}};
        for (int i = 0; i < 20; ++i) {
            spots[0].correct += stream.uniform() < 0.9;
            spots[1].correct += stream.uniform() < 1.0 / 3;
            spots[2].correct += stream.uniform() < 1.0 / 3;
        }
        const auto found = closed_test(spots, 1.0 / 3);
        wrong += significant(found->p_adjusted[1], 0.05) || significant(found->p_adjusted[2], 0.05);
    }
    CHECK(wrong / 4000.0 < 0.05 + 0.0138);
}

TEST_CASE("simultaneous confidence shares what may fail") {
    CHECK(simultaneous_confidence(0.9, 1) == Approx(0.9));
    CHECK(simultaneous_confidence(0.9, 4) == Approx(0.975));
}

TEST_CASE("the smallest p of several spots is exact") {
    // Two spots of 5 and 4 answers, every outcome counted out.
    const SpotCount seen[] = {{4, 5}, {1, 4}};
    const double smallest = binomial_upper(4, 5, 1.0 / 3);
    double p = 0;
    for (std::int64_t a = 0; a <= 5; ++a)
        for (std::int64_t b = 0; b <= 4; ++b)
            if (significant(std::min(binomial_upper(a, 5, 1.0 / 3), binomial_upper(b, 4, 1.0 / 3)), smallest))
                p += binomial_pmf(a, 5, 1.0 / 3) * binomial_pmf(b, 4, 1.0 / 3);
    CHECK(smallest_p(seen, 1.0 / 3) == Approx(p).epsilon(1e-12));
    const SpotCount nothing[] = {{0, 0}, {0, 3}};
    CHECK(smallest_p(nothing, 1.0 / 3) == 1.0);
    const SpotCount one[] = {{4, 5}};
    CHECK(smallest_p(one, 1.0 / 3) == Approx(smallest).epsilon(1e-12));
}
