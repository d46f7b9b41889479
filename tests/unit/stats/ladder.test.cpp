// Preference along a ladder of levels. The curve against R's glm on printed data, limits and steps by seeded simulation.
#include <catch2/catch.hpp>

#include <array>
#include <cmath>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/ladder.hpp"
#include "oddplate/stats/normal.hpp"

using namespace oddplate;
using stats::LadderVote;

namespace {

/// So many votes for the control of so many at each level, every vote another person's.
std::vector<LadderVote> counts(const std::vector<std::array<double, 3>>& levels) {
    std::vector<LadderVote> votes;
    std::int32_t who = 0;
    for (const auto& [level, k, n] : levels)
        for (int i = 0; i < n; ++i) votes.push_back({who++, level, i < k});
    return votes;
}

/// People who reject from a level of their own on: a taster's log odds at x are slope (x - point) + his own shift, the same at all levels.
std::vector<LadderVote> panel(std::uint64_t seed, int people, double point, double slope, double own) {
    std::vector<LadderVote> votes;
    for (int who = 0; who < people; ++who) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(who));
        const double shift = own * stats::normal_quantile(stream.uniform());
        for (const double level : {1.8, 2.2, 2.6, 3.0, 3.4}) votes.push_back({who, level, stream.uniform() < 1 / (1 + std::exp(-(slope * (level - point) + shift)))});
    }
    return votes;
}

}   // namespace

// Bliss (1935), Annals of Applied Biology 22:134, beetles under carbon disulphide, as printed in Agresti, Categorical Data Analysis, table 6.14 (memory of the source;
// the counts are those of R's documentation of many packages): log10 dose, dead, of. The logit fit is in every text: slope 34.27, intercept -60.72.
TEST_CASE("Ladder: the curve is the logit fit of the beetles", "[ladder][published]") {
    const auto votes = counts({{1.6907, 6, 59}, {1.7242, 13, 60}, {1.7552, 18, 62}, {1.7842, 28, 56}, {1.8113, 52, 63}, {1.8369, 53, 59}, {1.8610, 61, 62}, {1.8839, 60, 60}});
    const stats::Ladder found = stats::ladder(votes, 0.75, 0.05, 0.95);
    REQUIRE(found.rise.curve);
    REQUIRE(found.rise.point);
    CHECK(found.rise.curve->slope() == Approx(34.270).epsilon(2e-4));
    CHECK(*found.rise.point == Approx((std::log(3.0) + 60.717) / 34.270).epsilon(2e-5));
    CHECK(found.rise.misfit_p == Approx(0.0815).epsilon(0.01));   // residual deviance 11.23 on 6 degrees of freedom
    CHECK(found.rise.limits.lower < *found.rise.point);
    CHECK(found.rise.limits.upper > *found.rise.point);
}

TEST_CASE("Ladder: steps are sign tests from the top down", "[ladder]") {
    const stats::Ladder found = stats::ladder(counts({{1, 9, 10}, {2, 5, 10}, {3, 9, 10}, {4, 10, 10}}), 0.75, 0.05, 0.95);
    REQUIRE(found.steps.size() == 4);
    CHECK(found.steps[3].p_value == Approx(1.0 / 1024));
    CHECK(found.steps[2].p_value == Approx(11.0 / 1024));
    CHECK(found.steps[1].p_value == 1);
    CHECK(found.steps[3].shown);
    CHECK(found.steps[2].shown);
    CHECK_FALSE(found.steps[1].shown);
    CHECK_FALSE(found.steps[0].shown);   // clear by itself, but the one above is not
}

TEST_CASE("Ladder: a level at which nobody could choose was tasted all the same", "[ladder]") {
    auto votes = counts({{1, 2, 20}, {2, 10, 20}, {3, 18, 20}});
    const stats::Ladder plain = stats::ladder(votes, 0.75, 0.05, 0.95);
    votes.push_back({99, 4, false, true});
    const stats::Ladder found = stats::ladder(votes, 0.75, 0.05, 0.95);
    REQUIRE(found.steps.size() == 4);
    CHECK(found.steps[3].p_value == 1);
    CHECK_FALSE(found.steps[2].shown);   // what is above was not shown
    CHECK(*found.rise.point == *plain.rise.point);
    CHECK(found.rise.limits.lower == plain.rise.limits.lower);
    CHECK(stats::ladder(std::vector<LadderVote>{{0, 1, true, false}, {1, 1, false, false}, {1, 2, false, true}}, 0.75, 0.05, 0.95).rise.why == stats::NoPoint::one_level);
    CHECK(stats::ladder(std::vector<LadderVote>{{0, 1, false, true}, {1, 2, false, true}}, 0.75, 0.05, 0.95).rise.why == stats::NoPoint::one_level);
}

