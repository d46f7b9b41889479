#include "oddplate/stats/spots_size.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/curves.hpp"
#include "oddplate/stats/two_kinds.hpp"

using namespace oddplate;
using stats::DecideOn;
using stats::SpotsPlan;

namespace {

const double k_triangle = 1.0 / 3;
double pd_at(double d) {
    return stats::discriminators_from_d(stats::triangle_link(), d);
}

std::vector<double> add(const std::vector<double>& x, const std::vector<double>& y) {
    std::vector<double> sum(x.size() + y.size() - 1, 0.0);
    for (std::size_t i = 0; i < x.size(); ++i) {
        for (std::size_t j = 0; j < y.size(); ++j) sum[i + j] += x[i] * y[j];
    }
    return sum;
}

// Beta(1, 1) has mean 1/2 and variance 1/12 = gamma/4, so gamma = 1/3 makes a taster's own pd uniform: Simpson's rule over it.
std::vector<double> uniform_taster(int sets) {
    std::vector<double> law(static_cast<std::size_t>(sets) + 1, 0.0);
    const int steps = 400;
    for (int i = 0; i <= steps; ++i) {
        const double weight = (i == 0 || i == steps ? 1.0 : (i % 2 == 1 ? 4.0 : 2.0)) / (3.0 * steps);
        for (int j = 0; j <= sets; ++j) {
            law[static_cast<std::size_t>(j)] += weight * stats::binomial_pmf(j, sets, k_triangle + 2.0 / 3 * i / steps);
        }
    }
    return law;
}

double power_of(const std::vector<double>& one, int people, long long critical) {
    std::vector<double> law{1.0};
    for (int i = 0; i < people; ++i) law = add(law, one);
    double sum = 0;
    for (auto k = static_cast<std::size_t>(critical); k < law.size(); ++k) sum += law[k];
    return sum;
}

}   // namespace

// Triangle, d' = 1.5, power .8: exact figures from the definitions.
TEST_CASE("spots size: four spots by three rules", "[stats]") {
    const double pd = pd_at(1.5);
    CHECK(stats::size_over_spots({1, DecideOn::overall, 1, 0}, k_triangle, pd, 0.05, 0.8)->tasters == 53);
    CHECK(stats::size_over_spots({4, DecideOn::each_spot, 1, 0}, k_triangle, pd, 0.05, 0.8)->tasters == 87);
    CHECK(stats::size_over_spots({4, DecideOn::any_spot, 1, 0}, k_triangle, pd, 0.05, 0.8)->tasters == 80);
    const auto overall = stats::size_over_spots({4, DecideOn::overall, 1, 0}, k_triangle, pd, 0.05, 0.8);
    CHECK(overall->answers == 4 * overall->tasters);
    CHECK(overall->answers >= 53);
    CHECK(overall->answers < 53 + 57);
}

TEST_CASE("spots size: one spot, one set is the plain size", "[stats]") {
    for (const double pd : {0.2, 0.4}) {
        const auto plain = stats::size_difference(k_triangle, k_triangle + 2.0 / 3 * pd, 0.05, 0.9);
        for (const auto rule : {DecideOn::overall, DecideOn::any_spot, DecideOn::each_spot}) {
            const auto people = stats::size_over_spots({1, rule, 1, 0.5}, k_triangle, pd, 0.05, 0.9);
            CHECK(people->tasters == plain->tasters);
            CHECK(people->tasters_safe == plain->tasters_safe);
            CHECK(people->critical == plain->critical);
        }
    }
}

TEST_CASE("spots size: first and safe agree with the taster-by-taster law where tasters differ", "[stats][exhaustive]") {
    const int sets = 3;
    const auto one = uniform_taster(sets);
    for (const double wanted : {0.5, 0.8, 0.95}) {
        int first = 0;
        int safe = 2;
        for (int people = 2; people <= 60; ++people) {
            const auto least = stats::least_correct(people * sets, k_triangle, 0.05);
            const double power = least ? power_of(one, people, *least) : 0.0;
            if (power < wanted)
                safe = people + 1;
            else if (first == 0)
                first = people;
        }
        const auto found = stats::size_over_spots({sets, DecideOn::overall, 1, 1.0 / 3}, k_triangle, 0.5, 0.05, wanted);
        REQUIRE(found);
        CAPTURE(wanted);
        CHECK(found->tasters == first);
        CHECK(found->tasters_safe == safe);
        CHECK(found->power_actual == Approx(power_of(one, first, found->critical)).epsilon(1e-8));
    }
}

