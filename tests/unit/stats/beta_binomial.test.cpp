#include "oddplate/stats/beta_binomial.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <span>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/binomial.hpp"
#include "reference_table.hpp"

using namespace oddplate;
using namespace oddplate::stats;
using oddplate::tests::number;
using oddplate::tests::whole;

TEST_CASE("beta-binomial probabilities agree with the Beta law's own moments") {
    const auto rows = tests::reference_rows("beta_binomial.csv");
    REQUIRE(rows.size() > 500);
    tests::Peak peak;
    for (const auto& row : rows) {
        const double p = std::exp(log_beta_binomial(number(row, "chance"), {number(row, "pd"), number(row, "gamma")}, whole(row, "k"), whole(row, "n")));
        peak.note(tests::off(p, number(row, "p")));
    }
    CHECK(peak.worst() < 2e-13);
}

// published-style check 5.3: Beta-binomial with n = 4, a = 2, b = 3: 3/14 2/7 9/35 6/35 1/14 (elementary; chance towards 0 is no chance at all).
TEST_CASE("without guessing the beta-binomial is the plain one") {
    const double expected[] = {3.0 / 14, 2.0 / 7, 9.0 / 35, 6.0 / 35, 1.0 / 14};
    for (std::int64_t k = 0; k <= 4; ++k)
        CHECK(std::exp(log_beta_binomial(1e-14, {0.4, 1.0 / 6}, k, 4)) == Approx(expected[k]).epsilon(1e-12));
}

TEST_CASE("the beta-binomial's limits are the binomial and two kinds of taster") {
    for (const double pd : {0.0, 0.2, 0.7, 1.0})
        for (std::int64_t k = 0; k <= 9; ++k) {
            const double p = 1.0 / 3 + 2.0 / 3 * pd;
            CHECK(std::exp(log_beta_binomial(1.0 / 3, {pd, 0.0}, k, 9)) == Approx(binomial_pmf(k, 9, p)).epsilon(1e-13));
            CHECK(std::exp(log_beta_binomial(1.0 / 3, {pd, 1e-10}, k, 9)) == Approx(binomial_pmf(k, 9, p)).epsilon(1e-7));
            const double two = (k == 9 ? pd : 0.0) + (1 - pd) * binomial_pmf(k, 9, 1.0 / 3);
            CHECK(std::exp(log_beta_binomial(1.0 / 3, {pd, 1.0}, k, 9)) == Approx(two).epsilon(1e-13));
        }
}

// Brockhoff & Schlich (1998) Food Quality and Preference 9:303 and Ennis & Bi (1998) J. Sensory Studies 13:389: the binomial is the model's limit as tasters
// become alike. What tasters' differences add to the variance is gamma times a constant, so the law's distance from the binomial falls as gamma does.
TEST_CASE("as tasters become alike the beta-binomial goes to the binomial, as fast as gamma goes to 0") {
    for (const double chance : {1.0 / 3, 0.5})
        for (const double pd : {0.15, 0.6})
            for (const std::int64_t n : {2, 4, 12}) {
                const auto distance = [&](double gamma) {
                    double sum = 0;
                    for (std::int64_t k = 0; k <= n; ++k)
                        sum += std::abs(std::exp(log_beta_binomial(chance, {pd, gamma}, k, n)) - binomial_pmf(k, n, chance + (1 - chance) * pd));
                    return sum / 2;
                };
                INFO(chance << " " << pd << " " << n);
                CHECK(distance(1e-3) > 1e-6);
                for (const double gamma : {1e-3, 1e-4, 1e-5}) CHECK(distance(gamma / 10) / distance(gamma) == Approx(0.1).epsilon(0.03));
            }
}

TEST_CASE("beta-binomial probabilities add up to 1, thousands of answers too") {
    for (const std::int64_t n : {1, 7, 300, 3000}) {
        double sum = 0;
        for (std::int64_t k = 0; k <= n; ++k) sum += std::exp(log_beta_binomial(0.5, {0.3, 0.2}, k, n));
        CHECK(sum == Approx(1.0).epsilon(1e-10));
    }
}

