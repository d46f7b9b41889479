#include "oddplate/stats/worths.hpp"

#include <catch2/catch.hpp>

#include <cmath>

#include "oddplate/core/philox.hpp"

using namespace oddplate;
using stats::NoWorths;
using stats::PairCount;

// Agresti (2019), An Introduction to Categorical Data Analysis, 3rd ed.: men's tennis 2014-18. Estimates, standard errors and deviance by R 4.2.2's glm
// on the same counts (the fifth player as baseline). Players: Djokovic, Federer, Murray, Nadal, Wawrinka.
TEST_CASE("Bradley-Terry: tennis", "[stats][published]") {
    const std::vector<PairCount> games{{0, 1, 9, 6}, {0, 2, 14, 3}, {0, 3, 9, 2}, {0, 4, 4, 3}, {1, 2, 5, 0}, {1, 3, 5, 1}, {1, 4, 7, 2}, {2, 3, 2, 4}, {2, 4, 2, 2}, {3, 4, 4, 3}};
    const auto found = stats::bradley_terry(games, 5, {});
    REQUIRE(found.why == NoWorths::has_some);
    const auto ahead = [&](std::size_t player) { return found.samples[player].log_worth - found.samples[4].log_worth; };
    CHECK(ahead(0) == Approx(1.17612172113).margin(5e-10));
    CHECK(ahead(1) == Approx(1.13578407640).margin(5e-10));
    CHECK(ahead(2) == Approx(-0.56851912787).margin(5e-10));
    CHECK(ahead(3) == Approx(-0.06185141296).margin(5e-10));
    CHECK(found.deviance == Approx(4.395812187).margin(5e-9));
    CHECK(found.deviance_df == 6);
    CHECK(found.deviance_p > 0.5);
}

// Davidson (1970) JASA 65:317: two items, 20 wins, 10 losses, 10 ties: worths 2 to 1, nu = 10/sqrt(200), exactly.
TEST_CASE("Bradley-Terry: ties", "[stats][published]") {
    const auto found = stats::bradley_terry(std::vector<PairCount>{{0, 1, 20, 10, 10}}, 2, {});
    CHECK(std::exp(found.samples[0].log_worth - found.samples[1].log_worth) == Approx(2).epsilon(1e-10));
    REQUIRE(found.tie);
    CHECK(std::exp(*found.tie) == Approx(10 / std::sqrt(200.0)).epsilon(1e-10));
    CHECK(found.deviance == Approx(0).margin(1e-9));
    CHECK(found.samples[0].share_first == Approx(2.0 / 3).epsilon(1e-10));
}

// With an order effect and two items, both orders: saturated, so the odds of each order come back.
TEST_CASE("Bradley-Terry: who is served first", "[stats]") {
    const auto found = stats::bradley_terry(std::vector<PairCount>{{0, 1, 30, 10}, {1, 0, 20, 20}}, 2, {.served_order = true});
    REQUIRE(found.served_first);
    const double gap = found.samples[0].log_worth - found.samples[1].log_worth;
    CHECK(gap + *found.served_first == Approx(std::log(3.0)).epsilon(1e-10));
    CHECK(-gap + *found.served_first == Approx(0).margin(1e-10));
}

// Two items, 20 of 30: z(2/3).
TEST_CASE("Thurstone's case V", "[stats][published]") {
    const auto found = stats::thurstone_v(std::vector<PairCount>{{0, 1, 20, 10}}, 2, {});
    CHECK(found.samples[0].log_worth - found.samples[1].log_worth == Approx(0.43072730).margin(5e-9));
    CHECK(found.deviance == Approx(0).margin(1e-9));
}

// 8 tasters who each gave the same vote five times over: as sure as 8 votes, not 40 (the sandwich's n/(n - 1) apart).
TEST_CASE("Bradley-Terry and Thurstone: a taster's votes that are alike count as one", "[stats]") {
    std::vector<PairCount> votes, once;
    for (int taster = 0; taster < 8; ++taster) {
        votes.push_back({.a = 0, .b = 1, .for_a = taster < 5 ? 5 : 0, .for_b = taster < 5 ? 0 : 5, .taster = taster});
        once.push_back({.a = 0, .b = 1, .for_a = taster < 5 ? 1 : 0, .for_b = taster < 5 ? 0 : 1});
    }
    for (const auto& model : {stats::bradley_terry, stats::thurstone_v}) {
        const auto clustered = model(votes, 2, {}), plain = model(once, 2, {});
        CHECK(clustered.samples[0].log_worth == Approx(plain.samples[0].log_worth).epsilon(1e-9));
        CHECK(clustered.samples[0].standard_error == Approx(plain.samples[0].standard_error * std::sqrt(8.0 / 7)).epsilon(1e-9));
        CHECK(clustered.deviance == Approx(0).margin(1e-9));
    }
}

