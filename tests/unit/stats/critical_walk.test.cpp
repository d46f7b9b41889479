#include "oddplate/stats/critical_walk.hpp"

#include <catch2/catch.hpp>

#include "oddplate/stats/binomial.hpp"
#include "reference_table.hpp"

using namespace oddplate;

TEST_CASE("critical walk: the cut is the direct one at every n up to 5000", "[stats][exhaustive]") {
    for (const double p0 : {1.0 / 3, 0.5, 0.1}) {
        for (const double alpha : {0.2, 0.05, 0.03125, 0.001}) {
            stats::CriticalWalk walk(1, p0, alpha);
            tests::Peak peak;
            long long wrong = 0;
            while (walk.n() < 5000) {
                walk.more();
                const auto least = stats::least_correct(walk.n(), p0, alpha);
                if (walk.cut() != (least ? *least - 1 : walk.n())) ++wrong;
                if (walk.possible()) peak.note(tests::off(walk.size(), stats::binomial_upper(walk.cut() + 1, walk.n(), p0)));
            }
            CAPTURE(p0, alpha);
            CHECK(wrong == 0);
            CHECK(peak.worst() < 1e-13);
        }
    }
}

TEST_CASE("cut walk: follows any path of more and raise", "[stats]") {
    for (const double p : {0.4, 0.9, 1.0}) {
        stats::CutWalk walk(2, 0, p);
        for (int step = 0; step < 3000; ++step) {
            if (step % 5 < 2 && walk.cut() < walk.n())
                walk.raise();
            else
                walk.more();
            // Far below 1e-250 the walk may round to 0; such a tail decides nothing.
            CHECK(walk.at_cut() == Approx(stats::binomial_pmf(walk.cut(), walk.n(), p)).epsilon(1e-12).margin(1e-250));
            CHECK(walk.above() == Approx(stats::binomial_upper(walk.cut() + 1, walk.n(), p)).epsilon(1e-12).margin(1e-250));
        }
    }
}

TEST_CASE("cut walk: raising to the top leaves nothing above", "[stats]") {
    stats::CutWalk walk(6, 0, 0.3);
    for (int i = 0; i < 6; ++i) walk.raise();
    CHECK(walk.above() == 0.0);
    CHECK(walk.at_cut() == Approx(stats::binomial_pmf(6, 6, 0.3)).epsilon(1e-14));
}
