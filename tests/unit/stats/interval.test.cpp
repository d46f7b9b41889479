#include "oddplate/stats/interval.hpp"

#include <catch2/catch.hpp>

#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "reference_table.hpp"

using namespace oddplate;
using stats::IntervalKind;

namespace {

void check(IntervalKind kind, long long k, long long n, double lower, double upper, double within, double confidence = 0.95) {
    const auto interval = stats::proportion_interval(kind, k, n, confidence);
    CAPTURE(k, n, lower, upper);
    CHECK(interval.lower == Approx(lower).margin(within));
    CHECK(interval.upper == Approx(upper).margin(within));
}

}   // namespace

TEST_CASE("the ends of the exact interval are their closed forms") {
    CHECK(stats::clopper_pearson(1, 1, 0.9).lower == 0.05);
    CHECK(stats::clopper_pearson(0, 1, 0.9).upper == 0.95);
    for (const std::int64_t n : {2, 7, 40, 1000}) {
        CHECK(stats::clopper_pearson(n, n, 0.95).lower == Approx(std::pow(0.025, 1.0 / static_cast<double>(n))).epsilon(1e-15));
        CHECK(stats::clopper_pearson(0, n, 0.95).upper == Approx(-std::expm1(std::log(0.025) / static_cast<double>(n))).epsilon(1e-15));
    }
}

TEST_CASE("intervals: agree with 40-digit references", "[stats][reference]") {
    const auto rows = tests::reference_rows("intervals.csv");
    REQUIRE(rows.size() > 100);
    tests::Peak mid;
    for (const auto& row : rows) {
        const auto k = tests::whole(row, "k");
        const auto n = tests::whole(row, "n");
        const double confidence = tests::number(row, "confidence");
        const auto cp = stats::clopper_pearson(k, n, confidence);
        // The rule of `significant` moves a limit by up to 1e-12 of itself.
        CAPTURE(k, n, confidence);
        CHECK(cp.lower == Approx(tests::number(row, "cp_lower")).epsilon(1.1e-12));
        CHECK(cp.upper == Approx(tests::number(row, "cp_upper")).epsilon(1.1e-12));
        const auto half = stats::mid_p(k, n, confidence);
        mid.note(std::fabs(half.lower - tests::number(row, "mid_lower")));
        mid.note(std::fabs(half.upper - tests::number(row, "mid_upper")));
    }
    CHECK(mid.worst() < 1e-14);
}

// Newcombe (1998) Statistics in Medicine 17:857, table I, four printed digits (recalled, and recomputed in exact arithmetic).
TEST_CASE("intervals: Newcombe's table", "[stats][published]") {
    check(IntervalKind::wilson, 81, 263, .2553, .3662, 5e-5);
    check(IntervalKind::clopper_pearson, 81, 263, .2527, .3676, 5e-5);
    check(IntervalKind::mid_p, 81, 263, .2544, .3658, 5e-5);
    check(IntervalKind::wilson, 15, 148, .0624, .1605, 5e-5);
    check(IntervalKind::clopper_pearson, 15, 148, .0578, .1617, 5e-5);
    check(IntervalKind::mid_p, 15, 148, .0601, .1581, 5e-5);
    check(IntervalKind::wilson, 0, 20, 0, .1611, 5e-5);
    check(IntervalKind::clopper_pearson, 0, 20, 0, .1684, 5e-5);
    check(IntervalKind::mid_p, 0, 20, 0, .1391, 5e-5);
}

// Conover (1999), tables of exact limits (.068, .407 printed); further digits recomputed.
TEST_CASE("intervals: 5 of 25, 23 of 60, 682 of 925", "[stats][published]") {
    check(IntervalKind::clopper_pearson, 5, 25, .06831146401, .40703743228, 6e-12);
    check(IntervalKind::wilson, 5, 25, .08860584687, .39130950370, 6e-12);
    check(IntervalKind::clopper_pearson, 23, 60, .26070706, .51788505, 6e-9);
    check(IntervalKind::wilson, 23, 60, .27088272, .50982404, 6e-9);
    // Mendel's peas, Conover (1971) p. 97.
    check(IntervalKind::clopper_pearson, 682, 925, .7076682641, .7654065582, 6e-11);
}

