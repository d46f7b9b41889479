#include "oddplate/stats/test_laws.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>

#include "oddplate/stats/normal.hpp"

using namespace oddplate::stats;

// R 4.2.2: pt(2.5, 7.3, lower = FALSE), pt(-1, 3), qt(.975, 5.5), pf(4.2, 3, 17.5, lower = FALSE), pf(30, 2, 400, lower = FALSE),
// pchisq(40, 3, lower = FALSE), pt(60, 20, lower = FALSE)
TEST_CASE("tails of t, F and chi-square are those of general software") {
    CHECK(student_upper(2.5, 7.3) == Approx(0.0198251173328002).epsilon(1e-11));
    CHECK(student_upper(1, 3) == Approx(0.195501109477885).epsilon(1e-11));
    CHECK(student_upper_quantile(0.025, 5.5) == Approx(2.50185861758924).epsilon(1e-11));
    CHECK(f_upper(4.2, 3, 17.5) == Approx(0.0208783295655724).epsilon(1e-11));
    CHECK(f_upper(30, 2, 400) == Approx(7.25156809098151e-13).epsilon(1e-10));
    CHECK(chi_square_upper(40, 3) == Approx(1.06550903342559e-08).epsilon(1e-11));
    CHECK(student_upper(60, 20) == Approx(2.34032579967846e-24).epsilon(1e-9));
}

TEST_CASE("t squared is an F, and both have the normal law as their limit") {
    for (const double t : {0.0, 0.3, 1.0, 2.7, 9.0})
        for (const double df : {1.0, 2.5, 40.0}) CHECK(student_two_sided(t, df) == Approx(f_upper(t * t, 1, df)).epsilon(1e-12));
    const double endless = std::numeric_limits<double>::infinity();
    CHECK(student_upper(1.3, endless) == normal_upper(1.3));
    CHECK(student_upper(1.3, 0.9e8) == Approx(normal_upper(1.3)).epsilon(1e-7));
    CHECK(f_upper(3, 2, endless) == Approx(std::exp(-3)).epsilon(1e-14));
    CHECK(student_upper(-2, 5) == Approx(1 - student_upper(2, 5)).epsilon(1e-14));
    CHECK(student_upper(student_upper_quantile(0.9, 4), 4) == Approx(0.9).epsilon(1e-12));
    CHECK(f_upper(0, 2, 3) == 1);
}

// R 4.2: uniroot(function(d) pt(bound, df, ncp = d, lower.tail = FALSE) - power, c(0, 40), tol = 1e-12)$root
TEST_CASE("how far a mean must lie to be shown with a chance is general software's") {
    CHECK(noncentrality_for(4.5, 3, 0.8) == Approx(5.819389817).epsilon(1e-8));
    CHECK(noncentrality_for(2.6, 30, 0.8) == Approx(3.465599839).epsilon(1e-8));
    CHECK(noncentrality_for(2.6, 30.5, 0.9) == Approx(3.929375299).epsilon(1e-8));
}
