#include "oddplate/stats/binomial.hpp"

#include <catch2/catch.hpp>

#include <vector>

#include "reference_table.hpp"

using namespace oddplate;
using tests::off;
using tests::Peak;

namespace {

// Oracle: all of Binomial(n, p) by the two-term recurrence in n, in long double; slow and plain.
std::vector<long double> every_pmf(int n, double p) {
    std::vector<long double> law{1.0L};
    for (int i = 0; i < n; ++i) {
        std::vector<long double> next(law.size() + 1, 0.0L);
        for (std::size_t k = 0; k < law.size(); ++k) {
            next[k] += law[k] * (1.0L - static_cast<long double>(p));
            next[k + 1] += law[k] * static_cast<long double>(p);
        }
        law = next;
    }
    return law;
}

double sum(const std::vector<long double>& law, std::size_t from, std::size_t to) {
    long double total = 0;
    for (std::size_t k = from; k < to; ++k) total += law[k];
    return static_cast<double>(total);
}

TEST_CASE("a tail and its first probability together are what they are apart", "[stats]") {
    for (const double p : {0.0, 1.0 / 3, 0.5, 0.97, 1.0})
        for (std::int64_t k = 0; k <= 25; ++k) {
            const stats::UpperTail both = stats::binomial_upper_tail(k, 24, p);
            REQUIRE(both.pmf == stats::binomial_pmf(k, 24, p));
            REQUIRE(both.tail == stats::binomial_upper(k, 24, p));
        }
}

}   // namespace

TEST_CASE("binomial: probability and tails agree with 60-digit references up to n = 10 million", "[stats][reference]") {
    const auto rows = tests::reference_rows("binomial_tails.csv");
    REQUIRE(rows.size() > 400);
    Peak pmf, tails;
    for (const auto& row : rows) {
        const auto n = tests::whole(row, "n");
        const auto k = tests::whole(row, "k");
        const double p = tests::number(row, "p");
        CAPTURE(n, k, p);
        // Below 1e-290 the smallest terms of a tail underflow; such values carry no decision.
        const auto check = [&](Peak& peak, double value, double truth) {
            if (truth < 1e-290)
                CHECK(value < 1e-289);
            else
                peak.note(off(value, truth));
        };
        check(pmf, stats::binomial_pmf(k, n, p), tests::number(row, "pmf"));
        check(tails, stats::binomial_lower(k, n, p), tests::number(row, "lower"));
        check(tails, stats::binomial_upper(k, n, p), tests::number(row, "upper"));
    }
    // Measured: 4.4e-16 and 6.7e-16 with an 80-bit long double; 1e-13 is promised without.
    CHECK(pmf.worst() < (sizeof(long double) > 8 ? 1.8e-15 : 1e-13));
    CHECK(tails.worst() < (sizeof(long double) > 8 ? 2.6e-15 : 1e-13));
}

TEST_CASE("binomial: tails equal the plain sum for every k of n up to 60", "[stats][exhaustive]") {
    Peak peak;
    for (const double p : {1.0 / 3, 0.5, 0.1, 1.0 / 9, 0.25, 0.82}) {
        for (int n = 0; n <= 60; ++n) {
            const auto law = every_pmf(n, p);
            for (int k = 0; k <= n; ++k) {
                const auto at = static_cast<std::size_t>(k);
                peak.note(off(stats::binomial_pmf(k, n, p), static_cast<double>(law[at])));
                peak.note(off(stats::binomial_upper(k, n, p), sum(law, at, law.size())));
                peak.note(off(stats::binomial_lower(k, n, p), sum(law, 0, at + 1)));
            }
        }
    }
    CHECK(peak.worst() < 2e-15);
}

TEST_CASE("binomial: edges are exact", "[stats]") {
    CHECK(stats::binomial_upper(0, 10, 0.3) == 1.0);
    CHECK(stats::binomial_upper(-4, 10, 0.3) == 1.0);
    CHECK(stats::binomial_upper(11, 10, 0.3) == 0.0);
    CHECK(stats::binomial_lower(10, 10, 0.3) == 1.0);
    CHECK(stats::binomial_lower(-1, 10, 0.3) == 0.0);
    for (const long long n : {0, 1, 5}) {
        CHECK(stats::binomial_pmf(0, n, 0.0) == 1.0);
        CHECK(stats::binomial_pmf(n, n, 1.0) == 1.0);
        CHECK(stats::binomial_upper(n, n, 1.0) == 1.0);
        CHECK(stats::binomial_lower(0, n, 0.0) == 1.0);
    }
    CHECK(stats::binomial_upper(1, 5, 0.0) == 0.0);
    CHECK(stats::binomial_lower(4, 5, 1.0) == 0.0);
    CHECK(stats::binomial_pmf(1, 5, 0.0) == 0.0);
    CHECK(stats::log_binomial_pmf(6, 5, 0.5) == -HUGE_VAL);
}

