#include "oddplate/stats/population.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <sstream>

#include "../../../src/stats/fast_curve.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/curves.hpp"
#include "oddplate/stats/normal.hpp"
#include "reference_table.hpp"

using namespace oddplate;
using namespace oddplate::stats;
using oddplate::tests::number;
using oddplate::tests::whole;

TEST_CASE("a tabulated curve is the curve") {
    for (const Link* link : {&triangle_link(), &two_afc_link()}) {
        const FastCurve fast(*link);
        tests::Peak right, wrong;
        for (int i = link->is_signed ? -4800 : 0; i <= 4800; ++i) {
            const double d = i / 400.0 + 0.0003;
            right.note(tests::off(fast.at(d).right, link->gain(d) < 0.1 ? link->chance + link->gain(d) : 1 - link->shortfall(d)) *
                       (d < -4 ? 0 : 1));   // far below chance `chance + gain` itself has lost its digits
            wrong.note(tests::off(fast.at(d).wrong, link->shortfall(d)));
        }
        CHECK(right.worst() < 1e-13);
        CHECK(wrong.worst() < 1e-12);
    }
}

TEST_CASE("the likelihood of differing tasters agrees with independent quadrature") {
    const auto rows = tests::reference_rows("population.csv");
    REQUIRE(rows.size() == 50);
    tests::Peak peak;
    for (const auto& row : rows) {
        const TasterLaw law = row.at("law") == "gamma" ? TasterLaw::gamma : TasterLaw::log_normal;
        const AlikeCounts count{whole(row, "k"), whole(row, "n"), 1};
        const Population population(triangle_link(), law, {&count, 1});
        const double found = population.log_likelihood({number(row, "place"), number(row, "spread")});
        peak.note(std::fabs(found - number(row, "log_likelihood")));
    }
    CHECK(peak.worst() < 1e-9);
}

TEST_CASE("a probit with normal tasters is the general mixed model's") {
    const auto rows = tests::reference_rows("population_probit.csv");
    REQUIRE(rows.size() == 3);
    for (const auto& row : rows) {
        std::vector<AlikeCounts> counts;
        std::istringstream tasters(row.at("tasters"));
        std::int64_t number_of = 0;
        for (std::int64_t k = 0; tasters >> number_of; ++k) counts.push_back({k, whole(row, "of"), number_of});
        const Population population(two_afc_link(), TasterLaw::normal, counts);
        const PopulationFit fit = fit_population(population, 0.95);
        CHECK(fit.log_likelihood == Approx(number(row, "log_likelihood")).margin(1e-6));
        CHECK(population.log_likelihood({number(row, "mean"), number(row, "sd")}) == Approx(number(row, "log_likelihood")).margin(1e-6));
        CHECK(fit.at.place == Approx(number(row, "mean")).margin(2e-4));
        CHECK(fit.at.spread == Approx(number(row, "sd")).margin(2e-4));
        // The population's mean Pc of a probit is in closed form: Phi(m / sqrt(2 + s^2)).
        CHECK(population.d_prime(fit.at) == Approx(fit.at.place * std::sqrt(2 / (2 + fit.at.spread * fit.at.spread))).epsilon(1e-9));
        CHECK(*fit.typical == fit.at.place);
    }
}

TEST_CASE("chances of all counts add up to 1 whatever the tasters") {
    for (const TasterLaw law : {TasterLaw::gamma, TasterLaw::log_normal})
        for (const Place place : {Place{0.3, 0.0}, Place{0.3, 1e-4}, Place{0.3, 0.7}, Place{-3.0, 2.0}, Place{8.0, 5.0}}) {
            double sum = 0;
            for (std::int64_t k = 0; k <= 8; ++k) {
                const AlikeCounts count{k, 8, 1};
                const Population population(triangle_link(), law, {&count, 1});
                sum += std::exp(population.log_likelihood(place)) * binomial_pmf(k, 8, 0.5) * 256;
            }
            CHECK(sum == Approx(1.0).epsilon(1e-10));
        }
}

