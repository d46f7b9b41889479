#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "../../../src/methods/ranks.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/stats/normal.hpp"

using namespace oddplate;
using namespace oddplate::methods;

namespace {

/// The usual cure and `levels` more, 48 people, each level beside the usual one once.
Plan ladder_plan(std::vector<double> levels) {
    Plan plan;
    plan.tasters = 48;
    plan.versions = {{"usual", ""}};
    for (std::size_t i = 0; i < levels.size(); ++i) {
        plan.versions.push_back({"v" + std::to_string(i), ""});
        plan.salt_percent["v" + std::to_string(i)] = levels[i];
    }
    Round round;
    round.method = "ranking";
    round.spots = {"centre"};
    round.sets_per_taster = static_cast<int>(levels.size());
    round.settings.emplace("ladder", true);
    round.settings.emplace("tray_size", std::int64_t{2});
    plan.rounds = {round};
    return plan;
}

core::Faults settled(Plan& plan) {
    core::Faults faults;
    const Method& ranking = **methods::find("ranking");
    ranking.settle(ranking, plan.rounds[0], plan, "/rounds/0", faults);
    return faults;
}

/// Logistic in the level: an even split at `even`, more for the usual one above it.
std::vector<Observation> evening(const Plan& plan, double even, double slope, std::uint64_t seed) {
    core::PhiloxStream chance(seed, 6);
    std::vector<Observation> seen;
    for (int taster = 0; taster < plan.tasters; ++taster)
        for (int version = 1; version < static_cast<int>(plan.versions.size()); ++version) {
            const double level = plan.salt_percent.at(plan.versions[static_cast<std::size_t>(version)].id);
            const bool usual = chance.uniform() < 1 / (1 + std::exp(-slope * (level - even)));
            const bool first = chance.uniform() < 0.5;
            seen.push_back({taster, taster, 0, version - 1, 0,
                            Scored{.values = usual == first ? std::vector<double>{1, 2} : std::vector<double>{2, 1}, .samples = first ? std::vector<int>{0, version} : std::vector<int>{version, 0}}});
        }
    return seen;
}

}   // namespace

TEST_CASE("a ladder in a tasting: the point where the usual one is preferred", "[ranks]") {
    Plan plan = ladder_plan({2.0, 2.4, 2.8, 3.2});
    REQUIRE(settled(plan).empty());
    CHECK(flag(plan.rounds[0].settings, "usual_in_every_tray"));
    const Method& ranking = **methods::find("ranking");
    const auto seen = evening(plan, 2.4, 4, 1);
    const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    CHECK(found.verdict == "some-worse");
    CHECK(ranking.verdict(ranking, seen, plan.rounds[0], plan) == "some-worse");
    CHECK(found.words.front().id == "ladder.rejected.salt");
    const auto point = found.pooled.number("rejection.estimate");
    REQUIRE(point);
    CHECK(std::fabs(*point - (2.4 + std::log(3.0) / 4)) < 0.2);   // where three of four choose the usual one
    CHECK(*found.pooled.number("rejection.lower") < 2.4 + std::log(3.0) / 4);
    CHECK(*found.pooled.number("rejection.upper") > 2.4 + std::log(3.0) / 4);
    REQUIRE(found.pooled.level_looks);
    CHECK(found.pooled.level_looks->steps.size() == 4);
    // The table of the same votes says the same (stats::ladder is held against R in ladder.test.cpp).
    PlainTable table{.columns = {"taster", "level", "for"}, .rows = {}};
    for (const Observation& one : seen) {
        const auto usual = static_cast<std::size_t>(std::find(one.scored.samples.begin(), one.scored.samples.end(), 0) - one.scored.samples.begin());
        const std::string level = std::to_string(plan.salt_percent.at(plan.versions[static_cast<std::size_t>(one.scored.samples[1 - usual])].id));
        table.rows.push_back({table.rows.size() + 2, {std::to_string(one.taster), level, one.scored.values[usual] == 1 ? "current" : "new"}});
    }
    const Method& pairs = **methods::find("paired-preference");
    const auto weighed = pairs.weigh(pairs, table, {});
    REQUIRE(weighed);
    CHECK(*weighed->number("rejection.estimate") == Approx(*point).epsilon(1e-9));
}