TEST_CASE("binomial: the log scale goes on where the plain scale has underflowed", "[stats]") {
    CHECK(stats::binomial_pmf(100000, 100000, 0.1) == 0.0);
    CHECK(stats::log_binomial_pmf(100000, 100000, 0.1) == Approx(100000 * std::log(0.1)).epsilon(1e-13));
    CHECK(std::exp(stats::log_binomial_pmf(13, 24, 1.0 / 3)) == Approx(stats::binomial_pmf(13, 24, 1.0 / 3)).epsilon(1e-13));
}

TEST_CASE("binomial: swapping right and wrong swaps the tails", "[stats]") {
    for (int n = 1; n <= 40; ++n) {
        for (int k = 0; k <= n; ++k)
            CHECK(off(stats::binomial_upper(k, n, 0.375), stats::binomial_lower(n - k, n, 0.625)) < 1e-14);
    }
}

// Near misses: not significant at .05, though a strict P(X > x) would pass them. Computed in exact arithmetic.
TEST_CASE("binomial: near misses at one half stay above 5 in 100", "[stats]") {
    CHECK(stats::binomial_upper(8, 10, 0.5) == Approx(0.0546875).epsilon(1e-14));
    CHECK(stats::binomial_upper(11, 15, 0.5) == Approx(0.05923462).epsilon(1e-6));
    CHECK(stats::binomial_upper(14, 20, 0.5) == Approx(0.05765915).epsilon(1e-6));
    CHECK(stats::binomial_upper(17, 25, 0.5) == Approx(0.05387607).epsilon(1e-6));
}

// Byer & Abrams (1953), a triangle of two strengths of quinine, 25 of 50; quoted by Hollander & Wolfe, example 2.2.
TEST_CASE("binomial: 25 right of 50 triangles", "[stats]") {
    CHECK(stats::binomial_upper(25, 50, 1.0 / 3) == Approx(0.01082668445).epsilon(1e-9));
}

TEST_CASE("significant: a tie is significant, a hair above is not", "[stats]") {
    CHECK(stats::significant(0.125, 0.125));
    CHECK(stats::significant(0.125 * (1 + 2e-16), 0.125));
    CHECK_FALSE(stats::significant(0.125 * (1 + 1e-11), 0.125));
    CHECK(stats::significant(0.1 + 0.2, 0.3));   // rounding alone makes this .30000000000000004
}

TEST_CASE("critical counts: agree with the plain search for every n up to 60", "[stats][exhaustive]") {
    for (const double p : {1.0 / 3, 0.5, 0.1, 1.0 / 9, 0.25, 0.6, 0.999}) {
        for (const double alpha : {0.5, 0.2, 0.1, 0.05, 0.01, 0.001, 1e-9}) {
            for (int n = 0; n <= 60; ++n) {
                const auto law = every_pmf(n, p);
                int least = n + 1;
                while (least > 0 && stats::significant(sum(law, static_cast<std::size_t>(least - 1), law.size()), alpha)) --least;
                int most = -1;
                while (most < n && stats::significant(sum(law, 0, static_cast<std::size_t>(most) + 2), alpha)) ++most;
                CAPTURE(n, p, alpha);
                CHECK(stats::least_correct(n, p, alpha).value_or(n + 1) == least);
                CHECK(stats::most_correct(n, p, alpha).value_or(-1) == most);
            }
        }
    }
}

TEST_CASE("critical counts: a tie counts", "[stats]") {
    CHECK(stats::least_correct(5, 0.5, 0.03125) == 5);             // 2^-5
    CHECK_FALSE(stats::least_correct(6, 0.5, 0.01).has_value());   // 2^-6 = .0156
    CHECK(stats::most_correct(5, 0.5, 0.03125) == 0);
    CHECK_FALSE(stats::most_correct(4, 0.5, 0.05).has_value());
}

TEST_CASE("critical counts: large panels neither stall nor slip", "[stats]") {
    for (const long long n : {100000LL, 10000000LL, 400000000LL}) {
        const auto least = stats::least_correct(n, 1.0 / 3, 0.05);
        REQUIRE(least);
        CHECK(stats::binomial_upper(*least, n, 1.0 / 3) <= 0.05);
        CHECK(stats::binomial_upper(*least - 1, n, 1.0 / 3) > 0.05);
        const auto most = stats::most_correct(n, 1.0 / 3, 0.05);
        REQUIRE(most);
        CHECK(stats::binomial_lower(*most, n, 1.0 / 3) <= 0.05);
        CHECK(stats::binomial_lower(*most + 1, n, 1.0 / 3) > 0.05);
    }
}