TEST_CASE("spots size: tasters who differ need no fewer people; gamma 0 and a hair meet", "[stats]") {
    const double pd = 0.3;
    const auto at = [&](double gamma) {
        return stats::size_over_spots({4, DecideOn::overall, 2, gamma}, k_triangle, pd, 0.05, 0.9);
    };
    CHECK(at(1e-12)->tasters == at(0)->tasters);
    CHECK(at(1e-12)->power_actual == Approx(at(0)->power_actual).epsilon(1e-9));
    CHECK(at(0.5)->tasters >= at(0)->tasters);
    CHECK(at(1)->tasters >= at(0.5)->tasters);
}

TEST_CASE("spots size: gamma 1 is two kinds of taster", "[stats]") {
    const auto found = stats::size_over_spots({4, DecideOn::overall, 1, 1}, k_triangle, 0.4, 0.05, 0.8);
    REQUIRE(found);
    const std::vector<stats::SetGroup> groups{{found->tasters, 4}};
    CHECK(found->power_actual == Approx(stats::TwoKinds(found->critical, groups, k_triangle).upper(0.4)).epsilon(1e-12));
}

TEST_CASE("spots similarity size: judged by tasters, count by count", "[stats][exhaustive]") {
    const stats::SimilarityTest test{k_triangle, stats::proportion_correct(stats::triangle_link(), 1.5), 0.05, stats::Sided::one};
    const double pd = stats::discriminators_from_proportion(k_triangle, test.p_margin);
    for (const double wanted : {0.5, 0.8}) {
        int first = 0;
        int safe = 2;
        for (int people = 2; people <= 90; ++people) {
            const std::vector<stats::SetGroup> groups{{people, 4}};
            const auto most = stats::pooled_most_correct(groups, k_triangle, pd, 0.05);
            const bool guarded = 3 * most < 4 * people;
            const double power = guarded ? 0.0 : stats::binomial_lower(most, 4 * people, k_triangle);
            if (power < wanted)
                safe = people + 1;
            else if (first == 0)
                first = people;
        }
        const auto found = stats::size_similarity_over_spots({4, DecideOn::overall, 1, 0}, test, 0, wanted);
        REQUIRE(found);
        CHECK(found->tasters == first);
        CHECK(found->tasters_safe == safe);
        CHECK(found->alpha_actual <= 0.05);
    }
}

TEST_CASE("spots similarity size: S at every spot needs more than S at one", "[stats]") {
    const stats::SimilarityTest test{k_triangle, stats::proportion_correct(stats::triangle_link(), 1), 0.05, stats::Sided::one};
    const auto one = stats::size_similarity(test, k_triangle, 0.8);
    const auto four = stats::size_similarity_over_spots({4, DecideOn::any_spot, 1, 0}, test, 0, 0.8);
    const auto each = stats::size_similarity_over_spots({4, DecideOn::each_spot, 1, 0}, test, 0, 0.8);
    REQUIRE(four);
    CHECK(four->tasters > one->tasters);
    CHECK(four->tasters == each->tasters);
    CHECK(four->tasters == stats::size_similarity(test, k_triangle, std::pow(0.8, 0.25))->tasters);
}

TEST_CASE("spots size: sizes out of reach are none, not a wait", "[stats]") {
    CHECK_FALSE(stats::size_over_spots({4, DecideOn::overall, 1, 0.5}, k_triangle, 0.001, 0.05, 0.8).has_value());
}

TEST_CASE("spots similarity size: the verdict's own chance, guards and all, count by count", "[stats][exhaustive]") {
    const stats::SimilarityTest test{k_triangle, stats::proportion_correct(stats::triangle_link(), 1.5), 0.05, stats::Sided::one};
    const double pd = stats::discriminators_from_proportion(k_triangle, test.p_margin);
    for (const double wanted : {0.5, 0.8}) {
        int first = 0;
        int safe = 2;
        for (int people = 2; people <= 140; ++people) {
            const std::vector<stats::SetGroup> groups{{people, 2}};
            const auto most = stats::pooled_most_correct(groups, k_triangle, pd, 0.05);
            const auto below = stats::most_correct(2 * people, k_triangle, 0.05).value_or(-1);
            double power = 0;
            // Everybody's answers at two spots, n1 right at one of them only: exact McNemar must not find a gap.
            for (int n1 = 0; 3 * most >= 2 * people && n1 <= people; ++n1) {
                const double one_only = stats::binomial_pmf(n1, people, 4.0 / 9);
                const auto cut = stats::most_correct(n1, 0.5, 0.025);
                const double agrees = cut ? 1 - 2 * stats::binomial_lower(*cut, n1, 0.5) : 1;
                for (int n2 = 0; n1 + n2 <= people; ++n2) {
                    const int right = n1 + 2 * n2;
                    if (right > below && right <= most) power += one_only * agrees * stats::binomial_pmf(n2, people - n1, 0.2);
                }
            }
            if (power < wanted)
                safe = people + 1;
            else if (first == 0)
                first = people;
        }
        const auto found = stats::size_similarity_verdict_over_spots({2, DecideOn::overall, 1, 0}, test, 0, wanted);
        REQUIRE(found);
        CHECK(found->tasters == first);
        CHECK(found->tasters_safe == safe);
        CHECK(found->power_actual >= wanted);
        const auto both = stats::similarity_power_over_spots({2, DecideOn::overall, 1, 0}, test, 0, found->tasters);
        CHECK(both.verdict == Approx(found->power_actual).epsilon(1e-9));
        CHECK(both.tails > both.verdict);
    }
}

