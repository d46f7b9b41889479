// Each recipe against the usual one: whose votes they are, what a rule over spots makes of them, and what the stated line says beside it.
#include <algorithm>

#include <catch2/catch.hpp>

#include "oddplate/methods/method.hpp"
#include "support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using oddplate::methods::testing::method;

namespace {

Plan plan_of(int versions, std::vector<std::string> spots, DecideOn rule, Settings settings) {
    Plan plan;
    for (int i = 0; i < versions; ++i) plan.versions.push_back({std::string(1, static_cast<char>('a' + i)), ""});
    plan.tasters = 48;
    Round round;
    round.method = "ranking";
    round.spots = std::move(spots);
    round.decide_on = rule;
    round.settings = std::move(settings);
    round.settings["against_usual"] = true;
    core::Faults faults;
    method("ranking").settle(method("ranking"), round, plan, "/rounds/0", faults);
    REQUIRE(faults.empty());
    plan.rounds.push_back(round);
    return plan;
}

Observation ordered(int taster, int spot, std::vector<int> samples, std::vector<double> ranks) { return {taster, taster, spot, 0, 0, Scored{.values = std::move(ranks), .samples = std::move(samples)}}; }

/// A whole tray, served in turn in each of the six orders, ranked by `liked` (first one best).
Observation whole(int taster, int spot, const std::vector<int>& liked) {
    const std::vector<std::vector<int>> orders{{0, 1, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}, {0, 2, 1}, {1, 0, 2}};
    std::vector<int> served = orders[static_cast<std::size_t>(taster / 3 % 6)];
    std::vector<double> ranks;
    for (const int sample : served) ranks.push_back(1 + static_cast<double>(std::find(liked.begin(), liked.end(), sample) - liked.begin()));
    return ordered(taster, spot, std::move(served), std::move(ranks));
}

RoundFindings judged(const Plan& plan, const std::vector<Observation>& seen) {
    const Method& ranking = method("ranking");
    auto found = ranking.analyse(ranking, seen, plan.rounds[0], plan);
    CHECK(ranking.verdict(ranking, seen, plan.rounds[0], plan) == found.verdict);
    return found;
}

bool says(const RoundFindings& found, std::string_view id) {
    return std::any_of(found.words.begin(), found.words.end(), [&](const core::Sentence& one) { return one.id == id; });
}

bool warns(const RoundFindings& found) { return std::count(found.warnings.begin(), found.warnings.end(), "spots_disagree") == 1; }

}   // namespace

// Everybody puts b last of three at one spot and first at the other: one tray each way, though two places behind and one before.
TEST_CASE("a person who puts it before the usual one once and after once is no vote", "[ranks]") {
    const Plan plan = plan_of(3, {"edge", "centre"}, DecideOn::overall, {});
    std::vector<Observation> seen;
    for (int taster = 0; taster < 40; ++taster) {
        seen.push_back(whole(taster, 0, {0, 2, 1}));
        seen.push_back(whole(taster, 1, {1, 0, 2}));
    }
    const RoundFindings found = judged(plan, seen);
    CHECK(std::find_if(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id == "ranks.against.worse" && std::get<std::string>(one.args.at("name")) == "b"; }) == found.words.end());
    const auto list = std::find_if(found.pooled.lists.begin(), found.pooled.lists.end(), [](const List& one) { return one.key == "against_usual"; });
    REQUIRE(list != found.pooled.lists.end());
    for (const Field& field : list->rows[0])
        if (field.key == "before_usual" || field.key == "after_usual") CHECK(std::get<std::int64_t>(field.value) == 0);
}

// b is better at the edge and worse at the centre, c the other way round: at every spot one is worse, and never the same one.
TEST_CASE("a rule over spots goes recipe by recipe", "[ranks]") {
    std::vector<Observation> seen;
    for (int taster = 0; taster < 48; ++taster) {
        seen.push_back(whole(taster, 0, {1, 0, 2}));
        seen.push_back(whole(taster, 1, {2, 0, 1}));
    }
    const RoundFindings each = judged(plan_of(3, {"edge", "centre"}, DecideOn::each_spot, {}), seen);
    CHECK(each.verdict == "no-clear-order");
    CHECK(says(each, "ranks.against.apart"));
    CHECK(warns(each));
    CHECK(each.words.back().id == "leads.next.by_spot");
    const RoundFindings any = judged(plan_of(3, {"edge", "centre"}, DecideOn::any_spot, {}), seen);
    CHECK(any.verdict == "some-worse");   // which is what was asked
    CHECK(says(any, "ranks.against.apart"));
    CHECK(warns(any));
    CHECK(any.words.back().id == "leads.next.by_spot");
    // The same one worse at both.
    for (Observation& one : seen) one = whole(one.taster, one.spot, {2, 0, 1});
    const RoundFindings same = judged(plan_of(3, {"edge", "centre"}, DecideOn::each_spot, {}), seen);
    CHECK(same.verdict == "some-worse");
    CHECK(std::get<std::string>(same.words.front().args.at("worse")) == "b");
    CHECK_FALSE(warns(same));
}

