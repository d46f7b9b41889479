#include "oddplate/stats/own_tastes.hpp"

#include <catch2/catch.hpp>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"

using namespace oddplate;
using stats::TasteTray;

namespace {

/// Two trays a head of three samples, one at each of two spots: `own` is the standard deviation of what a taster likes for himself, noise has 1.
std::vector<TasteTray> house(int people, double own, std::uint64_t seed, std::uint64_t which, double shared = 0) {
    core::PhiloxStream stream(seed, which);
    std::vector<TasteTray> trays;
    for (int taster = 0; taster < people; ++taster) {
        double likes[3];
        for (double& x : likes) x = own * stats::normal_quantile(stream.uniform());
        likes[0] += shared;
        for (int spot = 0; spot < 2; ++spot) {
            TasteTray tray{taster, spot, {0, 1, 2}, {}};
            for (const double x : likes) tray.values.push_back(x + stats::normal_quantile(stream.uniform()));
            trays.push_back(tray);
        }
    }
    return trays;
}

}   // namespace

TEST_CASE("Own tastes: a house split in two is seen, however even the average", "[stats]") {
    std::vector<TasteTray> trays;
    for (int taster = 0; taster < 20; ++taster)
        for (int spot = 0; spot < 2; ++spot) trays.push_back({taster, spot, {0, 1}, taster < 10 ? std::vector<double>{1, 2} : std::vector<double>{2, 1}});
    const auto found = stats::own_tastes(trays, 2, 1);
    REQUIRE(found.p);
    CHECK(found.p->p <= 0.0002);
    CHECK(found.agreement == Approx(1));
    CHECK(found.tasters == 20);
    const auto habit = stats::pair_habit(trays, 0, 1, true);
    CHECK(habit.always_a == 10);
    CHECK(habit.always_b == 10);
    CHECK(habit.mixed == 0);
}

TEST_CASE("Own tastes: the sample that the house is split over is named", "[stats]") {
    std::vector<TasteTray> trays;
    core::PhiloxStream stream(3, 9);
    for (int taster = 0; taster < 24; ++taster)
        for (int spot = 0; spot < 2; ++spot) {
            TasteTray tray{taster, spot, {0, 1, 2, 3}, {}};
            for (int sample = 0; sample < 4; ++sample) tray.values.push_back((sample == 2 ? (taster % 2 == 0 ? 2.5 : -2.5) : 0) + stats::normal_quantile(stream.uniform()));
            trays.push_back(tray);
        }
    const auto found = stats::own_tastes(trays, 4, 1);
    CHECK(found.turns_on() == 2);
    CHECK(found.shares[0] + found.shares[1] + found.shares[2] + found.shares[3] == Approx(1));
    const auto habit = stats::sample_habit(trays, 2, false);
    CHECK(habit.always_up + habit.always_down + habit.mixed == 24);
    CHECK(habit.always_up >= 10);
    CHECK(habit.always_down >= 10);
    CHECK(stats::sample_habit(trays, 2, true).always_up == habit.always_down);
    CHECK(stats::own_tastes(house(24, 2, 5, 3), 3, 1).shares.size() == 3);
}

TEST_CASE("Own tastes: one tray a head can't tell", "[stats]") {
    const std::vector<TasteTray> once{{0, 0, {0, 1}, {1, 2}}, {1, 0, {0, 1}, {2, 1}}, {2, 0, {0, 1}, {1, 2}}};
    const auto found = stats::own_tastes(once, 2, 1);
    CHECK(!found.p);
    CHECK(found.tasters == 0);
    CHECK(!found.repeated);
    CHECK(!stats::own_tastes({}, 2, 1).p);
    const std::vector<TasteTray> same{{0, 0, {0, 1}, {1, 2}}, {0, 0, {0, 1}, {1, 2}}, {1, 0, {0, 1}, {1, 2}}, {1, 0, {0, 1}, {1, 2}}};
    const auto agreed = stats::own_tastes(same, 2, 1);   // everybody twice, and always alike: nothing to tell apart, though not for want of trays
    CHECK(!agreed.p);
    CHECK(agreed.repeated);
}

// The permutation test holds its level, with a strong taste that all share: 400 seeded houses at .05 (a 99.9 % interval of a true .05 ends at .092).
TEST_CASE("Own tastes: a taste that all share is no split", "[stats][simulation]") {
    int alarms = 0, seen = 0;
    for (std::uint64_t i = 0; i < 400; ++i) {
        const auto calm = stats::own_tastes(house(16, 0, 21, i, 2.0), 3, 1);
        alarms += calm.p->p <= 0.05;
    }
    for (std::uint64_t i = 0; i < 40; ++i) seen += stats::own_tastes(house(24, 1, 22, i), 3, 1).p->p <= 0.05;
    CHECK(alarms <= 0.092 * 400);
    CHECK(seen >= 38);
}