// 200 evenings in which nobody minds: at alpha .05 at most 10 + 3 standard errors = 19 claim a level.
TEST_CASE("a ladder in a tasting: no level is claimed where nobody minds", "[ranks][simulation]") {
    Plan plan = ladder_plan({2.0, 2.4, 2.8, 3.2});
    REQUIRE(settled(plan).empty());
    const Method& ranking = **methods::find("ranking");
    int claimed = 0;
    for (std::uint64_t seed = 0; seed < 200; ++seed) claimed += ranking.claims_difference(ranking.verdict(ranking, evening(plan, 2, 0, 100 + seed), plan.rounds[0], plan));
    CHECK(claimed <= 19);
}

// Three pieces of each recipe, one of them liked in general and two not, or the other way: log odds of 1 with a normal scatter. Nobody minds salt. 100 evenings: at alpha .05 at most
// 5 + 3 standard errors = 11 claim a level with pieces counted as a sample of many, far more if nobody knew of them.
TEST_CASE("a ladder in a tasting: pieces that differ are not taken for levels", "[ranks][simulation]") {
    Plan plan = ladder_plan({2.0, 2.4, 2.8});
    plan.tasters = 60;
    REQUIRE(settled(plan).empty());
    const Method& ranking = **methods::find("ranking");
    int claimed = 0, unknown = 0, said = 0;
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        core::PhiloxStream chance(seed, 61);
        std::vector<double> own(12);
        for (double& piece : own) piece = stats::normal_quantile(chance.uniform());
        std::vector<Observation> seen;
        for (int taster = 0; taster < plan.tasters; ++taster)
            for (int version = 1; version < 4; ++version) {
                std::vector<std::int32_t> pieces(4, -1);
                pieces[0] = static_cast<std::int32_t>(chance.below(3));
                pieces[static_cast<std::size_t>(version)] = static_cast<std::int32_t>(chance.below(3));
                const double gap = own[static_cast<std::size_t>(pieces[0])] - own[static_cast<std::size_t>(3 * version + pieces[static_cast<std::size_t>(version)])];
                const bool usual = chance.uniform() < 1 / (1 + std::exp(-gap));
                seen.push_back({taster, taster, 0, version - 1, 0, Scored{.values = usual ? std::vector<double>{1, 2} : std::vector<double>{2, 1}, .samples = {0, version}}});
                seen.back().pieces = pieces;
            }
        plan.pieces = 3;
        claimed += ranking.claims_difference(ranking.verdict(ranking, seen, plan.rounds[0], plan));
        const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
        said += std::any_of(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id == "ladder.pieces_hold_back"; });
        plan.pieces = 1;
        unknown += ranking.claims_difference(ranking.verdict(ranking, seen, plan.rounds[0], plan));
    }
    CHECK(claimed <= 11);
    CHECK(unknown > 20);
    CHECK(said > 10);
}

// Each person at one spot: at the lean one most would rather have the usual one, at the fat one most the other. Together none is worse, which holds for neither.
TEST_CASE("a ladder in a tasting: a spot that minds is not averaged away", "[ranks]") {
    Plan plan = ladder_plan({2.4});
    plan.rounds[0].spots = {"lean", "fat"};
    plan.rounds[0].settings.emplace("not_less", 0.3);
    plan.versions.push_back({"v1", ""});
    plan.salt_percent["v1"] = 2.8;
    REQUIRE(settled(plan).empty());
    std::vector<Observation> seen;
    for (int taster = 0; taster < 90; ++taster)
        for (int version = 1; version <= 2; ++version) {
            const int spot = taster % 2, number = taster / 2;
            const bool usual = number < (spot == 0 ? 34 : 6), first = (number + version) % 2 == 0;
            seen.push_back({taster, taster, spot, version - 1, 0,
                            Scored{.values = usual == first ? std::vector<double>{1, 2} : std::vector<double>{2, 1}, .samples = first ? std::vector<int>{0, version} : std::vector<int>{version, 0}}});
        }
    const Method& ranking = **methods::find("ranking");
    const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    CHECK(found.verdict == "no-clear-order");
    CHECK(ranking.verdict(ranking, seen, plan.rounds[0], plan) == "no-clear-order");
    CHECK(found.words.front().id == "ranks.against.turned");
    CHECK(found.words.back().id == "leads.next.turned");
    CHECK(std::none_of(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id.starts_with("ranks.against.margin"); }));
    CHECK(std::count(found.warnings.begin(), found.warnings.end(), "spots_disagree") == 1);
}

