#include "oddplate/stats/preference.hpp"

#include <catch2/catch.hpp>

#include "oddplate/stats/binomial.hpp"

using namespace oddplate;

// McNemar's pairs of an approval survey (Agresti 1990, p. 350): discordant 150 and 86; exact two-sided p of 86 of 236.
TEST_CASE("preference: two-sided p", "[stats][published]") {
    CHECK(stats::preference_p(86, 150) == Approx(3.71593614e-05).epsilon(1e-8));
    CHECK(stats::preference_p(150, 86) == stats::preference_p(86, 150));
    CHECK(stats::preference_p(0, 0) == 1.0);
    CHECK(stats::preference_p(5, 5) == 1.0);
    CHECK(stats::preference_p(6, 0) == Approx(2.0 / 64).epsilon(1e-15));
}

TEST_CASE("preference: the fewest votes are significant and one fewer are not", "[stats][exhaustive]") {
    for (const double alpha : {0.2, 0.05, 0.01}) {
        for (int n = 0; n <= 60; ++n) {
            const auto least = stats::least_votes(n, alpha);
            CAPTURE(n, alpha);
            if (!least) {
                CHECK_FALSE(stats::significant(stats::preference_p(n, 0), alpha));
                continue;
            }
            CHECK(stats::significant(stats::preference_p(*least, n - *least), alpha));
            CHECK_FALSE(stats::significant(stats::preference_p(*least - 1, n - *least + 1), alpha));
        }
    }
}

TEST_CASE("preference: no less than a share is the upper tail at that share", "[stats]") {
    CHECK(stats::not_less_p(74, 158, 0.4) == Approx(0.04799).margin(5e-6));
    CHECK(stats::not_less_p(0, 10, 0.4) == 1.0);
}
