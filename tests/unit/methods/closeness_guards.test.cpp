// What keeps closeness from being said though a count would pass: a spot without answers, a habit of place, orders served unequally.
#include <cmath>

#include "unit/methods/judged_round.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

TEST_CASE("closeness over all spots is withheld where one of them has no answers", "[round]") {
    const Plan plan = with_rule(plan_of("triangle", {"edge", "centre"}, 100, R"({"detect_pd":0.4,"aim":"similarity"})"), DecideOn::overall);
    Right right = first_right(100, {34, 0});
    for (auto& taster : right) taster[1] = -1;
    const RoundFindings found = judged("triangle", plan, right);
    CHECK(number(found.pooled, "p_value") < 0.05);
    CHECK(found.verdict == "unsettled");
    CHECK(found.pooled.verdict == "unsettled");
    CHECK(found.spots[0].findings.verdict == "close-enough");   // what that spot says of itself
    const std::string words = said(method("triangle"), found.words);
    CHECK(words.find("one spot has none, so that is not said of the whole") != std::string::npos);
    CHECK(words.find("taste again with new codes at every spot") != std::string::npos);
}

namespace {

/// Everybody takes the place that is his by habit, `first` of them the first one; orders in turn.
std::vector<Observation> by_habit(const Method& asked, const Plan& plan, int tasters, int first) {
    const auto orders = asked.orders(plan.rounds[0], 2);
    std::vector<Observation> seen;
    for (int i = 0; i < tasters; ++i) {
        Observation one{.taster = i, .ballot = i, .spot = 0, .order = i % static_cast<int>(orders.size()), .place = 0, .scored = {}};
        std::vector<std::string> codes;
        for (int place = 0; place < asked.portions; ++place) codes.push_back(std::to_string(417 + 100 * place));
        const SetKey key{codes, orders[static_cast<std::size_t>(one.order)].versions, -1};
        one.scored = *asked.score(key, Codes{{codes[i < first ? 0 : 1]}}, plan.rounds[0], plan);
        seen.push_back(one);
    }
    return seen;
}

}   // namespace

TEST_CASE("who picks by place shows no closeness", "[round]") {
    for (const char* id : {"two-afc", "triangle"}) {
        const bool pair = std::string_view(id) == "two-afc";
        const int tasters = pair ? 30 : 90;
        const Plan plan = plan_of(id, {""}, tasters, pair ? R"({"detect_d":1.2,"aim":"similarity","attribute":"saltier","stronger":"new"})" : R"({"detect_d":1.5,"aim":"similarity"})");
        INFO(id);
        const auto all = by_habit(method(id), plan, tasters, tasters);
        const RoundFindings found = method(id).analyse(method(id), all, plan.rounds[0], plan);
        CHECK(number(found.pooled, "p_value") < 0.05);   // the count alone would pass
        CHECK(found.verdict == "unsettled");
        CHECK(method(id).verdict(method(id), all, plan.rounds[0], plan) == "unsettled");
        CHECK(std::count(found.warnings.begin(), found.warnings.end(), "habit_hides") == 1);
        const std::string words = said(method(id), found.words);
        CHECK(words.find("who picks by place tells nothing about the taste") != std::string::npos);
        CHECK(words.find("find out first why one place was taken") != std::string::npos);
        if (!pair) continue;
        const auto even = by_habit(method(id), plan, tasters, tasters / 2);   // half of them the one place, half the other
        CHECK(method(id).analyse(method(id), even, plan.rounds[0], plan).verdict == "close-enough");
    }
}

