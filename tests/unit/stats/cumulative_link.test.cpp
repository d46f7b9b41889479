#include "oddplate/stats/cumulative_link.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>
#include <map>

#include "mixed_reference.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"

using namespace oddplate;
using namespace oddplate::stats;
using oddplate::tests::number;

namespace {

// Randall 1989, Biometrical J. 31:781: the words are the line scores in fifths; x is temperature (warm) and contact (yes).
OrderedData wine(bool with_tasters) {
    const auto in = tests::mixed_columns("wine");
    OrderedData data;
    data.columns = 2;
    for (std::size_t i = 0; i < in.y.size(); ++i) {
        data.y.push_back(static_cast<std::int32_t>(std::floor(in.y[i] / 20)));
        data.x.push_back(in.b[i] >= 4 ? 1 : 0);
        data.x.push_back(static_cast<int>(in.b[i]) % 4 >= 2 ? 1 : 0);
        if (with_tasters) data.taster.push_back(static_cast<std::int32_t>(in.a[i]));
    }
    return data;
}

OrderedData gaps() {
    const auto in = tests::mixed_columns("gaps");
    OrderedData data;
    data.columns = 3;
    for (std::size_t i = 0; i < in.y.size(); ++i) {
        std::int32_t word = 0;
        for (double cut = 3.5; cut < 8; ++cut) word += in.y[i] >= cut ? 1 : 0;
        data.y.push_back(word);
        for (int k = 1; k <= 3; ++k) data.x.push_back(in.b[i] == k ? 1 : 0);
        data.taster.push_back(static_cast<std::int32_t>(in.a[i]));
    }
    return data;
}

// McCullagh & Nelder 1989, section 5.6 (data: Newell); cheeses A, B, C against D.
OrderedData cheese() {
    constexpr int counts[4][9] = {{0, 0, 1, 7, 8, 8, 19, 8, 1}, {6, 9, 12, 11, 7, 6, 1, 0, 0}, {1, 1, 6, 8, 23, 7, 5, 1, 0}, {0, 0, 0, 1, 3, 7, 14, 16, 11}};
    OrderedData data;
    data.columns = 3;
    for (int which = 0; which < 4; ++which)
        for (int word = 0; word < 9; ++word)
            for (int i = 0; i < counts[which][word]; ++i) {
                data.y.push_back(word);
                for (int c = 0; c < 3; ++c) data.x.push_back(c == which ? 1 : 0);
            }
    return data;
}

OrderedFit fitted(const OrderedData& data, int points = 15) {
    auto fit = fit_cumulative_link(data, points);
    REQUIRE(fit);
    return *std::move(fit);
}

}   // namespace

// Effects 1.613, 4.965, 3.323 in the book (from memory, opposite sign); all digits by general software (polr of MASS, R 4.2.2, reltol 1e-15: at its
// default it stops 3e-5 short).
TEST_CASE("the cheese tasting has its published odds") {
    const OrderedFit fit = fitted(cheese());
    CHECK(fit.converged);
    CHECK(fit.log_likelihood == Approx(-355.6739524).margin(1e-6).epsilon(0));
    const double b[] = {-1.612790926, -4.964639931, -3.322682784}, se[] = {.380543673, .476720478, .421830136};
    for (std::size_t c = 0; c < 3; ++c) {
        CHECK(fit.coefficients[c] == Approx(b[c]).margin(1e-6).epsilon(0));
        CHECK(fit.errors[8 + c] == Approx(se[c]).margin(1e-6).epsilon(0));
    }
    const double cuts[] = {-7.080166130, -6.024980070, -4.925415560, -3.856801361, -2.520551677, -1.568538190, -0.066875186, 1.492974175};
    for (std::size_t j = 0; j < 8; ++j) CHECK(fit.thresholds[j] == Approx(cuts[j]).margin(1e-6).epsilon(0));
}

// Christensen & Brockhoff 2013, J. Societe Francaise de Statistique 154(3):58-79, and general software.
TEST_CASE("the wine's bitterness has its published odds") {
    const OrderedFit fit = fitted(wine(false));
    CHECK(fit.log_likelihood == Approx(-86.49192337).margin(1e-7).epsilon(0));
    const double cuts[] = {-1.344383411, 1.250808798, 3.466886926, 5.006404204};
    for (std::size_t j = 0; j < 4; ++j) CHECK(fit.thresholds[j] == Approx(cuts[j]).margin(1e-6).epsilon(0));
    CHECK(fit.coefficients[0] == Approx(2.503102008).margin(1e-6).epsilon(0));
    CHECK(fit.coefficients[1] == Approx(1.527797658).margin(1e-6).epsilon(0));
    CHECK(fit.errors[4] == Approx(.528680).margin(1e-5).epsilon(0));
    CHECK(fit.errors[5] == Approx(.476623).margin(1e-5).epsilon(0));
    const auto test = test_cumulative_link(wine(false), 1, 1, 3, 199);
    REQUIRE(test);
    CHECK(test->statistic == Approx(11.043).margin(5e-4));
    CHECK(test->p_value == Approx(.00089022).epsilon(1e-4));
    CHECK(test->bootstrap.p < 0.02);
}

