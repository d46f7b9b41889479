// Who is in front by the plan's rule over spots, and what recipes that ran out have to do with it.
#include <algorithm>

#include <catch2/catch.hpp>

#include "oddplate/methods/method.hpp"
#include "support.hpp"
#include "../../../src/methods/by_spots.hpp"
#include "../../../src/methods/leads.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using oddplate::methods::testing::method;

namespace {

constexpr bool k_in = true, k_behind = false;

Plan plan_of(int versions, std::vector<std::string> spots, DecideOn rule, Settings settings = {}) {
    Plan plan;
    for (int i = 0; i < versions; ++i) plan.versions.push_back({std::string(1, static_cast<char>('a' + i)), ""});
    plan.tasters = 48;
    Round round;
    round.method = "ranking";
    round.spots = std::move(spots);
    round.decide_on = rule;
    round.settings = std::move(settings);
    core::Faults faults;
    method("ranking").settle(method("ranking"), round, plan, "/rounds/0", faults);
    REQUIRE(faults.empty());
    plan.rounds.push_back(round);
    return plan;
}

Observation ordered(int taster, int spot, int place, std::vector<int> samples, std::vector<double> ranks) {
    return {taster, taster, spot, 0, place, Scored{.values = std::move(ranks), .samples = std::move(samples)}};
}

bool says(const RoundFindings& found, std::string_view id) {
    return std::any_of(found.words.begin(), found.words.end(), [&](const core::Sentence& one) { return one.id == id; });
}

}   // namespace

TEST_CASE("any spot goes by the clearest one unless another contradicts it", "[by-spots]") {
    const auto decided = [](std::vector<by_spots::Spot> spots, std::vector<int> gone = {}) { return by_spots::decide(DecideOn::any_spot, spots, 3, gone); };
    const auto clearest = decided({{{k_in, k_in, k_behind}, 0.01}, {{k_behind, k_in, k_in}, 0.001}});
    CHECK(clearest.front == std::vector<std::size_t>{1, 2});   // not the one that both have in front
    CHECK(clearest.verdict == leads::k_some);
    CHECK(clearest.clearest == std::size_t{1});
    const auto apart = decided({{{k_in, k_behind, k_behind}, 0.01}, {{k_behind, k_in, k_behind}, 0.001}});
    CHECK(apart.disagree);
    CHECK(apart.verdict == leads::k_none);
    CHECK(apart.front.empty());
    CHECK(decided({{{k_in, k_in, k_in}, 1}, {{k_in, k_in, k_in}, 1}}).verdict == leads::k_none);
    CHECK(decided({{{k_in, k_in, k_behind}, 0.01}}, {2}).verdict == leads::k_none);   // only what ran out is behind
}

TEST_CASE("each spot has to have the same ones in front", "[by-spots]") {
    const auto decided = [](std::vector<by_spots::Spot> spots) { return by_spots::decide(DecideOn::each_spot, spots, 3, {}); };
    CHECK(decided({{{k_in, k_in, k_behind}, 0.01}, {{k_in, k_in, k_behind}, 0.02}}).verdict == leads::k_some);
    const auto unlike = decided({{{k_in, k_behind, k_behind}, 0.01}, {{k_in, k_in, k_behind}, 0.02}});
    CHECK(unlike.verdict == leads::k_none);
    CHECK_FALSE(unlike.disagree);
    const auto opposite = decided({{{k_in, k_behind, k_behind}, 0.01}, {{k_behind, k_in, k_behind}, 0.02}});   // told apart at both, not "can't be told apart at every spot"
    CHECK(opposite.verdict == leads::k_none);
    CHECK(opposite.disagree);
    CHECK(decided({{{k_in, k_behind, k_behind}, 0.01}, {{k_in, k_in, k_in}, 1}}).verdict == leads::k_none);
}

TEST_CASE("an average turns only where everyone in front is behind somewhere", "[by-spots]") {
    const std::vector<int> overall{0, 1};
    const auto turns = [&](std::vector<std::vector<int>> behind) { return leads::turns(overall, behind); };
    CHECK_FALSE(turns({{1}, {}}));      // 0 is in front everywhere
    CHECK(turns({{1}, {0}}));
    CHECK_FALSE(turns({{2}, {2}}));
    CHECK_FALSE(turns({}));
}

