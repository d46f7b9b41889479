#include "oddplate/stats/taster_ratings.hpp"

#include <catch2/catch.hpp>

using namespace oddplate::stats;

namespace {

// One taster with repeats, two without.
const std::vector<Rating> k_three{{0, 0, 4}, {0, 0, 5}, {0, 1, 6}, {0, 1, 7}, {0, 2, 3}, {0, 2, 3.5}, {0, 2, 2}, {1, 0, 5}, {1, 1, 8}, {1, 2, 2}, {2, 0, 6}, {2, 1, 5}, {2, 2, 3}};

}   // namespace

// R 4.2.2: anova(lm(y ~ s)) for the first taster's own scores, cor() of means by sample.
TEST_CASE("a taster's own analysis of variance and correlation with the others are R's") {
    const auto found = taster_ratings(k_three, 3, 3);
    REQUIRE(found.size() == 3);
    REQUIRE(found[0].telling);
    CHECK(found[0].telling->f == Approx(14.9450549450549).epsilon(1e-12));
    CHECK(found[0].telling->df1 == 2);
    CHECK(found[0].telling->df2 == 4);
    CHECK(found[0].telling->p_value == Approx(0.0139307349257538).epsilon(1e-12));
    CHECK(*found[0].repeat_deviation == Approx(0.735980072193988).epsilon(1e-12));
    CHECK(*found[0].agreement == Approx(0.944911182523068).epsilon(1e-12));
    CHECK(*found[1].agreement == Approx(0.936765906922573).epsilon(1e-12));
    CHECK_FALSE(found[1].telling);
    CHECK_FALSE(found[1].repeat_deviation);
    CHECK(found[2].mean == Approx(14.0 / 3));
}

TEST_CASE("what a taster's scores cannot say is left out") {
    const auto found = taster_ratings(std::vector<Rating>{{0, 0, 4}, {0, 0, 4}, {0, 1, 6}, {2, 0, 5}, {2, 1, 5}, {2, 2, 5}, {3, 0, 5}, {3, 1, 6}, {3, 2, 7}}, 3, 4);
    REQUIRE(found.size() == 3);   // the second taster has no score
    CHECK(found[1].taster == 2);
    CHECK_FALSE(found[0].telling);   // repeats all alike: nothing to hold the samples against
    CHECK(*found[0].repeat_deviation == 0);
    CHECK_FALSE(found[0].agreement);   // two samples always lie on a line
    CHECK_FALSE(found[1].agreement);   // gives everything the same score
}

TEST_CASE("a constant added to one taster's scores changes that taster's mean alone") {
    std::vector<Rating> moved = k_three;
    for (Rating& rating : moved)
        if (rating.taster == 0) rating.score += 10;
    const auto before = taster_ratings(k_three, 3, 3), after = taster_ratings(moved, 3, 3);
    CHECK(after[0].telling->f == Approx(before[0].telling->f).epsilon(1e-12));
    CHECK(*after[1].agreement == Approx(*before[1].agreement).epsilon(1e-12));
    CHECK(*after[2].agreement == Approx(*before[2].agreement).epsilon(1e-12));
    CHECK(after[0].mean == Approx(before[0].mean + 10).epsilon(1e-12));
}
