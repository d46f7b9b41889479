#include "oddplate/stats/curves.hpp"

#include <catch2/catch.hpp>

#include "reference_table.hpp"

using namespace oddplate;

TEST_CASE("curves: gain, shortfall and slope agree with quadrature of the decision rule, d' in 0..12", "[stats][reference]") {
    const auto rows = tests::reference_rows("curves.csv");
    REQUIRE(rows.size() == 99);
    tests::Peak triangle, two_afc;
    for (const auto& row : rows) {
        const double d = tests::number(row, "d");
        const auto compare = [&](const stats::Link& link, const std::string& name, tests::Peak& peak) {
            peak.note(tests::off(link.gain(d), tests::number(row, name + "_gain")));
            peak.note(tests::off(link.shortfall(d), tests::number(row, name + "_shortfall")));
            peak.note(tests::off(link.slope(d), tests::number(row, name + "_slope")));
        };
        compare(stats::triangle_link(), "triangle", triangle);
        compare(stats::two_afc_link(), "two_afc", two_afc);
    }
    CHECK(triangle.worst() < 1e-14);   // measured 4.0e-15
    CHECK(two_afc.worst() < 9e-16);    // measured 2.2e-16
}

// Proportion correct by d' (Ennis 1993, J. Sensory Studies 8:353 tabulates these curves to 2-3 digits; further digits by adaptive
// quadrature).
TEST_CASE("curves: proportions correct of the published tables", "[stats][published]") {
    struct Line {
        double d, two_afc, triangle;
    };
    for (const Line& line : {Line{0.25, .570158, .339047},
                             {0.5, .638163, .355835},
                             {0.75, .702058, .382686},
                             {1, .760250, .418047},
                             {1.25, .811620, .459999},
                             {1.5, .855578, .506456},
                             {2, .921350, .604807},
                             {2.5, .961450, .699339},
                             {3, .983053, .781428},
                             {4, .997661, .897660}}) {
        CAPTURE(line.d);
        CHECK(stats::proportion_correct(stats::two_afc_link(), line.d) == Approx(line.two_afc).margin(6e-7));
        CHECK(stats::proportion_correct(stats::triangle_link(), line.d) == Approx(line.triangle).margin(6e-7));
    }
}

TEST_CASE("curves: d' by proportion correct", "[stats][published]") {
    struct Line {
        double p, two_afc, triangle;
    };
    for (const Line& line : {Line{.60, .3583, 1.9756}, {.75, .9539, 2.7974}, {.90, 1.8124, 4.0276}, {.95, 2.3262, 4.8007}}) {
        CHECK(stats::d_from_proportion(stats::two_afc_link(), line.p).value() == Approx(line.two_afc).margin(6e-5));
        CHECK(stats::d_from_proportion(stats::triangle_link(), line.p).value() == Approx(line.triangle).margin(6e-5));
    }
    CHECK(stats::d_from_proportion(stats::triangle_link(), .50).value() == Approx(1.4663).margin(6e-5));
}

// B = n var(d'): Bi, Ennis & O'Mahony (1997) J. Sensory Studies 12:87; digits by quadrature.
TEST_CASE("curves: variance of d'", "[stats][published]") {
    struct Line {
        double d, two_afc, triangle;
    };
    for (const Line& line : {Line{0.5, 3.2881, 29.4963}, {1, 3.7763, 9.9983}, {2, 6.7285, 6.1785}, {3, 18.8458, 7.7294}}) {
        const double two = stats::d_standard_error(stats::two_afc_link(), line.d, 1).value();
        const double triangle = stats::d_standard_error(stats::triangle_link(), line.d, 1).value();
        CHECK(two * two == Approx(line.two_afc).margin(6e-5));
        CHECK(triangle * triangle == Approx(line.triangle).margin(6e-5));
    }
}

TEST_CASE("curves: guessing, certainty and symmetry", "[stats]") {
    CHECK(stats::triangle_link().gain(0) == 0.0);
    CHECK(stats::triangle_link().slope(0) == 0.0);
    CHECK(stats::triangle_link().shortfall(0) == Approx(2.0 / 3).epsilon(1e-15));
    CHECK(stats::proportion_correct(stats::triangle_link(), 0) == 1.0 / 3);
    CHECK(stats::proportion_correct(stats::two_afc_link(), 0) == 0.5);
    for (const double d : {0.1, 1.0, 3.0}) {
        CHECK(stats::two_afc_link().gain(-d) == -stats::two_afc_link().gain(d));
        CHECK(stats::proportion_correct(stats::two_afc_link(), -d) == Approx(stats::two_afc_link().shortfall(d)).epsilon(1e-15));
    }
}

TEST_CASE("curves: the slope is the gain's derivative", "[stats]") {
    for (const auto* link : {&stats::triangle_link(), &stats::two_afc_link()}) {
        for (double d = 0.25; d < 6; d += 0.25) {
            const double h = 1e-4;
            // Central difference: error h^2/6 times the third derivative (below 1), plus rounding 1e-16/h.
            CHECK(link->slope(d) == Approx((link->gain(d + h) - link->gain(d - h)) / (2 * h)).margin(5e-9));
        }
    }
}

// The two ways to the triangle's gain meet near d' = 1.84.
TEST_CASE("curves: no step where the triangle changes its formula", "[stats]") {
    const double seam = 0.75 * std::sqrt(6.0);
    const auto& link = stats::triangle_link();
    const double before = link.gain(seam * (1 - 1e-15));
    const double after = link.gain(seam * (1 + 1e-15));
    CHECK(tests::off(before, after) < 5e-15);
}