// a and b are alike, c is liked more and runs out: that it was ahead of both puts neither before the other.
TEST_CASE("ranking: to be behind what ran out is not to be behind", "[ranks][by-spots]") {
    Plan plan = plan_of(3, {"middle"}, DecideOn::overall);
    std::vector<Observation> seen;
    for (int taster = 0; taster < 40; ++taster) {
        // c is put far before a and just before b as often, so that only their distances to it tell a from b.
        const bool a_last = taster % 2 == 0;
        seen.push_back(ordered(taster, 0, 0, {0, 1, 2}, a_last ? std::vector<double>{3, 2, 1} : std::vector<double>{2, 3, 1}));
    }
    const Method& ranking = method("ranking");
    CHECK(ranking.analyse(ranking, seen, plan.rounds[0], plan).verdict == "one-leads");   // c
    plan.withdrawn = {2};
    const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    CHECK(found.verdict == "no-clear-order");
    CHECK(found.words.front().id == "ranks.differ-unknown.lasted");
    CHECK(ranking.verdict(ranking, seen, plan.rounds[0], plan) == "no-clear-order");
}

TEST_CASE("ranking by any spot: spots that contradict each other name no recipe", "[ranks][by-spots]") {
    const Plan plan = plan_of(3, {"lean", "fat"}, DecideOn::any_spot);
    std::vector<Observation> seen;
    for (int taster = 0; taster < 30; ++taster) {
        seen.push_back(ordered(taster, 0, 0, {0, 1, 2}, {1, 2, 3}));
        seen.push_back(ordered(taster, 1, 1, {0, 1, 2}, {3, 2, 1}));
    }
    const Method& ranking = method("ranking");
    const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    CHECK(found.verdict == "no-clear-order");
    CHECK(found.words.front().id == "ranks.any.disagree");
    CHECK(std::count(found.warnings.begin(), found.warnings.end(), "spots_disagree") == 1);
    CHECK(ranking.verdict(ranking, seen, plan.rounds[0], plan) == "no-clear-order");
}

// Whoever always takes what was served first gives each recipe exactly half: of 60 votes 30, P(X >= 30) at .3 is far below .05.
TEST_CASE("none is worse is not read off votes by place", "[ranks]") {
    Plan plan = plan_of(3, {"middle"}, DecideOn::overall, {{"tray_size", std::int64_t{2}}, {"against_usual", true}, {"not_less", 0.3}});
    const auto evening = [](bool by_place) {
        std::vector<Observation> seen;
        for (int taster = 0; taster < 60; ++taster)
            for (int other = 1; other <= 2; ++other) {
                const bool usual_first = (taster + other) % 2 == 0;
                const bool takes_first = by_place || (taster / 2) % 2 == 0;
                seen.push_back(ordered(taster, 0, other - 1, usual_first ? std::vector<int>{0, other} : std::vector<int>{other, 0}, takes_first ? std::vector<double>{1, 2} : std::vector<double>{2, 1}));
            }
        return seen;
    };
    const Method& ranking = method("ranking");
    const auto habit = ranking.analyse(ranking, evening(true), plan.rounds[0], plan);
    CHECK(habit.verdict == "no-clear-order");
    CHECK(says(habit, "ranks.against.by_place"));
    CHECK(ranking.verdict(ranking, evening(true), plan.rounds[0], plan) == "no-clear-order");
    const auto choice = ranking.analyse(ranking, evening(false), plan.rounds[0], plan);
    CHECK(choice.verdict == "none-worse");
    CHECK_FALSE(says(choice, "ranks.against.by_place"));
}