TEST_CASE("the beta-binomial fit is a top") {
    const AlikeCounts counts[] = {{0, 4, 3}, {1, 4, 6}, {2, 4, 5}, {3, 4, 7}, {4, 4, 6}, {1, 2, 4}, {2, 2, 1}};
    const BetaBinomialFit fit = fit_beta_binomial(1.0 / 3, counts, 0.95);
    REQUIRE(fit.why == NoSpread::has_one);
    CHECK(fit.log_likelihood == Approx(beta_binomial_likelihood(1.0 / 3, fit.at, counts)).epsilon(1e-12));
    for (int i = 0; i <= 40; ++i)
        for (int j = 0; j <= 40; ++j)
            CHECK(beta_binomial_likelihood(1.0 / 3, {i / 40.0, j / 40.0}, counts) <= fit.log_likelihood + 1e-9);
    // At the limits of gamma the best pd is 1.92 below the top.
    for (const double gamma : {fit.gamma->lower, fit.gamma->upper}) {
        if (gamma <= 0 || gamma >= 1) continue;
        double best = -1e300;
        for (int i = 0; i <= 20000; ++i) best = std::max(best, beta_binomial_likelihood(1.0 / 3, {i / 20000.0, gamma}, counts));
        CHECK(fit.log_likelihood - best == Approx(1.920729410347062).margin(1e-4));
    }
}

TEST_CASE("a panel without a spread says why") {
    const auto why = [](std::initializer_list<AlikeCounts> counts) { return fit_beta_binomial(1.0 / 3, {counts.begin(), counts.size()}, 0.9).why; };
    CHECK(why({{3, 4, 1}}) == NoSpread::one_taster);
    CHECK(why({{0, 1, 10}, {1, 1, 20}}) == NoSpread::one_answer_each);
    CHECK(why({{4, 4, 10}}) == NoSpread::all_right);
    CHECK(why({{0, 4, 10}}) == NoSpread::not_above_chance);
    CHECK(why({{1, 1, 2}, {2, 2, 2}, {1, 2, 1}}) == NoSpread::flat);
}

TEST_CASE("where no spread can be estimated the interval of pd still allows every spread") {
    // By a fine grid of gamma: the limit is where the best of them is 1.35 (90 %) below the top.
    const auto best_at = [](double pd, std::span<const AlikeCounts> counts) {
        double best = -1e300;
        for (int i = 0; i <= 2000; ++i) best = std::max(best, beta_binomial_likelihood(1.0 / 3, {pd, i / 2000.0}, counts));
        return best;
    };
    constexpr double fall_by = 1.352771727047702;   // half of chi-square's .90 quantile, 2.705543454095404
    const AlikeCounts all_right[] = {{4, 4, 10}};
    const BetaBinomialFit right = fit_beta_binomial(1.0 / 3, all_right, 0.9);
    CHECK(right.pd.upper == 1.0);
    CHECK(best_at(right.pd.lower, all_right) == Approx(-fall_by).margin(1e-4));
    CHECK(right.pd.lower < 0.88);   // all alike it would be .95 and more
    const AlikeCounts one_taster[] = {{6, 12, 1}};
    const BetaBinomialFit one = fit_beta_binomial(1.0 / 3, one_taster, 0.9);
    CHECK(one.log_likelihood - best_at(one.pd.upper, one_taster) == Approx(fall_by).margin(1e-4));
    CHECK(one.pd.upper > 0.6);
    const AlikeCounts few[] = {{5, 6, 1}, {1, 6, 1}, {6, 6, 1}};
    const BetaBinomialFit three = fit_beta_binomial(1.0 / 3, few, 0.9);
    for (const double limit : {three.pd.lower, three.pd.upper})
        if (limit > 0 && limit < 1) CHECK(three.log_likelihood - best_at(limit, few) == Approx(fall_by).margin(1e-4));
}