TEST_CASE("Ladder: what the levels don't reach is not read off them", "[ladder]") {
    const stats::Ladder low = stats::ladder(counts({{1, 8, 20}, {2, 9, 20}, {3, 11, 20}}), 0.75, 0.05, 0.95);
    CHECK(low.rise.why == stats::NoPoint::not_reached);
    CHECK(low.rise.above);
    CHECK_FALSE(low.rise.point);
    CHECK(stats::ladder(counts({{1, 12, 20}, {2, 8, 20}}), 0.75, 0.05, 0.95).rise.why == stats::NoPoint::no_slope);
    CHECK(stats::ladder(counts({{1, 0, 20}, {2, 20, 20}}), 0.75, 0.05, 0.95).rise.why == stats::NoPoint::all_one_way);
    CHECK(stats::ladder(counts({{1, 5, 20}}), 0.75, 0.05, 0.95).rise.why == stats::NoPoint::one_level);
    const stats::Ladder all = stats::ladder(counts({{1, 20, 20}, {2, 20, 20}}), 0.75, 0.05, 0.95), none = stats::ladder(counts({{1, 0, 20}, {2, 5, 20}}), 0.75, 0.05, 0.95);
    CHECK(all.rise.why == stats::NoPoint::not_reached);
    CHECK_FALSE(all.rise.above);
    CHECK(none.rise.why == stats::NoPoint::not_reached);   // a level parts the votes, but too few reject above it
    CHECK(none.rise.above);
    CHECK(stats::ladder({}, 0.75, 0.05, 0.95).rise.why == stats::NoPoint::one_level);
    const std::vector<LadderVote> one{{0, 1, false}, {0, 1, true}, {0, 2, true}, {0, 2, false}, {0, 3, true}};
    CHECK(stats::ladder(one, 0.75, 0.05, 0.95).rise.why == stats::NoPoint::one_taster);
}

TEST_CASE("Ladder: another unit of the level changes the unit of the answer alone", "[ladder]") {
    auto votes = panel(1, 30, 2.6, 2, 0.5);
    const stats::Ladder found = stats::ladder(votes, 0.75, 0.05, 0.95);
    for (LadderVote& vote : votes) vote.level *= 1000;
    const stats::Ladder grams = stats::ladder(votes, 0.75, 0.05, 0.95);
    REQUIRE(found.rise.point);
    CHECK(*grams.rise.point == Approx(1000 * *found.rise.point).epsilon(1e-9));
    CHECK(grams.rise.limits.lower == Approx(1000 * found.rise.limits.lower).epsilon(1e-9));
    CHECK(grams.rise.curve->slope() == Approx(found.rise.curve->slope() / 1000).epsilon(1e-9));
}

// With people who differ the population's curve is flatter than a person's: the truth is taken from 200,000 people. 600 panels of 24 at .95: three standard errors are .027.
TEST_CASE("Ladder: limits cover by tasters, and few levels are rejected where nobody minds", "[ladder][simulation]") {
    for (const double own : {0.0, 1.5}) {
        const stats::Ladder all = stats::ladder(panel(5, 200'000, 2.3, 2.5, own), 0.75, 0.05, 0.95);
        REQUIRE(all.rise.point);
        int covered = 0, any = 0;
        constexpr int k_panels = 600;
        for (int i = 0; i < k_panels; ++i) {
            const stats::Ladder found = stats::ladder(panel(1000 + static_cast<std::uint64_t>(i), 24, 2.3, 2.5, own), 0.75, 0.05, 0.95);
            if (!found.rise.point) continue;
            ++any;
            covered += found.rise.limits.lower <= *all.rise.point && *all.rise.point <= found.rise.limits.upper;
        }
        INFO(own << ": " << covered << " of " << any);
        CHECK(any > k_panels * 9 / 10);
        CHECK(covered >= any * (0.95 - 0.027));
    }
    int alarms = 0;
    constexpr int k_panels = 2000;
    for (int i = 0; i < k_panels; ++i) {
        const stats::Ladder found = stats::ladder(panel(9000 + static_cast<std::uint64_t>(i), 24, 2.6, 0, 0), 0.75, 0.05, 0.95);
        for (const stats::LadderStep& step : found.steps) alarms += step.shown && step.level == found.steps.back().level;
    }
    CHECK(alarms <= k_panels * (0.05 + 3 * std::sqrt(0.05 * 0.95 / k_panels)));
}