// Trays of three: ranked from first to last served, or by taste with everybody's taste his own; either way half put each before the usual one.
TEST_CASE("none is worse is not read off trays of three ranked by place", "[ranks]") {
    Plan plan = plan_of(3, {"middle"}, DecideOn::overall, {{"against_usual", true}, {"not_less", 0.3}});
    const std::vector<std::vector<int>> orders{{0, 1, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}, {0, 2, 1}, {1, 0, 2}};
    const auto evening = [&](bool by_place) {
        std::vector<Observation> seen;
        for (int taster = 0; taster < 72; ++taster) {
            const std::vector<int>& order = orders[static_cast<std::size_t>(taster % 6)];
            const std::vector<int>& taste = orders[static_cast<std::size_t>(taster / 6 % 6)];
            std::vector<double> ranks;
            for (std::size_t place = 0; place < 3; ++place) ranks.push_back(by_place ? static_cast<double>(place) + 1 : 1 + taste[static_cast<std::size_t>(order[place])]);
            seen.push_back(ordered(taster, 0, 0, order, ranks));
        }
        return seen;
    };
    const Method& ranking = method("ranking");
    const auto habit = ranking.analyse(ranking, evening(true), plan.rounds[0], plan);
    CHECK(habit.verdict == "no-clear-order");
    CHECK(says(habit, "ranks.against.by_place"));
    CHECK(ranking.verdict(ranking, evening(true), plan.rounds[0], plan) == "no-clear-order");
    const auto choice = ranking.analyse(ranking, evening(false), plan.rounds[0], plan);
    CHECK(choice.verdict == "none-worse");
    CHECK_FALSE(says(choice, "ranks.against.by_place"));
    CHECK(ranking.verdict(ranking, evening(false), plan.rounds[0], plan) == "none-worse");
    // Where one recipe always comes last, its place and its taste are one thing: nothing is asked of places, and the plan says so.
    plan.rounds[0].settings["strongest_last"] = true;
    CHECK(ranking.verdict(ranking, evening(true), plan.rounds[0], plan) == "none-worse");
}

// A third always takes what came first, the others the other one: 50 of 60 votes are no habit.
TEST_CASE("a better recipe is shown beside a habit of place", "[ranks]") {
    Plan plan = plan_of(3, {"middle"}, DecideOn::overall, {{"tray_size", std::int64_t{2}}, {"against_usual", true}, {"not_less", 0.3}});
    std::vector<Observation> seen;
    for (int taster = 0; taster < 60; ++taster)
        for (int other = 1; other <= 2; ++other) {
            const bool usual_first = (taster / 3 + other) % 2 == 0, takes_first = taster % 3 == 0 || !usual_first;
            seen.push_back(ordered(taster, 0, other - 1, usual_first ? std::vector<int>{0, other} : std::vector<int>{other, 0}, takes_first ? std::vector<double>{1, 2} : std::vector<double>{2, 1}));
        }
    const Method& ranking = method("ranking");
    const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    CHECK(found.verdict == "some-better");
    CHECK(found.pooled.verdict == "some-better");
    CHECK(says(found, "ranks.against.by_place"));
    CHECK(ranking.verdict(ranking, seen, plan.rounds[0], plan) == "some-better");
}

// Everybody tastes at one spot: a leads at two of three, b at the third. Nobody's own trays can be exchanged, so people are.
TEST_CASE("an average is withheld where each person tasted at one spot", "[ranks][by-spots]") {
    const Plan plan = plan_of(3, {"lean", "middle", "fat"}, DecideOn::overall);
    std::vector<Observation> seen;
    for (int taster = 0; taster < 90; ++taster) {
        const bool own = taster % 10 == 0;
        seen.push_back(ordered(taster, taster % 3, 0, {0, 1, 2}, (taster % 3 == 2) != own ? std::vector<double>{2, 1, 3} : std::vector<double>{1, 2, 3}));
    }
    const Method& ranking = method("ranking");
    const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    CHECK(found.pooled.verdict == "one-leads");
    CHECK(found.verdict == "no-clear-order");
    CHECK(found.words.front().id == "ranks.turned");
    CHECK(ranking.verdict(ranking, seen, plan.rounds[0], plan) == "no-clear-order");
}

TEST_CASE("a plan's chance goes by its rule over spots", "[ranks][simulation]") {
    const Method& ranking = method("ranking");
    const auto chance = [&](DecideOn rule) {
        Plan plan = plan_of(3, {"lean", "middle", "fat"}, rule);
        plan.pieces = 4;
        return *ranking.outlook(ranking, plan.rounds[0], plan).chance;
    };
    const double together = chance(DecideOn::overall), any = chance(DecideOn::any_spot), each = chance(DecideOn::each_spot);
    CHECK(any < together);
    CHECK(each < any);
}
