#include "oddplate/stats/two_kinds.hpp"

#include <catch2/catch.hpp>

#include <numeric>
#include <vector>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/link.hpp"
#include "reference_table.hpp"

using namespace oddplate;
using stats::SetGroup;

namespace {

using Groups = std::vector<SetGroup>;

// One taster's right answers: he tells all of them (pd) or guesses all.
std::vector<double> two_kinds_taster(long long sets, double chance, double pd) {
    std::vector<double> law;
    for (long long j = 0; j <= sets; ++j) law.push_back((1 - pd) * stats::binomial_pmf(j, sets, chance) + (j == sets ? pd : 0.0));
    return law;
}

std::vector<double> add(const std::vector<double>& x, const std::vector<double>& y) {
    std::vector<double> sum(x.size() + y.size() - 1, 0.0);
    for (std::size_t i = 0; i < x.size(); ++i) {
        for (std::size_t j = 0; j < y.size(); ++j) sum[i + j] += x[i] * y[j];
    }
    return sum;
}

// Oracle: one taster after the other.
std::vector<double> plain_law(const Groups& groups, double chance, double pd) {
    std::vector<double> law{1.0};
    for (const SetGroup& group : groups) {
        for (long long i = 0; i < group.tasters; ++i) law = add(law, two_kinds_taster(group.sets, chance, pd));
    }
    return law;
}

double from(const std::vector<double>& law, std::size_t first, std::size_t last) {
    double sum = 0;
    for (std::size_t i = first; i <= last; ++i) sum += law[i];
    return sum;
}

}   // namespace

TEST_CASE("two kinds: both tails equal the taster-by-taster convolution", "[stats][exhaustive]") {
    tests::Peak peak;
    for (const Groups& groups :
         {Groups{{5, 4}}, Groups{{3, 1}, {4, 2}, {2, 3}}, Groups{{7, 1}}, Groups{{1, 9}}, Groups{{12, 2}, {1, 5}}}) {
        for (const double chance : {1.0 / 3, 0.5, 0.1}) {
            for (const double pd : {0.0, 0.05, 0.3, 0.7, 1.0}) {
                const auto law = plain_law(groups, chance, pd);
                for (std::size_t k = 0; k < law.size(); ++k) {
                    const stats::TwoKinds two(static_cast<std::int64_t>(k), groups, chance);
                    peak.note(tests::off(two.lower(pd), from(law, 0, k)));
                    peak.note(tests::off(two.upper(pd), from(law, k, law.size() - 1)));
                }
            }
        }
    }
    CHECK(peak.worst() < 1e-14);
}

TEST_CASE("two kinds: with nobody telling, or one set each, it is the binomial", "[stats]") {
    for (int k = 0; k <= 24; ++k) {
        const stats::TwoKinds pooled(k, Groups{{6, 4}}, 1.0 / 3);
        CHECK(tests::off(pooled.lower(0), stats::binomial_lower(k, 24, 1.0 / 3)) < 1e-13);
        CHECK(tests::off(pooled.upper(0), stats::binomial_upper(k, 24, 1.0 / 3)) < 1e-13);
        const stats::TwoKinds single(k, Groups{{24, 1}}, 1.0 / 3);
        CHECK(tests::off(single.lower(0.3), stats::binomial_lower(k, 24, 1.0 / 3 + 0.2)) < 1e-13);
    }
}

TEST_CASE("two kinds: tails far out in a large panel stay right", "[stats]") {
    // All of 300 tasters wrong in all four answers: nobody tells and every guess fails.
    const stats::TwoKinds none(0, Groups{{300, 4}}, 1.0 / 3);
    CHECK(none.lower(0.1) == Approx(std::exp(300 * (std::log(0.9) + 4 * std::log(2.0 / 3)))).epsilon(1e-10));
    const stats::TwoKinds all(1200, Groups{{300, 4}}, 1.0 / 3);
    CHECK(all.upper(0.8) == Approx(std::exp(300 * std::log(0.8 + 0.2 / 81))).epsilon(1e-10));
    // Mean and spread: 12,000 answers at pd .05, far enough for a normal law to be good to 3 digits.
    const stats::TwoKinds large(4400, Groups{{3000, 4}}, 1.0 / 3);
    const double mean = 12000 * (1.0 / 3 + 2.0 / 3 * 0.05);
    CHECK(large.lower(0.05) + large.upper(0.05) == Approx(1.0).margin(0.01));
    CHECK(std::abs(large.lower(0.05) - 0.5) < 0.02);
    CHECK(mean == Approx(4400));
}