TEST_CASE("without a spread the population is one binomial") {
    const AlikeCounts counts[] = {{2, 4, 5}, {3, 4, 5}};
    for (const TasterLaw law : {TasterLaw::gamma, TasterLaw::log_normal}) {
        const Population population(triangle_link(), law, counts);
        const double p = proportion_correct(triangle_link(), 1.5);
        CHECK(population.log_likelihood({std::log(1.5), 0.0}) == Approx(25 * std::log(p) + 15 * std::log1p(-p)).epsilon(1e-12));
        CHECK(population.d_prime({std::log(1.5), 0.0}) == Approx(1.5).epsilon(1e-10));
    }
}

TEST_CASE("one answer each leaves the population's d' and nothing more") {
    const AlikeCounts counts[] = {{0, 1, 15}, {1, 1, 15}};
    const PopulationFit fit = fit_population(Population(triangle_link(), TasterLaw::gamma, counts), 0.9);
    CHECK(fit.why == NoSpread::one_answer_each);
    CHECK_FALSE(fit.typical);
    CHECK(*fit.d_prime == Approx(*d_from_count(triangle_link(), 15, 30)).epsilon(1e-6));
    // The profile limits of a plain binomial, by its own likelihood.
    const auto height = [](double d) {
        const double p = proportion_correct(triangle_link(), d);
        return 15 * std::log(p) + 15 * std::log1p(-p);
    };
    const double fall = std::pow(normal_upper_quantile(0.05), 2) / 2;
    CHECK(height(fit.d_prime_limits.lower) == Approx(height(*fit.d_prime) - fall).margin(1e-4));
    CHECK(height(fit.d_prime_limits.upper) == Approx(height(*fit.d_prime) - fall).margin(1e-4));
}

TEST_CASE("panels at the ends give a bound or a reason") {
    const AlikeCounts right[] = {{4, 4, 20}};
    const PopulationFit all_right = fit_population(Population(triangle_link(), TasterLaw::gamma, right), 0.9);
    CHECK(all_right.why == NoSpread::all_right);
    CHECK_FALSE(all_right.d_prime);
    CHECK(all_right.d_prime_limits.lower > 3);
    CHECK(std::isinf(all_right.d_prime_limits.upper));
    const AlikeCounts wrong[] = {{0, 4, 20}};
    const PopulationFit none = fit_population(Population(triangle_link(), TasterLaw::gamma, wrong), 0.9);
    CHECK(none.why == NoSpread::not_above_chance);
    CHECK(*none.d_prime == 0);
    CHECK(none.d_prime_limits.lower == 0);
    CHECK(none.d_prime_limits.upper < 1);
    CHECK(fit_population(Population(two_afc_link(), TasterLaw::normal, wrong), 0.9).why == NoSpread::all_wrong);
    const AlikeCounts one[] = {{3, 4, 1}};
    CHECK(fit_population(Population(triangle_link(), TasterLaw::gamma, one), 0.9).why == NoSpread::one_taster);
    // Two answers a taster at a kitchen's size hardly say how much people differ.
    const AlikeCounts few[] = {{0, 2, 2}, {1, 2, 2}, {2, 2, 3}};
    CHECK(fit_population(Population(triangle_link(), TasterLaw::gamma, few), 0.9).why == NoSpread::flat);
}

