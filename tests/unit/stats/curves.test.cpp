#include "oddplate/stats/curves.hpp"

#include <catch2/catch.hpp>

#include <array>
#include <cmath>
#include <utility>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"
#include "reference_table.hpp"

using namespace oddplate;

namespace {

/// Which two of five part them best: least sum of squares within the two and within the three.
std::pair<int, int> closest_pair(const std::array<double, 5>& x) {
    std::pair<int, int> best;
    double least = INFINITY;
    for (int i = 0; i < 5; ++i)
        for (int j = i + 1; j < 5; ++j) {
            double sum[2]{}, squares = 0;
            for (int k = 0; k < 5; ++k) {
                sum[k == i || k == j ? 0 : 1] += x[static_cast<std::size_t>(k)];
                squares += x[static_cast<std::size_t>(k)] * x[static_cast<std::size_t>(k)];
            }
            const double within = squares - sum[0] * sum[0] / 2 - sum[1] * sum[1] / 3;
            if (within < least) {
                least = within;
                best = {i, j};
            }
        }
    return best;
}

struct Named {
    const char* name;
    const stats::Link& link;
    double relative;   ///< of gain, shortfall and slope
};

// The tolerances are about twice what was measured.
const Named k_all[] = {{"triangle", stats::triangle_link(), 5e-15},
                       {"two_afc", stats::two_afc_link(), 9e-16},
                       {"duo_trio", stats::duo_trio_link(), 6e-15},
                       {"three_afc", stats::three_afc_link(), 1e-14},
                       {"tetrad", stats::tetrad_link(), 1e-14},
                       {"specified_tetrad", stats::specified_tetrad_link(), 1e-13},
                       {"two_out_of_five", stats::two_out_of_five_link(), 5e-14}};

}   // namespace

TEST_CASE("curves: gain, shortfall and slope agree with quadrature of the decision rule, d' in 0..12", "[stats][reference]") {
    const auto rows = tests::reference_rows("curves.csv");
    REQUIRE(rows.size() == 51);
    for (const auto& [name, link, relative] : k_all) {
        CAPTURE(name);
        tests::Peak gain, shortfall, slope;
        double absolute = 0;
        for (const auto& row : rows) {
            const double d = tests::number(row, "d");
            if (row.at(std::string(name) + "_gain").empty()) continue;   // two-out-of-five has fewer rows
            const auto said = [&](const char* part) { return tests::number(row, std::string(name) + part); };
            gain.note(tests::off(link.gain(d), said("_gain")));
            shortfall.note(tests::off(link.shortfall(d), said("_shortfall")));
            slope.note(tests::off(link.slope(d), said("_slope")));
            absolute = std::max(absolute, std::fabs(1.0 - stats::proportion_correct(link, d) - said("_shortfall")));
        }
        CHECK(gain.worst() < relative);
        CHECK(shortfall.worst() < relative);
        CHECK(slope.worst() < relative);
        CHECK(absolute < 1e-15);
    }
}

TEST_CASE("curves: below 0 the curves with a direction agree with quadrature too", "[stats][reference]") {
    for (const auto& row : tests::reference_rows("curves.csv")) {
        const double d = tests::number(row, "d");
        CHECK(std::fabs(stats::three_afc_link().gain(-d) - tests::number(row, "three_afc_back")) < 4e-16);
        CHECK(std::fabs(stats::specified_tetrad_link().gain(-d) - tests::number(row, "specified_tetrad_back")) < 4e-16);
    }
}