// 20 to 40: P(X >= 20) at .2, n = 60, is .0102 (R: pbinom(19, 60, .2, lower.tail = FALSE)), and the sign test's p is .0135: held to the line, and worse.
TEST_CASE("by your line none is worse is not said beside one that is", "[ranks]") {
    std::vector<Observation> seen;
    for (int taster = 0; taster < 60; ++taster) seen.push_back(whole(taster, 0, taster % 3 == 0 ? std::vector<int>{1, 2, 0} : std::vector<int>{0, 2, 1}));
    const RoundFindings found = judged(plan_of(3, {"middle"}, DecideOn::overall, {{"not_less", 0.2}}), seen);
    CHECK(found.verdict == "some-worse");
    CHECK(says(found, "ranks.against.margin_yet"));
    CHECK_FALSE(says(found, "ranks.against.margin_held"));
    // Everybody's b is worse at the edge, and as good at the centre: over all spots it would keep to the line.
    seen.clear();
    for (int taster = 0; taster < 48; ++taster) {
        seen.push_back(whole(taster, 0, taster % 4 == 0 ? std::vector<int>{1, 2, 0} : std::vector<int>{2, 0, 1}));
        seen.push_back(whole(taster + 48, 1, taster % 4 != 0 ? std::vector<int>{1, 2, 0} : std::vector<int>{2, 0, 1}));
    }
    const RoundFindings any = judged(plan_of(3, {"edge", "centre"}, DecideOn::any_spot, {{"not_less", 0.3}}), seen);
    CHECK(any.verdict == "some-worse");
    CHECK_FALSE(says(any, "ranks.against.margin_held"));
    CHECK_FALSE(says(any, "ranks.against.margin_held.spots"));
}

// Everybody takes what comes first. Both others come first on 20 of their 26 trays: 20 to 6, and nothing but the order.
TEST_CASE("what the order of serving explains is not called better", "[ranks]") {
    const Plan plan = plan_of(3, {"middle"}, DecideOn::overall, {{"tray_size", std::int64_t{2}}});
    std::vector<Observation> seen;
    for (int taster = 0; taster < 52; ++taster) {
        const int other = 1 + taster % 2;
        seen.push_back(ordered(taster, 0, taster / 2 < 20 ? std::vector<int>{other, 0} : std::vector<int>{0, other}, {1, 2}));
    }
    const RoundFindings found = judged(plan, seen);
    CHECK(found.verdict == "no-clear-order");
    CHECK(says(found, "ranks.against.order"));
}

// Everybody has b first at both spots, c last at the edge and first but for b at the centre.
TEST_CASE("none is shown to be worse is not said over a spot that shows one to be", "[ranks]") {
    std::vector<Observation> seen;
    for (int taster = 0; taster < 36; ++taster) {
        seen.push_back(whole(taster, 0, {1, 0, 2}));
        seen.push_back(whole(taster, 1, {1, 2, 0}));
    }
    const RoundFindings found = judged(plan_of(3, {"edge", "centre"}, DecideOn::overall, {}), seen);
    CHECK(found.verdict == "no-clear-order");
    CHECK(found.words.front().id == "ranks.against.turned");
    CHECK(std::get<std::string>(found.words.front().args.at("spot")) == "edge");
    CHECK(says(found, "ranks.against.also_better"));
    CHECK(says(found, "ranks.against.apart"));
    CHECK(warns(found));
    CHECK(found.words.back().id == "leads.next.turned");
    // Their trays are two: who put it before once and after once is not told as nobody.
    const auto c = std::find_if(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id == "ranks.against.open.several"; });
    REQUIRE(c != found.words.end());
    CHECK(std::get<std::int64_t>(c->args.at("j")) == 36);
}

// 36 people have c after the usual one at the edge, 28 of them before it at the centre: over all 0 to 8, p .0078, though it is better at the centre.
TEST_CASE("worse over all spots and better at one is told to turn on the spot", "[ranks]") {
    std::vector<Observation> seen;
    for (int taster = 0; taster < 36; ++taster) {
        seen.push_back(whole(taster, 0, taster % 2 == 0 ? std::vector<int>{1, 0, 2} : std::vector<int>{0, 1, 2}));
        seen.push_back(whole(taster, 1, taster < 28 ? std::vector<int>{2, taster % 2, 1 - taster % 2} : std::vector<int>{taster % 2, 1 - taster % 2, 2}));
    }
    const RoundFindings found = judged(plan_of(3, {"edge", "centre"}, DecideOn::overall, {}), seen);
    CHECK(found.verdict == "some-worse");
    CHECK(says(found, "ranks.against.apart"));
    CHECK(warns(found));
    CHECK(found.words.back().id == "leads.next.by_spot");
}
