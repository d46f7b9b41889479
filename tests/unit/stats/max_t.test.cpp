#include "oddplate/stats/max_t.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>
#include <numbers>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/test_laws.hpp"

using namespace oddplate;
using namespace oddplate::stats;

namespace {

constexpr double k_endless = std::numeric_limits<double>::infinity();

// Independent means with these variances.
std::vector<double> independent(const std::vector<double>& variances) {
    std::vector<double> c(variances.size() * variances.size(), 0.0);
    for (std::size_t i = 0; i < variances.size(); ++i) c[i * variances.size() + i] = variances[i];
    return c;
}

}   // namespace

// R 4.2.2, ptukey and qtukey, whose own accuracy is about 1e-10 (tails) and 1e-4 (quantiles, its help says).
TEST_CASE("the studentized range agrees with general software") {
    CHECK(studentized_range_upper(3.5, 3, 10) == Approx(0.0771033108387).epsilon(1e-9));
    CHECK(studentized_range_upper(4.1, 6, 20) == Approx(0.0814857332822).epsilon(1e-9));
    CHECK(studentized_range_upper(5, 8, 63) == Approx(0.016544255231).epsilon(1e-8));
    // R's integrate, nested, as below; ptukey itself prints .00143692957694, 4e-9 off.
    CHECK(studentized_range_upper(12, 4, 5) == Approx(0.00143693389509).epsilon(1e-9));
    CHECK(studentized_range_upper(3.314493, 3, k_endless) == Approx(0.0500000139047).epsilon(1e-9));
    CHECK(MaxT::pairs(independent({1, 1, 1, 1}), 4, 1).quantile(0.05, 12) * std::numbers::sqrt2 == Approx(4.19866).margin(1e-4));
    CHECK(MaxT::pairs(independent(std::vector<double>(8, 0.3)), 8, 1).quantile(0.01, 30) * std::numbers::sqrt2 == Approx(5.536109).margin(1e-4));
}

TEST_CASE("the range of two is a t, and far tails keep their digits") {
    for (const double df : {1.5, 4.0, 30.0, k_endless})
        for (const double t : {0.1, 1.0, 2.5, 9.0, 60.0}) {
            if (df == k_endless && t > 30) continue;
            CAPTURE(df, t);
            CHECK(studentized_range_upper(t * std::numbers::sqrt2, 2, df) == Approx(student_two_sided(t, df)).epsilon(1e-9));
        }
    CHECK(studentized_range_upper(0, 5, 7) == Approx(1).epsilon(1e-12));
}

// R's integrate, nested: the chance by its definition, 1 - Int f(s) Int phi(z) prod(...) dz ds.
TEST_CASE("the largest t against a control agrees with nested quadrature") {
    const auto with = [](const std::vector<double>& factors) {
        const std::size_t m = factors.size();
        std::vector<double> r(m * m);
        for (std::size_t i = 0; i < m; ++i)
            for (std::size_t j = 0; j < m; ++j) r[i * m + j] = i == j ? 1.0 : factors[i] * factors[j];
        const MaxT law = MaxT::of(r, m, 1);
        REQUIRE(law.kind() == MaxTKind::one_factor);
        return law;
    };
    CHECK(with({0.3, 0.6, -0.8, 0.7}).upper(2.9, 9.5).value == Approx(0.0547693960311).epsilon(1e-8));
    const MaxT three = MaxT::against(independent({2, 2, 2, 2}), 4, 1, 1);
    REQUIRE(three.kind() == MaxTKind::one_factor);
    CHECK(three.upper(2.4, 16).value == Approx(0.072334360465).epsilon(1e-8));
    const MaxT five = MaxT::against(independent({1, 1, 1, 1, 1, 1}), 6, 0, 1);
    CHECK(five.upper(2.51, 40).value == Approx(0.064282195774).epsilon(1e-8));
    CHECK(five.upper(five.quantile(0.05, 40), 40).value == Approx(0.05).epsilon(1e-8));
}

TEST_CASE("independent contrasts have the product law") {
    const MaxT law = MaxT::of(independent({1, 4, 9}), 3, 1);
    CHECK(law.upper(2.2, k_endless).value == Approx(1 - std::pow(1 - 2 * normal_upper(2.2), 3)).epsilon(1e-12));
}

// The same laws from the seeded integration: a variance that is a hair off keeps quadrature away.
TEST_CASE("seeded integration agrees with quadrature within its error") {
    for (const std::size_t k : {3, 4, 6, 8}) {
        std::vector<double> variances(k, 1.0);
        const MaxT exact = MaxT::pairs(independent(variances), k, 7);
        variances[0] = 1.00001;
        const MaxT drawn = MaxT::pairs(independent(variances), k, 7);
        REQUIRE(exact.kind() == MaxTKind::range);
        REQUIRE(drawn.kind() == MaxTKind::integrated);
        for (const double df : {6.0, 40.0, k_endless})
            for (const double t : {1.5, 2.5, 3.5, 6.0}) {
                const MaxTail found = drawn.upper(t, df);
                const double truth = exact.upper(t, df).value;
                CAPTURE(k, df, t, truth, found.value, found.error);
                CHECK(found.error < (t > 4 ? 0.02 : 0.005) * truth);
                CHECK(found.value == Approx(truth).margin(5 * found.error + 1e-5 * truth));
            }
        CHECK(drawn.quantile(0.05, 20) == Approx(exact.quantile(0.05, 20)).epsilon(1e-3));
    }
}

// Oracle: plain simulation of unequal, dependent means.
TEST_CASE("unequal variances are integrated to what simulation shows") {
    const std::vector<double> variances{1, 0.2, 3, 0.7};
    const MaxT law = MaxT::pairs(independent(variances), 4, 3);
    constexpr int times = 200000;
    core::PhiloxStream chance(11, 0);
    int beyond = 0;
    for (int i = 0; i < times; ++i) {
        double mean[4], largest = 0;
        for (int j = 0; j < 4; ++j) mean[j] = std::sqrt(variances[static_cast<std::size_t>(j)]) * normal_quantile(chance.uniform());
        for (std::size_t a = 0; a < 4; ++a)
            for (std::size_t b = a + 1; b < 4; ++b) largest = std::max(largest, std::fabs(mean[a] - mean[b]) / std::sqrt(variances[a] + variances[b]));
        beyond += largest >= 2.4 ? 1 : 0;
    }
    const double share = static_cast<double>(beyond) / times;
    CHECK(law.upper(2.4, k_endless).value == Approx(share).margin(4 * std::sqrt(share * (1 - share) / times)));   // 4 standard errors: .0019
}

TEST_CASE("one pair is a plain t, and the same seed gives the same bits") {
    const MaxT one = MaxT::pairs(independent({1, 2}), 2, 1);
    CHECK(one.kind() == MaxTKind::single);
    CHECK(one.upper(2, 7).value == student_two_sided(2, 7));
    CHECK(one.quantile(0.05, 7) == student_upper_quantile(0.025, 7));
    const std::vector<double> uneven{1, 2, 3, 4};
    CHECK(MaxT::pairs(independent(uneven), 4, 5).upper(2.5, 9).value == MaxT::pairs(independent(uneven), 4, 5).upper(2.5, 9).value);
    CHECK(MaxT::pairs(independent(uneven), 4, 5).upper(0, 9).value == 1);
}
