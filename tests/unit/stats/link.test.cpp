#include "oddplate/stats/link.hpp"

#include <catch2/catch.hpp>

#include "oddplate/stats/curves.hpp"
#include "oddplate/stats/normal.hpp"
#include "reference_table.hpp"

using namespace oddplate;
using tests::off;

TEST_CASE("link: the inverse undoes gain and shortfall to 1e-12", "[stats]") {
    for (const auto* link : {&stats::triangle_link(), &stats::two_afc_link(), &stats::duo_trio_link(), &stats::three_afc_link(),
                             &stats::tetrad_link(), &stats::specified_tetrad_link(), &stats::two_out_of_five_link()}) {
        tests::Peak by_gain, by_shortfall;
        for (double d = 1e-9; d < 12; d *= 1.07) {
            const double half = (1 - link->chance) / 2;
            if (link->gain(d) <= half) by_gain.note(off(stats::d_from_gain(*link, link->gain(d)).value(), d));
            if (link->shortfall(d) <= half) by_shortfall.note(off(stats::d_from_shortfall(*link, link->shortfall(d)).value(), d));
        }
        CHECK(by_gain.worst() < 1e-14);
        CHECK(by_shortfall.worst() < 1e-14);
    }
}

// The same without the start tables; and the two agree.
TEST_CASE("link: a curve without starts is searched", "[stats]") {
    stats::Link bare = stats::tetrad_link();
    bare.start_by_gain = bare.start_by_shortfall = nullptr;
    for (double d = 1e-9; d < 30; d *= 1.3) {
        if (bare.gain(d) < 0.3) CHECK(off(stats::d_from_gain(bare, bare.gain(d)).value(), d) < 1e-14);
        if (bare.shortfall(d) < 0.3) CHECK(off(stats::d_from_shortfall(bare, bare.shortfall(d)).value(), d) < 1e-14);
    }
}

TEST_CASE("link: below 0 the inverse undoes the curves with a direction", "[stats]") {
    for (const auto* link : {&stats::two_afc_link(), &stats::three_afc_link(), &stats::specified_tetrad_link()})
        for (double d = -5; d < 0; d += 0.1)   // one ulp of the gain moves d by 1e-16 / slope
            CHECK(stats::d_from_gain(*link, link->gain(d)).value() == Approx(d).margin(1e-15 / link->slope(d) + 1e-14));
}

TEST_CASE("link: the far end is reached where the proportion itself has long rounded to 1", "[stats]") {
    const auto& link = stats::two_afc_link();
    CHECK(1.0 - link.shortfall(20.0) == 1.0);
    CHECK(stats::d_from_shortfall(link, link.shortfall(20.0)).value() == Approx(20.0).epsilon(1e-14));
}

TEST_CASE("link: edges", "[stats]") {
    const auto& triangle = stats::triangle_link();
    const auto& two = stats::two_afc_link();
    CHECK(stats::d_from_proportion(triangle, 0.2) == 0.0);
    CHECK(stats::d_from_proportion(triangle, 1.0 / 3) == 0.0);
    CHECK_FALSE(stats::d_from_proportion(triangle, 1.0).has_value());
    CHECK(stats::d_from_proportion(two, 0.5) == 0.0);
    CHECK_FALSE(stats::d_from_proportion(two, 0.0).has_value());
    CHECK_FALSE(stats::d_from_proportion(two, 1.0).has_value());
    CHECK(stats::d_from_proportion(two, 0.1).value() == Approx(-stats::d_from_proportion(two, 0.9).value()).epsilon(1e-13));
    CHECK(stats::d_from_count(triangle, 8, 24) == 0.0);
    CHECK_FALSE(stats::d_from_count(triangle, 24, 24).has_value());
    CHECK(stats::d_from_count(two, 12, 24) == 0.0);
    CHECK(stats::d_from_count(triangle, 13, 24).value() ==
          Approx(stats::d_from_proportion(triangle, 13.0 / 24).value()).epsilon(1e-13));
    CHECK_FALSE(stats::d_standard_error(triangle, 0.0, 24).has_value());   // the curve is flat at guessing
    CHECK(stats::d_standard_error(two, 0.0, 24).has_value());
}

TEST_CASE("link: discriminators and d' name the same truth", "[stats]") {
    const auto& link = stats::triangle_link();
    for (const double pd : {0.0, 1e-6, 0.1, 0.4, 0.7, 0.999}) {
        const double d = stats::d_from_discriminators(link, pd).value();
        CHECK(stats::discriminators_from_d(link, d) == Approx(pd).epsilon(1e-13));
        CHECK(stats::discriminators_from_proportion(link.chance, stats::proportion_from_discriminators(link.chance, pd)) ==
              Approx(pd).margin(1e-15));
    }
    CHECK(stats::discriminators_from_proportion(1.0 / 3, 0.2) == 0.0);
    CHECK_FALSE(stats::d_from_discriminators(link, 1.0).has_value());
}

// pd = .3 in a triangle is d' = 1.638.
TEST_CASE("link: three in ten who notice in a triangle", "[stats]") {
    CHECK(stats::d_from_discriminators(stats::triangle_link(), 0.3).value() == Approx(1.638).margin(5e-4));
}

TEST_CASE("normal: both tails keep their digits and the quantile inverts them", "[stats]") {
    CHECK(stats::normal_upper(10.0) == Approx(7.619853024160526e-24).epsilon(1e-13));   // Abramowitz & Stegun (1964), table 26.2
    CHECK(stats::normal_cdf(-10.0) == stats::normal_upper(10.0));
    for (const double p : {1e-300, 1e-20, 0.001, 0.05, 0.5, 0.8, 1 - 1e-10}) {
        CHECK(stats::normal_cdf(stats::normal_quantile(p)) == Approx(p).epsilon(1e-12));
        CHECK(stats::normal_upper(stats::normal_upper_quantile(p)) == Approx(p).epsilon(1e-12));
    }
}

TEST_CASE("Owen's T: values with a closed form", "[stats]") {
    CHECK(stats::owens_t(0.0, std::sqrt(3.0)) == Approx(1.0 / 6).epsilon(1e-15));   // atan(a)/(2 pi)
    const double q = stats::normal_upper(0.7);
    CHECK(stats::owens_t(0.7, 1.0) == Approx(q * (1 - q) / 2).epsilon(1e-14));   // Q Phi / 2
}