TEST_CASE("Worths that don't exist say why", "[stats]") {
    // Every vote went to the one served first: its odds have no bound.
    CHECK(stats::bradley_terry(std::vector<PairCount>{{0, 1, 5, 0}, {1, 0, 5, 0}, {1, 2, 4, 0}, {2, 1, 4, 0}}, 3, {.served_order = true}).why == NoWorths::one_sided);
    CHECK(stats::bradley_terry(std::vector<PairCount>{{0, 1, 5, 0}, {1, 0, 5, 0}, {1, 2, 4, 0}, {2, 1, 4, 0}}, 3, {}).why == NoWorths::has_some);
    CHECK(stats::bradley_terry(std::vector<PairCount>{{0, 1, 5, 5}, {2, 3, 5, 5}}, 4, {}).why == NoWorths::apart);
    CHECK(stats::bradley_terry(std::vector<PairCount>{{0, 1, 5, 0}, {1, 2, 3, 2}}, 3, {}).why == NoWorths::one_sided);
    CHECK(stats::bradley_terry({}, 3, {}).why == NoWorths::nothing);
    CHECK(stats::plackett_luce(std::vector<stats::RankedTray>{{0, {0, 1}, {1, 1}}}, 2, 0.95).why == NoWorths::ties);
    CHECK(stats::plackett_luce(std::vector<stats::RankedTray>{{0, {0, 1}, {1, 2}}}, 2, 0.95).why == NoWorths::one_sided);
}

// On trays of two it is Bradley-Terry: the same likelihood.
TEST_CASE("Plackett-Luce: pairs are Bradley-Terry's", "[stats]") {
    std::vector<stats::RankedTray> trays;
    const int wins[3][3] = {{0, 7, 6}, {3, 0, 8}, {4, 2, 0}};
    std::vector<PairCount> pairs;
    for (int a = 0; a < 3; ++a)
        for (int b = a + 1; b < 3; ++b) pairs.push_back({a, b, wins[a][b], wins[b][a]});
    for (int a = 0; a < 3; ++a)
        for (int b = 0; b < 3; ++b)
            for (int i = 0; i < wins[a][b]; ++i) trays.push_back({static_cast<int>(trays.size()), {a, b}, {1, 2}});
    const auto orders = stats::plackett_luce(trays, 3, 0.95), met = stats::bradley_terry(pairs, 3, {});
    for (std::size_t j = 0; j < 3; ++j) CHECK(orders.samples[j].log_worth == Approx(met.samples[j].log_worth).epsilon(1e-9));
    CHECK(orders.log_likelihood == Approx(met.log_likelihood).epsilon(1e-12));
}

// Truth recovered: 2,000 made-up orders of four with worths 4 : 2 : 1 : 1; three standard errors.
TEST_CASE("Plackett-Luce: recovers the truth", "[stats][simulation]") {
    const std::vector<double> truth{4, 2, 1, 1};
    std::vector<stats::RankedTray> trays;
    for (int i = 0; i < 2000; ++i) {
        core::PhiloxStream stream(3, static_cast<std::uint64_t>(i));
        stats::RankedTray tray{i, {0, 1, 2, 3}, {}};
        for (const double worth : truth) tray.ranks.push_back(-std::log(stream.uniform()) / worth);   // first of exponential waits
        trays.push_back(tray);
    }
    const auto found = stats::plackett_luce(trays, 4, 0.99);
    REQUIRE(found.why == NoWorths::has_some);
    for (std::size_t j = 0; j < 4; ++j) {
        CHECK(found.samples[j].lower < truth[j] / 8);
        CHECK(found.samples[j].upper > truth[j] / 8);
    }
}
