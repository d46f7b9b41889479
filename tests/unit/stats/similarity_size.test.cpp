#include <catch2/catch.hpp>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/curves.hpp"
#include "oddplate/stats/power.hpp"

using namespace oddplate;
using stats::Sided;
using stats::SimilarityTest;

namespace {

SimilarityTest triangle_at(double d) {
    return {1.0 / 3, stats::proportion_correct(stats::triangle_link(), d), 0.05, Sided::one};
}
SimilarityTest two_afc_at(double d, Sided sided) {
    return {0.5, stats::proportion_correct(stats::two_afc_link(), d), 0.05, sided};
}

// Oracle: S by its words, count by count.
bool passes(const SimilarityTest& test, long long k, long long n, bool with_below_guard) {
    const auto ok = [&](long long count) {
        return stats::significant(stats::binomial_lower(count, n, test.p_margin), test.alpha);
    };
    long long most = -1;
    while (most < n && ok(most + 1)) ++most;
    if (static_cast<double>(most) < static_cast<double>(n) * test.chance - 1e-9 || !ok(k)) return false;
    if (test.sided == Sided::two && !stats::significant(stats::binomial_upper(k, n, 1 - test.p_margin), test.alpha)) return false;
    return !(with_below_guard && stats::significant(stats::binomial_lower(k, n, test.chance), test.alpha));
}

double share_passing(const SimilarityTest& test, long long n, double p, bool with_below_guard) {
    double sum = 0;
    for (long long k = 0; k <= n; ++k) {
        if (passes(test, k, n, with_below_guard)) sum += stats::binomial_pmf(k, n, p);
    }
    return sum;
}

}   // namespace

// Triangle, margin d' = 1: exact figures by enumeration.
TEST_CASE("similarity size: triangle with margin 1", "[stats]") {
    const auto size = stats::size_similarity(triangle_at(1), 1.0 / 3, 0.8);
    REQUIRE(size);
    CHECK(size->tasters == 206);
    CHECK(size->critical == 74);
    const auto at = [](double d) { return stats::proportion_correct(stats::triangle_link(), d); };
    const auto test = triangle_at(1);
    CHECK(stats::power_similarity(test, 206, at(0)) == Approx(.806).margin(5e-4));
    CHECK(stats::power_similarity(test, 206, at(0.25)) == Approx(.755).margin(5e-4));
    CHECK(stats::power_similarity(test, 206, at(0.5)) == Approx(.572).margin(5e-4));
    CHECK(stats::power_similarity_verdict(test, 206, at(0)) == Approx(.758).margin(6e-4));
    CHECK(stats::power_similarity_verdict(test, 206, at(0.25)) == Approx(.722).margin(6e-4));
    CHECK(stats::power_similarity_verdict(test, 206, at(0.5)) == Approx(.562).margin(6e-4));
}

TEST_CASE("similarity size: two-AFC with margin 1, both directions or one", "[stats]") {
    const auto two = stats::size_similarity(two_afc_at(1, Sided::two), 0.5, 0.8);
    REQUIRE(two);
    CHECK(two->tasters == 31);
    CHECK(two->critical == 19);
    const auto one = stats::size_similarity(two_afc_at(1, Sided::one), 0.5, 0.8);
    REQUIRE(one);
    CHECK(one->tasters == 21);
    CHECK(one->critical == 12);
}

TEST_CASE("similarity power: equals the sum over every count that passes, n to 60", "[stats][exhaustive]") {
    for (const auto& test : {triangle_at(1.5), triangle_at(2.5), two_afc_at(1, Sided::two), two_afc_at(0.8, Sided::one)}) {
        for (long long n = 1; n <= 60; ++n) {
            for (const double p : {test.chance, test.chance + 0.05}) {
                CAPTURE(n, p, test.chance, test.p_margin);
                CHECK(stats::power_similarity(test, n, p) == Approx(share_passing(test, n, p, false)).margin(1e-13));
                CHECK(stats::power_similarity_verdict(test, n, p) == Approx(share_passing(test, n, p, true)).margin(1e-13));
            }
        }
    }
}

TEST_CASE("similarity size: first and safe agree with power at every n", "[stats][exhaustive]") {
    for (const auto& test : {triangle_at(1.5), triangle_at(2.0), two_afc_at(1, Sided::two), two_afc_at(1, Sided::one)}) {
        for (const double wanted : {0.3, 0.5, 0.8, 0.95}) {
            for (const double p_true : {test.chance, test.chance + 0.03}) {
                long long first = 0;
                long long safe = 2;
                for (long long n = 2; n <= 600; ++n) {
                    if (stats::power_similarity(test, n, p_true) < wanted * (1 - 1e-12))
                        safe = n + 1;
                    else if (first == 0)
                        first = n;
                }
                const auto found = stats::size_similarity(test, p_true, wanted);
                CAPTURE(test.chance, test.p_margin, wanted, p_true);
                REQUIRE(found);
                CHECK(found->tasters == first);
                CHECK(found->tasters_safe == safe);
                CHECK(found->power_actual == Approx(stats::power_similarity(test, first, p_true)).epsilon(1e-12));
                CHECK(found->alpha_actual == Approx(stats::power_similarity(test, first, test.p_margin)).epsilon(1e-10));
                CHECK(found->alpha_actual <= test.alpha * (1 + 1e-12));
            }
        }
    }
}

TEST_CASE("similarity: too few tasters can pass by luck alone, so nothing passes", "[stats]") {
    const auto test = triangle_at(0.5);
    CHECK(stats::most_correct(60, test.p_margin, test.alpha).has_value());
    CHECK_FALSE(stats::most_similar(test, 60).has_value());
    CHECK(stats::power_similarity(test, 60, 1.0 / 3) == 0.0);
}

// What S promises: at the margin and beyond it passes with at most alpha.
TEST_CASE("similarity: wrong at most alpha of the time at and beyond the margin", "[stats][exhaustive]") {
    for (const auto& test : {triangle_at(1.5), two_afc_at(1, Sided::two)}) {
        for (long long n = 2; n <= 60; ++n) {
            for (double p = test.p_margin; p < 1; p += 0.05) {
                CHECK(stats::power_similarity(test, n, p) <= test.alpha * (1 + 1e-12));
                if (test.sided == Sided::two) CHECK(stats::power_similarity(test, n, 1 - p) <= test.alpha * (1 + 1e-12));
            }
        }
    }
}