// Forty people tasted the highest level before it ran out, sixty the one below. Those votes are about that much salt and stay steps.
TEST_CASE("a ladder in a tasting: a level that ran out stays a step", "[ranks]") {
    const Method& ranking = **methods::find("ranking");
    for (const bool minded : {true, false}) {
        Plan plan = ladder_plan({2.3, 2.6});
        plan.tasters = 60;
        plan.rounds[0].settings.emplace("not_less", 0.3);
        REQUIRE(settled(plan).empty());
        plan.withdrawn = {2};
        std::vector<Observation> seen;
        for (int taster = 0; taster < 60; ++taster)
            for (int version = 1; version <= (taster < 40 ? 2 : 1); ++version) {
                const bool usual = version == 2 ? minded : minded ? taster % 2 == 0 : true, first = (taster / 2 + version) % 2 == 0;
                seen.push_back({taster, taster, 0, version - 1, 0,
                                Scored{.values = usual == first ? std::vector<double>{1, 2} : std::vector<double>{2, 1}, .samples = first ? std::vector<int>{0, version} : std::vector<int>{version, 0}}});
            }
        const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
        const auto steps = std::find_if(found.pooled.lists.begin(), found.pooled.lists.end(), [](const List& list) { return list.key == "steps"; });
        REQUIRE(steps != found.pooled.lists.end());
        REQUIRE(steps->rows.size() == 2);
        CHECK(std::get<bool>(steps->rows[1].back().value));   // ran_out
        CHECK(found.verdict == (minded ? "some-worse" : "no-clear-order"));
        CHECK(found.words.front().id == (minded ? "ladder.rejected.salt" : "ladder.borne.salt"));
        CHECK(std::get<std::string>(found.words.front().args.at(minded ? "level" : "high")) == "2.6");
        CHECK(std::get<std::int64_t>(found.words.front().args.at("n")) == 40);   // who chose at that level
        CHECK(found.words[1].id == k_level_ran_out);   // nothing of what may lead: this is no choice of a recipe
        REQUIRE(found.pooled.level_looks);
        CHECK(!found.pooled.level_looks->steps[0].ran_out);
        CHECK(found.pooled.level_looks->steps[1].ran_out);
    }
}

// None is worse by the line that was fixed: the headline says so, as the verdict does.
TEST_CASE("a ladder in a tasting: the headline says that none is worse", "[ranks]") {
    Plan plan = ladder_plan({2.3, 2.6});
    plan.rounds[0].settings.emplace("not_less", 0.3);
    REQUIRE(settled(plan).empty());
    std::vector<Observation> seen;
    for (int taster = 0; taster < 60; ++taster)
        for (int version = 1; version <= 2; ++version) {
            const bool usual = taster % 2 == 0, first = (taster / 2 + version) % 2 == 0;
            seen.push_back({taster, taster, 0, version - 1, 0,
                            Scored{.values = usual == first ? std::vector<double>{1, 2} : std::vector<double>{2, 1}, .samples = first ? std::vector<int>{0, version} : std::vector<int>{version, 0}}});
        }
    const Method& ranking = **methods::find("ranking");
    const auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    CHECK(found.verdict == "none-worse");
    CHECK(found.words.front().id == "ladder.none_worse.salt");
    plan.versions.push_back({"v2", ""});   // burnt before anybody tasted it: no level of this tasting
    plan.salt_percent["v2"] = 2.9;
    plan.withdrawn = {3};
    const auto without = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    CHECK(without.verdict == "none-worse");
    CHECK(std::get<std::string>(without.words.front().args.at("high")) == "2.6");
    CHECK(without.words[1].id == "ladder.ran_out.never");
    plan.withdrawn = {0};
    CHECK(ranking.analyse(ranking, seen, plan.rounds[0], plan).words[1].id == "ladder.ran_out.usual");
}

TEST_CASE("a ladder in a tasting: what it needs", "[ranks]") {
    Plan lacks = ladder_plan({2.0, 2.4});
    lacks.salt_percent.erase("v1");
    auto faults = settled(lacks);
    REQUIRE(faults.size() == 1);
    CHECK(faults[0].line().find("v1") != std::string::npos);
    Plan twice = ladder_plan({2.4, 2.4});
    CHECK(settled(twice).size() == 1);
    Plan by_spot = ladder_plan({2.0, 2.4});
    by_spot.rounds[0].spots = {"edge", "centre"};
    by_spot.rounds[0].decide_on = DecideOn::any_spot;
    CHECK(settled(by_spot).size() == 1);
    Plan alone = ladder_plan({2.0, 2.4});
    alone.rounds[0].settings.erase("ladder");
    alone.rounds[0].settings.emplace("reject_at", 0.8);
    CHECK(settled(alone).size() == 1);
}
