#include "oddplate/stats/holm.hpp"

#include <catch2/catch.hpp>

#include <vector>

using namespace oddplate;

// The 15 p-values of Benjamini & Hochberg (1995) J. R. Statist. Soc. B 57:289; Holm's adjustment computed by hand from the
// definition.
TEST_CASE("Holm: fifteen p-values", "[stats][published]") {
    const std::vector<double> p{.0001, .0004, .0019, .0095, .0201, .0278, .0298, .0344,
                                .0459, .3240, .4262, .5719, .6528, .7590, 1.0};
    const std::vector<double> adjusted{.0015, .0056, .0247, .114, .2211, .278, .278, .278, .3213, 1, 1, 1, 1, 1, 1};
    const auto found = stats::holm_adjusted(p);
    REQUIRE(found.size() == p.size());
    for (std::size_t i = 0; i < p.size(); ++i) CHECK(found[i] == Approx(adjusted[i]).epsilon(1e-12));
}

TEST_CASE("Holm: keeps the order given, and one p is left alone", "[stats]") {
    CHECK(stats::holm_adjusted(std::vector<double>{0.04}) == std::vector<double>{0.04});
    CHECK(stats::holm_adjusted(std::vector<double>{}).empty());
    const auto found = stats::holm_adjusted(std::vector<double>{0.5, 0.01, 0.02});
    CHECK(found[0] == Approx(0.5));
    CHECK(found[1] == Approx(0.03));
    CHECK(found[2] == Approx(0.04));
}