TEST_CASE("Clopper-Pearson: the limits and the tests never contradict each other", "[stats][exhaustive]") {
    for (int n = 1; n <= 60; ++n) {
        for (int k = 0; k <= n; ++k) {
            for (const double alpha : {0.1, 0.05, 0.03125, 0.001}) {
                const auto interval = stats::clopper_pearson(k, n, 1 - 2 * alpha);
                CAPTURE(n, k, alpha);
                CHECK(interval.lower <= static_cast<double>(k) / n);
                CHECK(static_cast<double>(k) / n <= interval.upper);
                for (const double p : {1.0 / 3, 0.5, 0.1, 0.25, 2.0 / 3}) {
                    CHECK(stats::significant(stats::binomial_upper(k, n, p), alpha) == (p <= interval.lower));
                    CHECK(stats::significant(stats::binomial_lower(k, n, p), alpha) == (p >= interval.upper));
                }
            }
        }
    }
}

// 5 of 5 at one half has P = 1/32 exactly: the lower limit of confidence 1 - 2/32 is one half, and must count as reaching it.
TEST_CASE("Clopper-Pearson: a tie is on the significant side", "[stats]") {
    const auto interval = stats::clopper_pearson(5, 5, 1 - 2.0 / 32);
    CHECK(interval.lower >= 0.5);
    CHECK(interval.lower == Approx(0.5).epsilon(1e-12));
}

TEST_CASE("Clopper-Pearson: large panels", "[stats]") {
    const auto interval = stats::clopper_pearson(334000, 1000000, 0.9);
    CHECK(stats::binomial_upper(334000, 1000000, interval.lower) == Approx(0.05).epsilon(2e-11));
    CHECK(stats::binomial_lower(334000, 1000000, interval.upper) == Approx(0.05).epsilon(2e-11));
}

TEST_CASE("intervals: swapping right and wrong mirrors them", "[stats]") {
    for (const auto kind : {IntervalKind::clopper_pearson, IntervalKind::wilson, IntervalKind::mid_p}) {
        for (int k = 0; k <= 24; ++k) {
            const auto one = stats::proportion_interval(kind, k, 24, 0.9);
            const auto other = stats::proportion_interval(kind, 24 - k, 24, 0.9);
            CHECK(one.lower == Approx(1 - other.upper).margin(1e-14));
            CHECK(one.upper == Approx(1 - other.lower).margin(1e-14));
        }
    }
}

// Newcombe (1998) Stat. Med. 17:857, table I, 95 %, the likelihood column (from memory; recomputed).
TEST_CASE("intervals: likelihood as published", "[stats][published]") {
    check(IntervalKind::likelihood, 81, 263, .2542, .3655, 6e-5);
    check(IntervalKind::likelihood, 15, 148, .0596, .1567, 6e-5);
    check(IntervalKind::likelihood, 0, 20, 0, .0916, 6e-5);
}

TEST_CASE("intervals: likelihood from guessing up", "[stats]") {
    const double z2 = 3.841458820694124;   // chi-square, 1 df, .95
    CHECK(stats::likelihood_interval(20, 20, 0.95, 1.0 / 3).upper == 1.0);
    CHECK(stats::likelihood_interval(20, 20, 0.95, 1.0 / 3).lower == Approx(std::exp(-z2 / 40)).epsilon(1e-13));   // 40 log p = -z^2
    const auto below = stats::likelihood_interval(0, 20, 0.95, 1.0 / 3);   // 40 log(q / (2/3)) = -z^2
    CHECK(below.lower == 1.0 / 3);
    CHECK(below.upper == Approx(1 - 2.0 / 3 * std::exp(-z2 / 40)).epsilon(1e-13));
    CHECK(stats::likelihood_interval(9, 20, 0.95, 1.0 / 3).lower == 1.0 / 3);   // guessing is not excluded
    CHECK(stats::likelihood_interval(19, 20, 0.95, 1.0 / 3).lower > 1.0 / 3);
}