TEST_CASE("ordered answers with tasters agree with adaptive quadrature of each taster") {
    for (const std::string set : {"wine", "gaps"}) {
        CAPTURE(set);
        std::map<std::string, double> truth;
        for (const auto& row : tests::reference_rows("ordered_fits.csv"))
            if (row.at("set") == set) truth[row.at("quantity")] = number(row, "value");
        REQUIRE(truth.size() > 8);
        const OrderedFit fit = fitted(set == "wine" ? wine(true) : gaps(), 25);
        CHECK(fit.converged);
        CHECK(fit.log_likelihood == Approx(truth.at("log_likelihood")).margin(1e-7).epsilon(0));
        CHECK(fit.deviation == Approx(truth.at("deviation")).epsilon(1e-5));
        for (std::size_t j = 0; j < fit.thresholds.size(); ++j) CHECK(fit.thresholds[j] == Approx(truth.at("threshold" + std::to_string(j))).epsilon(1e-5));
        for (std::size_t c = 0; c < fit.coefficients.size(); ++c) {
            CHECK(fit.coefficients[c] == Approx(truth.at("b" + std::to_string(c))).epsilon(1e-5));
            CHECK(fit.errors[fit.thresholds.size() + c] == Approx(truth.at("se" + std::to_string(c))).epsilon(1e-4));
        }
        const OrderedData data = set == "wine" ? wine(true) : gaps();
        CHECK(cumulative_log_likelihood(data, fit.thresholds, fit.coefficients, fit.deviation, 15) == Approx(fit.log_likelihood).margin(1e-6).epsilon(0));
    }
}

TEST_CASE("two words are a logistic regression, and three samples' profile limits rise to the quantile") {
    // One sample against another, words no and yes: 7 of 20 against 14 of 20; the log odds ratio is in closed form.
    OrderedData data;
    data.columns = 1;
    for (int i = 0; i < 40; ++i) {
        data.x.push_back(i < 20 ? 0 : 1);
        data.y.push_back(i < 20 ? (i < 7 ? 4 : 2) : (i < 34 ? 4 : 2));   // ranks in use are 2 and 4
    }
    const OrderedFit fit = fitted(data);
    REQUIRE(fit.thresholds.size() == 1);
    CHECK(fit.coefficients[0] == Approx(std::log(14.0 / 6) - std::log(7.0 / 13)).epsilon(1e-8));
    CHECK(fit.errors[1] == Approx(std::sqrt(1 / 7.0 + 1 / 13.0 + 1 / 14.0 + 1 / 6.0)).epsilon(1e-6));

    const OrderedFit cheeses = fitted(cheese());
    const double a_less_c[] = {1, 0, -1};
    const Interval limits = cumulative_interval(cheese(), cheeses, a_less_c, 0.95);
    const double estimate = cheeses.coefficients[0] - cheeses.coefficients[2];
    CHECK(limits.lower < estimate);
    CHECK(limits.upper > estimate);
    // With C as the base the same contrast is one coefficient, and has the same limits.
    OrderedData other = cheese();
    for (std::size_t i = 0; i < other.y.size(); ++i) {
        double* x = other.x.data() + 3 * i;
        const bool is_d = x[0] + x[1] + x[2] == 0;
        x[2] = is_d ? 1 : 0;
    }
    const OrderedFit again = fitted(other);
    CHECK(again.log_likelihood == Approx(cheeses.log_likelihood).epsilon(1e-10));
    const double first[] = {1, 0, 0};
    const Interval same = cumulative_interval(other, again, first, 0.95);
    CHECK(same.lower == Approx(limits.lower).epsilon(1e-5));
    CHECK(same.upper == Approx(limits.upper).epsilon(1e-5));
    CHECK(limits.lower == Approx(estimate - 1.96 * 0.37).margin(0.1));   // near Wald's, whose error is about .37
}

TEST_CASE("ordered answers that say nothing are refused, and endless ones said") {
    OrderedData data = wine(true);
    data.y.assign(data.y.size(), 3);
    CHECK(fit_cumulative_link(data).faults().front().code == "one-word");
    data = wine(true);
    for (std::size_t i = 0; i < data.y.size(); ++i) data.x[2 * i] = data.x[2 * i + 1];
    CHECK(fit_cumulative_link(data).faults().front().code == "not-estimable");
    OrderedData apart;   // every answer to the second sample is the highest
    apart.columns = 1;
    for (int i = 0; i < 12; ++i) apart.x.push_back(i < 6 ? 0 : 1), apart.y.push_back(i < 6 ? i % 2 : 2);
    CHECK_FALSE(fitted(apart).converged);
    CHECK(test_cumulative_link(apart, 0, 1, 1).faults().front().code == "no-top");
}

// Seeded: 60 tables without any difference, 12 tasters x 3 samples x 4 words. The chi-square test errs more often than it says, the bootstrap does not:
// at 5 % its count lies below 5 % + 3 Monte Carlo errors (.028 each).
TEST_CASE("the bootstrap of ordered answers keeps its error") {
    int alarms = 0;
    constexpr int times = 60;
    for (int time = 0; time < times; ++time) {
        core::PhiloxStream chance(77, static_cast<std::uint64_t>(time));
        OrderedData data;
        data.columns = 2;
        for (int t = 0; t < 12; ++t) {
            const double shift = 1.5 * normal_quantile(chance.uniform());
            for (int s = 0; s < 3; ++s) {
                const double u = chance.uniform(), at = std::log(u / (1 - u)) + shift;
                data.y.push_back(at < -1.5 ? 0 : at < 0 ? 1 : at < 1.5 ? 2 : 3);
                data.x.insert(data.x.end(), {s == 1 ? 1.0 : 0.0, s == 2 ? 1.0 : 0.0});
                data.taster.push_back(t);
            }
        }
        const auto test = test_cumulative_link(data, 0, 2, 5, 99);
        alarms += test && test->bootstrap.p <= 0.05 ? 1 : 0;
    }
    CHECK(alarms <= 8);
}