TEST_CASE("spots similarity size: the verdict at every spot, and none where the guards alone forbid it", "[stats]") {
    const stats::SimilarityTest test{k_triangle, stats::proportion_correct(stats::triangle_link(), 1), 0.05, stats::Sided::one};
    const auto four = stats::size_similarity_verdict_over_spots({4, DecideOn::any_spot, 1, 0}, test, 0, 0.75);
    REQUIRE(four);
    CHECK(std::pow(stats::power_similarity_verdict(test, four->tasters, k_triangle), 4) >= 0.75);
    CHECK(std::pow(stats::power_similarity_verdict(test, four->tasters - 1, k_triangle), 4) < 0.75);
    CHECK_FALSE(stats::size_similarity_verdict_over_spots({4, DecideOn::any_spot, 1, 0}, test, 0, 0.9).has_value());
    CHECK_FALSE(stats::size_similarity_verdict_over_spots({4, DecideOn::overall, 1, 0}, test, 0, 0.95).has_value());
    // Two-sided, and one count: first and safe by every panel.
    const stats::SimilarityTest both{0.5, stats::proportion_correct(stats::two_afc_link(), 1), 0.05, stats::Sided::two};
    int first = 0, safe = 2;
    for (int n = 2; n <= 400; ++n) {
        if (stats::power_similarity_verdict(both, n, 0.5) < 0.8)
            safe = n + 1;
        else if (first == 0)
            first = n;
    }
    const auto found = stats::size_similarity_verdict(both, 0.5, 0.8);
    REQUIRE(found);
    CHECK(found->tasters == first);
    CHECK(found->tasters_safe == safe);
}

TEST_CASE("spots size: tasters who differ and give hundreds of answers", "[stats]") {
    // gamma .5: pd_i ~ Beta(.5 x 2pd .. ) of mean pd and size 1, here pd = 1/2, so the arcsine law; with very many answers a taster's
    // share is c + (1 - c) pd_i, and two tasters pass unless both tell hardly ever. By quadrature over the arcsine law.
    const auto found = stats::size_over_spots({40, DecideOn::overall, 40, 0.5}, k_triangle, 0.5, 0.05, 0.8);
    REQUIRE(found);
    CHECK(found->tasters == 2);
    CHECK(found->answers == 3200);
    const int steps = 400;
    double missed = 0;
    for (int i = 0; i < steps; ++i) {
        const double one = std::pow(std::sin((i + 0.5) * 1.5707963267948966 / steps), 2);
        for (int j = 0; j < steps; ++j) {
            const double other = std::pow(std::sin((j + 0.5) * 1.5707963267948966 / steps), 2);
            const double mean = 1600 * (2 * k_triangle + 2.0 / 3 * (one + other));
            const double p1 = k_triangle + 2.0 / 3 * one, p2 = k_triangle + 2.0 / 3 * other;
            const double sd = std::sqrt(1600 * (p1 * (1 - p1) + p2 * (1 - p2)));
            missed += 0.5 * std::erfc((mean - static_cast<double>(found->critical) + 0.5) / sd / std::sqrt(2.0)) / (steps * steps);
        }
    }
    CHECK(found->power_actual == Approx(1 - missed).margin(2e-4));   // the normal law for 1,600 answers
    const auto more = stats::size_over_spots({100, DecideOn::overall, 100, 0.5}, k_triangle, 0.2, 0.05, 0.8);
    REQUIRE(more);
    CHECK(more->power_actual >= 0.8);
}