// The closed forms with Owen's T, which the tables do not use.
TEST_CASE("curves: between the reference points the tables meet the closed forms", "[stats]") {
    double triangle = 0, three = 0, specified = 0, slope = 0;
    for (double d = 0.003; d < 60; d += 0.0137) {
        const auto& both = stats::specified_tetrad_link();
        const auto worse = [](double& so_far, double a, double b) { so_far = std::max(so_far, std::fabs(a - b)); };
        worse(triangle, stats::triangle_link().shortfall(d), 4 * stats::owens_t(d / std::sqrt(6.0), std::sqrt(3.0)));
        worse(three, stats::proportion_correct(stats::three_afc_link(), d),
              stats::normal_cdf(d / std::sqrt(2.0)) - 2 * stats::owens_t(d / std::sqrt(2.0), 1 / std::sqrt(3.0)));
        worse(specified, stats::proportion_correct(both, d) + stats::proportion_correct(both, -d),
              stats::proportion_correct(stats::tetrad_link(), d));
        const double h = d / std::sqrt(6.0);
        worse(slope, both.slope(d), 2 * std::sqrt(2.0) * stats::normal_density(d / std::sqrt(2.0)) *
                                        (stats::normal_cdf(h) - 2 * stats::owens_t(h, std::sqrt(2.0))));
    }
    CHECK(slope < 1e-14);
    CHECK(triangle < 1e-15);
    CHECK(three < 1e-15);
    CHECK(specified < 1e-15);
}

// Proportion correct by d': Ennis (1993) J. Sensory Studies 8:353 tabulates these curves to 2-3 digits, Ennis & Jesionka (2011) 26:371
// the tetrad; further digits by adaptive quadrature.
TEST_CASE("curves: proportions correct of the published tables", "[stats][published]") {
    struct Line {
        double d, two_afc, three_afc, triangle, duo_trio, tetrad;
    };
    for (const Line& line : {Line{0.25, .570158, .406338, .339047, .505703, .344720},
                             {0.5, .638163, .482593, .355835, .522347, .377719},
                             {0.75, .702058, .559318, .382686, .548603, .429039},
                             {1, .760250, .633702, .418047, .582475, .493808},
                             {1.25, .811620, .703205, .459999, .621584, .566337},
                             {1.5, .855578, .765812, .506456, .663462, .640937},
                             {2, .921350, .865767, .604807, .746820, .777667},
                             {2.5, .961450, .931365, .699339, .819585, .879661},
                             {3, .983053, .968795, .781428, .876457, .942972},
                             {4, .997661, .995497, .897660, .946666, .991342}}) {
        CAPTURE(line.d);
        const auto check = [&](const stats::Link& link, double p) {
            CHECK(stats::proportion_correct(link, line.d) == Approx(p).margin(6e-7));
        };
        check(stats::two_afc_link(), line.two_afc);
        check(stats::three_afc_link(), line.three_afc);
        check(stats::triangle_link(), line.triangle);
        check(stats::duo_trio_link(), line.duo_trio);
        check(stats::tetrad_link(), line.tetrad);
    }
    // Specified tetrad at d' = 1, by 40-digit quadrature of the triple product.
    CHECK(stats::proportion_correct(stats::specified_tetrad_link(), 1) == Approx(.4625454687).margin(6e-11));
}

TEST_CASE("curves: d' by proportion correct", "[stats][published]") {
    struct Line {
        double p, two_afc, three_afc, triangle, duo_trio, tetrad;
    };
    for (const Line& line : {Line{.60, .3583, .8852, 1.9756, 1.1152, 1.3626},
                             {.75, .9539, 1.4338, 2.7974, 2.0200, 1.8898},
                             {.90, 1.8124, 2.2302, 4.0276, 3.2631, 2.6326},
                             {.95, 2.3262, 2.7101, 4.8007, 4.0724, 3.0799}}) {
        const auto check = [&](const stats::Link& link, double d) {
            CHECK(stats::d_from_proportion(link, line.p).value() == Approx(d).margin(6e-5));
        };
        check(stats::two_afc_link(), line.two_afc);
        check(stats::three_afc_link(), line.three_afc);
        check(stats::triangle_link(), line.triangle);
        check(stats::duo_trio_link(), line.duo_trio);
        check(stats::tetrad_link(), line.tetrad);
    }
    CHECK(stats::d_from_proportion(stats::triangle_link(), .50).value() == Approx(1.4663).margin(6e-5));
    CHECK(stats::d_from_proportion(stats::three_afc_link(), .50).value() == Approx(.5565).margin(6e-5));
    CHECK(stats::d_from_proportion(stats::tetrad_link(), .50).value() == Approx(1.0221).margin(6e-5));
}