TEST_CASE("one answer each is the binomial") {
    const AlikeCounts counts[] = {{0, 1, 10}, {1, 1, 20}};
    const BetaBinomialFit fit = fit_beta_binomial(1.0 / 3, counts, 0.95);
    CHECK(fit.at.pd == Approx(0.5).epsilon(1e-6));
    CHECK(fit.log_likelihood == Approx(20 * std::log(2.0 / 3) + 10 * std::log(1.0 / 3)).epsilon(1e-12));
}

TEST_CASE("what a taster's answers say about him, counted out") {
    // Two kinds, half and half: all four right comes from a teller, or from luck 1/16.
    CHECK(telling(0.5, {0.5, 1.0}, 4, 4).mostly == Approx(16.0 / 17).epsilon(1e-14));
    CHECK(telling(0.5, {0.5, 1.0}, 3, 4).mean == 0.0);
    CHECK(telling(0.5, {0.3, 0.0}, 4, 4).mean == 0.3);
    // Anything between, by sums over a fine grid of pi.
    const BetaSpread spread{0.4, 0.25};   // a = 1.2, b = 1.8
    double all = 0, mean = 0, mostly = 0;
    for (int i = 0; i < 200000; ++i) {
        const double pi = (i + 0.5) / 200000, p = 1.0 / 3 + 2.0 / 3 * pi;
        const double weight = std::pow(pi, 0.2) * std::pow(1 - pi, 0.8) * std::pow(p, 5) * std::pow(1 - p, 2);
        all += weight;
        mean += weight * pi;
        if (pi > 0.5) mostly += weight;
    }
    CHECK(telling(1.0 / 3, spread, 5, 7).mean == Approx(mean / all).epsilon(1e-6));
    CHECK(telling(1.0 / 3, spread, 5, 7).mostly == Approx(mostly / all).epsilon(1e-4));
    // Near the ends it runs into their values.
    CHECK(telling(1.0 / 3, {0.4, 1e-8}, 5, 7).mean == Approx(0.4).epsilon(1e-5));
    CHECK(telling(1.0 / 3, {0.4, 1 - 1e-8}, 7, 7).mean == Approx(telling(1.0 / 3, {0.4, 1.0}, 7, 7).mean).epsilon(1e-5));
}

// Truth pd = .35, gamma = .3, 60 triangles-tasters x 6: a taster tells with a Beta probability, here by the two-urn scheme of Polya
// (each success makes the next likelier), which has exactly that law. 400 panels: the mean of pd is within 4 of its standard errors,
// and the profile interval holds the truth as often as it says, up to 4 standard errors sqrt(.9 x .1/400) = .015.
TEST_CASE("the beta-binomial recovers the truth") {
    constexpr int panels = 400;
    double sum_pd = 0, sum_squares = 0, sum_gamma = 0;
    int held = 0;
    for (int panel = 0; panel < panels; ++panel) {
        core::PhiloxStream stream(31, static_cast<std::uint64_t>(panel));
        std::vector<TasterCount> tasters;
        for (int i = 0; i < 60; ++i) {
            TasterCount taster{0, 6};
            double tell = 0.35 * 7 / 3, not_tell = 0.65 * 7 / 3;   // a, b of gamma = .3
            for (int set = 0; set < 6; ++set) {
                const bool tells = stream.uniform() < tell / (tell + not_tell);
                (tells ? tell : not_tell) += 1;
                taster.correct += tells || stream.uniform() < 1.0 / 3;
            }
            tasters.push_back(taster);
        }
        const auto counts = alike_counts(tasters);
        const BetaBinomialFit fit = fit_beta_binomial(1.0 / 3, counts, 0.9);
        sum_pd += fit.at.pd;
        sum_squares += fit.at.pd * fit.at.pd;
        sum_gamma += fit.at.gamma;
        held += fit.pd.lower <= 0.35 && 0.35 <= fit.pd.upper;
    }
    const double mean = sum_pd / panels;
    const double error = std::sqrt((sum_squares / panels - mean * mean) / panels);
    CHECK(std::fabs(mean - 0.35) < 4 * error + 0.003);   // likelihood estimates are off by about 1/panel size
    CHECK(sum_gamma / panels == Approx(0.3).margin(0.03));
    CHECK(held / double(panels) == Approx(0.9).margin(0.06));
}