TEST_CASE("all right or all wrong: the limit is exact for the likeliest people") {
    // Six people, one answer each: .05 = p^6 (Clopper & Pearson 1934). The likelihood's fall gave .697 for two-afc.
    const std::vector<AlikeCounts> once{{1, 1, 6}};
    const double p = std::pow(0.05, 1.0 / 6);
    const PopulationFit pairs = fit_population(Population(two_afc_link(), TasterLaw::normal, once), 0.9);
    CHECK(proportion_correct(two_afc_link(), pairs.d_prime_limits.lower) == Approx(p).epsilon(1e-9));
    const PopulationFit odd = fit_population(Population(triangle_link(), TasterLaw::gamma, once), 0.9);
    CHECK(proportion_correct(triangle_link(), odd.d_prime_limits.lower) == Approx(p).epsilon(1e-9));
    // Four answers each: of people of two kinds, a share w who tell and guessers, w + (1 - w)/81 are right four times.
    const std::vector<AlikeCounts> four{{4, 4, 6}};
    const double mean = proportion_correct(triangle_link(), fit_population(Population(triangle_link(), TasterLaw::gamma, four), 0.9).d_prime_limits.lower);
    const double w = (mean - 1.0 / 3) / (2.0 / 3);
    CHECK(std::pow(w + (1 - w) / 81, 6) == Approx(0.05).epsilon(1e-6));
    // No other people with that mean are right all along with a larger chance: all alike, or of two kinds elsewhere.
    CHECK(std::pow(mean, 24) < 0.05);
    for (const double low : {0.4, 0.5})
        for (const double high : {0.8, 0.9}) {
            const double share = (mean - low) / (high - low);
            if (share < 0 || share > 1) continue;
            CHECK(std::pow(share * std::pow(high, 4) + (1 - share) * std::pow(low, 4), 6) < 0.05);
        }
    const std::vector<AlikeCounts> wrong{{0, 1, 6}};
    CHECK(fit_population(Population(two_afc_link(), TasterLaw::normal, wrong), 0.9).d_prime_limits.upper ==
          Approx(-pairs.d_prime_limits.lower).epsilon(1e-9));
}

TEST_CASE("a taster's own d' is drawn towards the panel's") {
    const AlikeCounts counts[] = {{1, 6, 5}, {3, 6, 10}, {6, 6, 5}};
    const Population population(triangle_link(), TasterLaw::gamma, counts);
    const PopulationFit fit = fit_population(population, 0.9);
    double before = 0, above_before = 0;
    for (std::int64_t k = 0; k <= 6; ++k) {
        const auto taster = population.taster(fit.at, {k, 6, 1}, 1.0);
        CHECK(taster.d_prime > before);
        CHECK(taster.above > above_before);
        before = taster.d_prime;
        above_before = taster.above;
    }
    // No answers: the law itself.
    CHECK(population.taster({0.5, 0.8}, {0, 0, 1}, 1.0).d_prime == Approx(std::exp(0.5)).epsilon(1e-9));
}

// Truth: 2-AFC, d' ~ N(1, .7^2), 150 tasters x 8; 200 panels. Means within 4 Monte Carlo standard errors and the likelihood's own small
// bias; coverage of the 90 % interval of the population's d' within 4 sqrt(.9 x .1/200) = .085.
TEST_CASE("the mixed model recovers the truth") {
    constexpr int panels = 200;
    const double truth = std::sqrt(2 / (2 + 0.49));
    double sum = 0, squares = 0, spread = 0;
    int held = 0;
    for (int panel = 0; panel < panels; ++panel) {
        core::PhiloxStream stream(41, static_cast<std::uint64_t>(panel));
        std::vector<TasterCount> tasters;
        for (int i = 0; i < 150; ++i) {
            const double p = normal_cdf((1.0 + 0.7 * normal_quantile(stream.uniform())) / std::sqrt(2.0));
            TasterCount taster{0, 8};
            for (int set = 0; set < 8; ++set) taster.correct += stream.uniform() < p;
            tasters.push_back(taster);
        }
        const auto counts = alike_counts(tasters);
        const PopulationFit fit = fit_population(Population(two_afc_link(), TasterLaw::normal, counts), 0.9);
        sum += *fit.typical;
        squares += *fit.typical * *fit.typical;
        spread += fit.at.spread;
        held += fit.d_prime_limits.lower <= truth && truth <= fit.d_prime_limits.upper;
    }
    const double mean = sum / panels;
    const double error = std::sqrt((squares / panels - mean * mean) / panels);
    CHECK(std::fabs(mean - 1.0) < 4 * error + 0.01);
    CHECK(spread / panels == Approx(0.7).margin(0.05));
    CHECK(held / double(panels) == Approx(0.9).margin(0.085));
}