// B = n var(d'): Bi, Ennis & O'Mahony (1997) J. Sensory Studies 12:87; digits by quadrature.
TEST_CASE("curves: variance of d'", "[stats][published]") {
    struct Line {
        double d, two_afc, three_afc, triangle, duo_trio, tetrad;
    };
    for (const Line& line : {Line{0.5, 3.2881, 2.6344, 29.4963, 33.0095, 7.9961},
                             {1, 3.7763, 2.7731, 9.9983, 11.1604, 3.2229},
                             {2, 6.7285, 4.2911, 6.1785, 7.4666, 2.9242},
                             {3, 18.8458, 10.8012, 7.7294, 11.3911, 6.2598}}) {
        const auto check = [&](const stats::Link& link, double b) {
            const double error = stats::d_standard_error(link, line.d, 1).value();
            CHECK(error * error == Approx(b).margin(6e-5));
        };
        check(stats::two_afc_link(), line.two_afc);
        check(stats::three_afc_link(), line.three_afc);
        check(stats::triangle_link(), line.triangle);
        check(stats::duo_trio_link(), line.duo_trio);
        check(stats::tetrad_link(), line.tetrad);
    }
}

// The rule itself, every way of parting five into two and three tried; seeded.
TEST_CASE("curves: two-out-of-five against a simulation of the least-squares grouping", "[stats][simulation]") {
    core::PhiloxStream stream(20261125, 0);
    constexpr int k_times = 200'000;
    for (const double d : {0.0, 1.0, 2.0}) {
        int right = 0;
        for (int i = 0; i < k_times; ++i) {
            std::array<double, 5> x{};
            for (int j = 0; j < 5; ++j) x[static_cast<std::size_t>(j)] = stats::normal_quantile(stream.uniform()) + (j < 2 ? 0.0 : d);
            right += closest_pair(x) == std::pair{0, 1};
        }
        const double p = stats::proportion_correct(stats::two_out_of_five_link(), d);
        CHECK(std::fabs(right / double{k_times} - p) < 4 * std::sqrt(p * (1 - p) / k_times));   // fails 6 times in 100,000 seeds
    }
    CHECK(stats::proportion_correct(stats::two_out_of_five_link(), 0) == 0.1);
}

TEST_CASE("curves: guessing, certainty and symmetry", "[stats]") {
    for (const auto& [name, link, relative] : k_all) {
        CHECK(link.gain(0) == 0.0);
        CHECK((link.slope(0) > 0.0) == link.is_signed);
    }
    CHECK(stats::triangle_link().shortfall(0) == Approx(2.0 / 3).epsilon(1e-15));
    CHECK(stats::proportion_correct(stats::triangle_link(), 0) == 1.0 / 3);
    CHECK(stats::proportion_correct(stats::two_afc_link(), 0) == 0.5);
    for (const double d : {0.1, 1.0, 3.0}) {
        CHECK(stats::two_afc_link().gain(-d) == -stats::two_afc_link().gain(d));
        CHECK(stats::proportion_correct(stats::two_afc_link(), -d) == Approx(stats::two_afc_link().shortfall(d)).epsilon(1e-15));
    }
}

TEST_CASE("curves: the slope is the gain's derivative", "[stats]") {
    for (const auto& [name, link, relative] : k_all) {
        CAPTURE(name);
        for (double d = link.is_signed ? -6 : 0.25; d < 6; d += 0.25) {
            const double h = 1e-4;
            // Central difference: error h^2/6 times the third derivative (below 1), plus rounding 1e-16/h.
            CHECK(link.slope(d) == Approx((link.gain(d + h) - link.gain(d - h)) / (2 * h)).margin(5e-9));
        }
    }
}

TEST_CASE("curves: no step where two pieces of a table meet", "[stats]") {
    for (const auto& [name, link, relative] : k_all) {
        CAPTURE(name);
        double before = 0;
        for (double d = 1.0 / 1024; d < 14; d += 1.0 / 1024) {
            const double p = stats::proportion_correct(link, d);
            CHECK((p >= before || p > 1 - 1e-15));
            before = p;
        }
        CHECK(link.shortfall(1e3) == 0.0);
        CHECK(link.gain(1e3) == Approx(1 - link.chance).epsilon(1e-15));
    }
}