TEST_CASE("two kinds: the upper tail rises and the lower falls as more can tell", "[stats]") {
    const Groups groups{{10, 4}, {3, 2}};
    for (int k = 0; k <= 46; ++k) {
        const stats::TwoKinds two(k, groups, 1.0 / 3);
        for (double pd = 0.05; pd <= 1.0; pd += 0.05) {
            CHECK(two.upper(pd) >= two.upper(pd - 0.05) - 1e-15);
            CHECK(two.lower(pd) <= two.lower(pd - 0.05) + 1e-15);
        }
    }
}

// Why the plain binomial S is not enough: four answers a taster, half of the tasters always telling, and its false "close enough"
// is more than twice the .05 asked for; the pooled tail keeps it.
TEST_CASE("two kinds: the pooled tail holds alpha where the binomial does not", "[stats][exhaustive]") {
    for (const int tasters : {12, 24, 48}) {
        const Groups groups{{tasters, 4}};
        const double p = 1.0 / 3 + 2.0 / 3 * 0.5;
        const auto naive = stats::most_correct(4 * tasters, p, 0.05);
        REQUIRE(naive);
        CHECK(stats::TwoKinds(*naive, groups, 1.0 / 3).lower(0.5) > 0.08);
        const auto most = stats::pooled_most_correct(groups, 1.0 / 3, 0.5, 0.05);
        CHECK(stats::TwoKinds(most, groups, 1.0 / 3).lower(0.5) <= 0.05);
        CHECK(stats::pooled_lower_tail(most + 1, groups, 1.0 / 3, 0.5) > 0.05);
    }
}

// Other mixtures with the same mean: tasters who tell each answer with their own chance t_i. None may beat the pooled tail at the
// margin.
TEST_CASE("two kinds: no other mixture tried makes more false close-enoughs", "[stats][exhaustive]") {
    const Groups groups{{12, 4}};
    for (const double pd : {0.2, 0.4, 0.6}) {
        const auto most = stats::pooled_most_correct(groups, 1.0 / 3, pd, 0.05);
        REQUIRE(most >= 0);
        for (const double high : {0.65, 0.8, 0.9, 1.0}) {
            for (const double low : {0.0, 0.05, 0.1, 0.15}) {
                const double share = (pd - low) / (high - low);   // tasters with the higher chance
                std::vector<double> one;
                for (int j = 0; j <= 4; ++j) {
                    one.push_back(share * stats::binomial_pmf(j, 4, 1.0 / 3 + 2.0 / 3 * high) +
                                  (1 - share) * stats::binomial_pmf(j, 4, 1.0 / 3 + 2.0 / 3 * low));
                }
                std::vector<double> law{1.0};
                for (int i = 0; i < 12; ++i) law = add(law, one);
                CAPTURE(pd, high, low);
                CHECK(from(law, 0, static_cast<std::size_t>(most)) <= 0.05 * (1 + 1e-12));
            }
        }
    }
}

