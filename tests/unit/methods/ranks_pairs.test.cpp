#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "../../../src/methods/ranks_pairs.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/methods/method.hpp"
#include "support.hpp"

using namespace oddplate;
using namespace oddplate::methods;

namespace {

/// Comparisons between samples of these log worths; `habit`: log odds that being served first adds; `first`: which of the pair is served first (a's chance).
ranks::Ranked compared(const std::vector<double>& worths, double habit, double a_first, int tasters, int trays, std::uint64_t seed) {
    core::PhiloxStream chance(seed, 8);
    ranks::Ranked ranked{.names = {}, .trays = {}, .spots = {}, .as_served = true};
    for (std::size_t i = 0; i < worths.size(); ++i) ranked.names.push_back("s" + std::to_string(i));
    for (int taster = 0; taster < tasters; ++taster)
        for (int tray = 0; tray < trays; ++tray) {
            int a = static_cast<int>(chance.below(static_cast<std::uint32_t>(worths.size()))), b = a;
            while (b == a) b = static_cast<int>(chance.below(static_cast<std::uint32_t>(worths.size())));
            if (a > b) std::swap(a, b);
            if (chance.uniform() >= a_first) std::swap(a, b);
            const double odds = std::exp(worths[static_cast<std::size_t>(a)] - worths[static_cast<std::size_t>(b)] + habit);
            const bool first = chance.uniform() < odds / (1 + odds);
            ranked.trays.push_back({taster, {a, b}, first ? std::vector<double>{1, 2} : std::vector<double>{2, 1}});
            ranked.spots.push_back(0);
        }
    return ranked;
}

bool claims(const ranks::Ranked& ranked) {
    ranks::Question question;
    question.quick = true;
    return leads::claims_difference(ranks::weigh(question, ranked).verdict);
}

}   // namespace

// Log odds of 1.5 for the one served first, all liked alike, samples of low number first nine times in ten: Friedman's statistic takes the order for liking in most panels. 60 seeded
// panels; with .05 at most 3 + 3 standard errors = 8 err.
TEST_CASE("pairs of many: who was served first is not taken for who is liked", "[ranks][simulation]") {
    int biased = 0, even = 0, found = 0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        biased += claims(compared({0, 0, 0, 0}, 1.5, 0.9, 40, 3, seed));
        even += claims(compared({0, 0, 0, 0}, 1.5, 0.5, 40, 3, 100 + seed));
        found += claims(compared({2.5, 0, 0, 0}, 1.5, 0.5, 40, 3, 200 + seed));
    }
    CHECK(biased <= 8);
    CHECK(even <= 8);
    CHECK(found >= 50);
}

TEST_CASE("pairs of many: always the same one first is said, and nothing is claimed", "[ranks]") {
    ranks::Ranked ranked = compared({0, 0, 0}, 3, 1, 40, 3, 1);
    const ranks::Question question;
    const auto weighed = ranks::weigh(question, ranked);
    CHECK(weighed.p.p < 0.05);
    CHECK(weighed.order_holds_back);
    CHECK(weighed.verdict == leads::k_none);
    const auto words = ranks::words_of(question, ranked, weighed);
    CHECK(words.front().id == "pairs.held_back");
    CHECK(std::count_if(words.begin(), words.end(), [](const core::Sentence& one) { return one.id == "pairs.uneven.open"; }) == 1);
    REQUIRE(weighed.paired);
    CHECK(!weighed.paired->worths.served_first);
    ranked.as_served = false;   // where the order of serving isn't known there is nothing to say of it
    CHECK(!ranks::weigh(question, ranked).order_holds_back);
}

TEST_CASE("pairs of many: a real lead under uneven orders holds where the habit leaves it", "[ranks]") {
    const ranks::Ranked ranked = compared({3, 0, 0, 0}, 0.5, 0.8, 60, 3, 3);
    const ranks::Question question;
    const auto weighed = ranks::weigh(question, ranked);
    REQUIRE(weighed.paired);
    REQUIRE(weighed.paired->gate.uneven);
    REQUIRE(weighed.paired->gate.p);
    CHECK(*weighed.paired->gate.p < 0.05);
    CHECK(weighed.verdict == leads::k_one);
    CHECK(weighed.leading == std::vector<int>{0});
}

// Served first 65 times in 100, well within a third and two thirds, and a habit of 1.4 log odds: all of it may be the habit. 60 seeded panels of 80 people with 6 trays each; at most
// 3 + 3 standard errors = 8 err with .05. A recipe that is behind does not let another lead by its place: with s0 always served before the even s1 and s2, and s3 worse, s0 leads alone
// hardly ever.
TEST_CASE("pairs of many: an order a little uneven and a strong habit claim nothing", "[ranks][simulation]") {
    int biased = 0, alone = 0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        biased += claims(compared({0, 0, 0, 0}, 1.4, 0.65, 80, 6, 500 + seed));
        ranks::Ranked ranked = compared({0, 0, 0, -2}, 1.4, 0.5, 80, 6, 600 + seed);
        for (stats::RankedTray& tray : ranked.trays)
            if (tray.samples[1] == 0) {   // s0 goes first, and what people choose by place stays at its place
                std::swap(tray.samples[0], tray.samples[1]);
                if (tray.samples[1] == 3) std::swap(tray.ranks[0], tray.ranks[1]);
            }
        ranks::Question question;
        question.quick = true;
        const auto weighed = ranks::weigh(question, ranked);
        alone += weighed.verdict == leads::k_one;
    }
    CHECK(biased <= 8);
    CHECK(alone <= 8);
}

TEST_CASE("ranking on trays of two is a comparison of pairs", "[ranks]") {
    const Method& ranking = **methods::find("ranking");
    Plan plan;
    plan.tasters = 90;
    plan.versions = {{"a", ""}, {"b", ""}, {"c", ""}};
    Round round;
    round.method = "ranking";
    round.spots = {"slice"};
    round.settings.emplace("tray_size", std::int64_t{2});
    core::Faults faults;
    ranking.settle(ranking, round, plan, "/rounds/0", faults);
    REQUIRE(faults.empty());
    plan.rounds = {round};
    const auto orders = ranking.orders(round, 3);
    std::vector<Observation> seen;
    for (int taster = 0; taster < 90; ++taster) {
        const auto& versions = orders[static_cast<std::size_t>(taster) % orders.size()].versions;
        const bool first = versions[0] < versions[1] != (taster % 5 == 0);
        seen.push_back({taster, taster, 0, 0, 0, Scored{.values = first ? std::vector<double>{1, 2} : std::vector<double>{2, 1}, .samples = versions}});
    }
    const auto found = ranking.analyse(ranking, seen, round, plan);
    CHECK(found.verdict == "one-leads");
    CHECK(found.pooled.number("served_first.log_odds"));
    CHECK(found.pooled.number("fit.deviance"));
    const auto has = [&](std::string_view key) { return std::any_of(found.pooled.lists.begin(), found.pooled.lists.end(), [&](const List& list) { return list.key == key; }); };
    CHECK(has("worths"));
    CHECK(has("scale_values"));
    CHECK(!has("places"));
}
