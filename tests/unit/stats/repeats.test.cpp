#include "oddplate/stats/repeats.hpp"

#include <catch2/catch.hpp>

#include <cmath>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/own_tastes.hpp"

using namespace oddplate;

// Base R 4.2.2, the counts written out (lfactorial) and 200,000 deals of 60 votes to 30 people (set.seed(2)): .0117803048520334, .01161.
TEST_CASE("steady votes: few people change their mind", "[stats][repeats]") {
    CHECK(stats::steady_p(30, 34, 8) == Approx(0.0117803048520334).epsilon(1e-12));
    CHECK(stats::steady_p(30, 34, 26) == 1);
    CHECK(stats::steady_p(1, 1, 1) == 1);
    CHECK(stats::steady_p(4, 0, 0) == 1);
    CHECK(stats::steady_p(2, 2, 0) == Approx(1.0 / 3).epsilon(1e-14));   // aa bb, bb aa of aabb's six deals
}

// Wigginton, Cutler & Abecasis (2005), table 1, from memory: of 100 people with 21 rare ones among 200, the chances of 1, 3, 5, 7 and 9 mixed are so small
// that their sum stays below .01, and 21 of 21 mixed holds the most of it (.3 to .4).
TEST_CASE("steady votes: the law of the literature", "[stats][repeats]") {
    CHECK(stats::steady_p(100, 21, 9) < 0.01);
    const double last = 1 - stats::steady_p(100, 21, 19);
    CHECK(last > 0.25);
    CHECK(last < 0.45);
}

// R as above, summed over all that 30 and 41 people may answer: .481325587845773 and .378072796805.
TEST_CASE("steady votes: power by all that people may answer", "[stats][repeats]") {
    CHECK(stats::power_steady(30, 0.8, 0.05) == Approx(0.481325587845773).epsilon(1e-11));
    CHECK(stats::power_steady(41, 0.75, 0.05) == Approx(0.378072796805).epsilon(1e-9));
    for (const std::int64_t people : {5, 20, 37}) CHECK(stats::power_steady(people, 0.5, 0.05) <= 0.05);
    const auto size = stats::size_steady(0.8, 0.05, 0.8);
    REQUIRE(size);
    CHECK(size->power_actual >= 0.8);
    CHECK(stats::power_steady(size->tasters - 1, 0.8, 0.05) < 0.8);
    CHECK(size->tasters_safe >= size->tasters);
    CHECK_FALSE(stats::size_steady(0.5, 0.05, 0.8));
}

// The test of a tasting (own_tastes, permutations) on two votes a person is this one: within four of its standard errors.
TEST_CASE("steady votes: what a tasting tests", "[stats][repeats]") {
    core::PhiloxStream stream(5, 1);
    for (int panel = 0; panel < 5; ++panel) {
        std::vector<stats::TasteTray> trays;
        std::int64_t for_a = 0, changed = 0;
        for (std::int32_t taster = 0; taster < 24; ++taster) {
            const bool likes_a = stream.uniform() < 0.5;
            bool first = false;
            for (int vote = 0; vote < 2; ++vote) {
                const bool a = (stream.uniform() < 0.7) == likes_a;
                for_a += a;
                if (vote == 1) changed += a != first;
                first = a;
                trays.push_back({taster, 0, {0, 1}, a ? std::vector<double>{1, 2} : std::vector<double>{2, 1}});
            }
        }
        const auto found = stats::own_tastes(trays, 2, 9);
        REQUIRE(found.p);
        const double exact = stats::steady_p(24, for_a, changed);
        CHECK(std::abs(found.p->p - exact) < 4 * std::sqrt(exact * (1 - exact) / 9999) + 1e-3);
    }
}