TEST_CASE("orders served unequally: who can tell given the orders is not called few", "[round]") {
    // The stronger one first for 40 tasters, of whom 21 take the first; second for 20, of whom 5 take the first: 21 + 15 = 36 right of 60, which
    // guessing does with a chance of .078; given the orders the chance is .039 (Fisher's exact test of these four, in exact fractions).
    const Plan plan = plan_of("two-afc", {""}, 60, R"({"same_below_d":3,"attribute":"saltier","stronger":"new","aim":"similarity"})");
    const auto orders = method("two-afc").orders(plan.rounds[0], 2);
    std::vector<Observation> seen;
    for (int i = 0; i < 60; ++i) {
        const bool new_first = i < 40;
        const int order = (orders[0].versions[0] == 1) == new_first ? 0 : 1;
        const bool takes_first = new_first ? i < 21 : i < 45;
        Observation one{.taster = i, .ballot = i, .spot = 0, .order = order, .place = 0, .scored = {}};
        one.scored.picked = takes_first ? 0 : 1;
        one.scored.value = takes_first == new_first ? 1 : 0;
        seen.push_back(one);
    }
    const RoundFindings found = method("two-afc").analyse(method("two-afc"), seen, plan.rounds[0], plan);
    CHECK(number(found.pooled, "correct") == 36);
    CHECK(number(found.pooled, "p_value_order") == Approx(0.0386150005).epsilon(1e-8));
    CHECK(number(found.pooled, "p_value_different") == Approx(0.0775009520).epsilon(1e-8));
    CHECK(number(found.pooled, "p_value") < 0.05);
    CHECK(found.verdict == "unsettled");
    const std::string words = said(method("two-afc"), found.words);
    INFO(words);
    CHECK(words.find("allowing for that some can tell (the chance by luck is 3.9 in 100): few enough is not said") != std::string::npos);
}

TEST_CASE("orders served unequally: under a closeness the chance of guessing is named as such", "[round][words]") {
    Plan plan = plan_of("two-afc", {""}, 60, R"({"same_below_d":2.5,"attribute":"saltier","stronger":"new","aim":"similarity"})");
    std::vector<Observation> seen;
    const auto orders = method("two-afc").orders(plan.rounds[0], 2);
    for (int i = 0; i < 60; ++i) {
        const bool new_first = i < 36;
        const int order = (orders[0].versions[0] == 1) == new_first ? 0 : 1;
        const bool takes_first = new_first ? i < 25 : i < 48;   // 25 of 36 and 12 of 24 take the first: 25 + 12 = 37 right
        Observation one{.taster = i, .ballot = i, .spot = 0, .order = order, .place = 0, .scored = {}};
        one.scored.picked = takes_first ? 0 : 1;
        one.scored.value = takes_first == new_first ? 1 : 0;
        seen.push_back(one);
    }
    const RoundFindings found = method("two-afc").analyse(method("two-afc"), seen, plan.rounds[0], plan);
    REQUIRE(number(found.pooled, "p_value_different") <= 0.05);
    REQUIRE(number(found.pooled, "p_value_order") > 0.05);
    REQUIRE(found.verdict == "close-enough");
    const std::string words = said(method("two-afc"), found.words);
    CHECK(words.find("That some can tell is not shown either: guessing gives 37 or more with a chance of") != std::string::npos);
    CHECK(words.find("The orders were not served equally often; allowing for that, the chance is") == std::string::npos);
}

TEST_CASE("two portions: how many can tell is said for both ways round", "[round][words]") {
    const Plan plan = plan_of("two-afc", {""}, 60, R"({"same_below_d":1,"attribute":"saltier","stronger":"new","aim":"similarity"})");
    const RoundFindings found = judged("two-afc", plan, first_right(60, {26}));
    // 26 of 60, 90 %: from .3244 (Clopper & Pearson), which is 1 - 2 x .3244 = 35 in 100 the other way round; up to .5472 is 9 in 100 this way.
    CHECK(number(found.pooled, "proportion_correct.lower") == Approx(0.3244).margin(0.0005));
    const std::string words = said(method("two-afc"), found.words);
    CHECK(words.find("Up to 35 in 100 people can really tell, whichever way round they take it") != std::string::npos);
    const RoundFindings told = judged("two-afc", plan, first_right(60, {42}));
    CHECK(said(method("two-afc"), told.words).find("Between ") != std::string::npos);
}

TEST_CASE("a gap between spots that luck makes every other time is none to speak of", "[round][words]") {
    const Plan plan = plan_of("triangle", {"edge", "centre"}, 24, R"({"detect_pd":0.4})");
    const std::string words = said(method("triangle"), judged("triangle", plan, first_right(24, {13, 13}, 6)).words);
    CHECK(words.find("Between the spots there is no gap to be seen.") != std::string::npos);
    CHECK(words.find("Don't conclude") == std::string::npos);
    const std::string gap = said(method("triangle"), judged("triangle", plan, first_right(24, {13, 9}, 9)).words);
    CHECK(gap.find("Don't conclude that it is only the one spot") != std::string::npos);
}