TEST_CASE("interval by tasters: inverts both pooled tails", "[stats]") {
    for (const Groups& groups : {Groups{{24, 4}}, Groups{{6, 1}, {5, 2}, {9, 3}}}) {
        const std::int64_t answers = stats::TwoKinds(0, groups, 1.0 / 3).answers();
        for (std::int64_t k = 0; k <= answers; ++k) {
            const auto interval = stats::interval_by_tasters(k, groups, 1.0 / 3, 0.9);
            CAPTURE(k);
            CHECK(interval.lower <= static_cast<double>(k) / static_cast<double>(answers));
            CHECK(interval.upper >= static_cast<double>(k) / static_cast<double>(answers));
            if (interval.lower > 1.0 / 3) {
                const double pd = stats::discriminators_from_proportion(1.0 / 3, interval.lower);
                CHECK(stats::pooled_upper_tail(k, groups, 1.0 / 3, pd) == Approx(0.05).epsilon(1e-9));
            }
            if (interval.upper > 1.0 / 3 && k < answers) {
                const double pd = stats::discriminators_from_proportion(1.0 / 3, interval.upper);
                CHECK(stats::pooled_lower_tail(k, groups, 1.0 / 3, pd) == Approx(0.05).epsilon(1e-9));
            }
        }
    }
}

TEST_CASE("interval by tasters: above chance exactly when D holds, below the margin exactly when S's tail does",
          "[stats][exhaustive]") {
    const Groups groups{{7, 4}, {2, 3}};
    for (const double alpha : {0.1, 0.05, 0.01}) {
        for (int k = 0; k <= 34; ++k) {
            const auto interval = stats::interval_by_tasters(k, groups, 1.0 / 3, 1 - 2 * alpha);
            CAPTURE(k, alpha);
            CHECK((interval.lower >= 1.0 / 3) == stats::significant(stats::binomial_upper(k, 34, 1.0 / 3), alpha));
            for (const double pd : {0.1, 0.3, 0.5}) {
                const bool below = interval.upper <= stats::proportion_from_discriminators(1.0 / 3, pd);
                CHECK(below == stats::significant(stats::pooled_lower_tail(k, groups, 1.0 / 3, pd), alpha));
            }
        }
    }
}

TEST_CASE("interval by tasters: one set each is Clopper-Pearson; more sets never narrow it", "[stats]") {
    for (int k = 0; k <= 24; ++k) {
        const auto exact = stats::clopper_pearson(k, 24, 0.9);
        const auto one = stats::interval_by_tasters(k, Groups{{24, 1}}, 1.0 / 3, 0.9);
        CHECK(one.lower == Approx(exact.lower).margin(1e-11));
        CHECK(one.upper == Approx(exact.upper).margin(1e-11));
        const auto four = stats::interval_by_tasters(k, Groups{{6, 4}}, 1.0 / 3, 0.9);
        CHECK(four.lower <= exact.lower);
        CHECK(four.upper >= exact.upper);
    }
}

// Half the tasters always tell, four answers each: the plain 95 % interval covers far less, the one by tasters keeps its promise.
TEST_CASE("interval by tasters: covers under two kinds", "[stats][exhaustive]") {
    const Groups groups{{24, 4}};
    const double p = 1.0 / 3 + 2.0 / 3 * 0.5;
    const auto law = plain_law(groups, 1.0 / 3, 0.5);
    double plain = 0;
    double by_tasters = 0;
    for (int k = 0; k <= 96; ++k) {
        const auto exact = stats::clopper_pearson(k, 96, 0.95);
        const auto wide = stats::interval_by_tasters(k, groups, 1.0 / 3, 0.95);
        if (exact.lower <= p && p <= exact.upper) plain += law[static_cast<std::size_t>(k)];
        if (wide.lower <= p && p <= wide.upper) by_tasters += law[static_cast<std::size_t>(k)];
    }
    CHECK(plain < 0.87);
    CHECK(by_tasters >= 0.95);
}

TEST_CASE("set groups: counts tasters by their number of answers and leaves out the absent", "[stats]") {
    const std::vector<std::int64_t> sets{4, 0, 2, 4, 4, 1};
    const auto groups = stats::set_groups(sets);
    REQUIRE(groups.size() == 3);
    CHECK((groups[0].sets == 1 && groups[0].tasters == 1));
    CHECK((groups[1].sets == 2 && groups[1].tasters == 1));
    CHECK((groups[2].sets == 4 && groups[2].tasters == 3));
}
