// Too little, just right, too much, where people say unlike things from spot to spot: nobody who answered is left out of what is told.
#include <algorithm>
#include <cmath>
#include <functional>

#include "../../../src/methods/just_right.hpp"
#include "oddplate/core/philox.hpp"
#include "unit/methods/support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

const Method& asked() { return method("just-about-right"); }

/// Everybody's levels at each of the plan's spots; `level(t, spot, version)`.
std::vector<Observation> told(const Plan& plan, int people, const std::function<double(int, int, int)>& level, int versions = 3) {
    std::vector<Observation> seen;
    for (int t = 0; t < people; ++t)
        for (int spot = 0; spot < static_cast<int>(plan.rounds[0].spots.size()); ++spot) {
            Scored scored;
            for (int v = 0; v < versions; ++v) {
                scored.values.push_back(6);
                scored.samples.push_back(v);
                scored.levels.push_back({level(t, spot, v)});
            }
            seen.push_back({.taster = t, .ballot = t, .spot = spot, .order = 0, .scored = std::move(scored)});
        }
    return seen;
}

Plan plan_of_three(std::vector<std::string> spots) {
    Plan plan = plan_of("just-about-right", std::move(spots), 40, R"({"attributes":"salt"})");
    plan.versions.push_back({.id = "old"});
    return plan;
}

const std::vector<std::vector<Field>>& rows_of(const Findings& findings, std::string_view key) {
    const auto at = std::find_if(findings.lists.begin(), findings.lists.end(), [&](const List& one) { return one.key == key; });
    REQUIRE(at != findings.lists.end());
    return at->rows;
}

double real(const std::vector<Field>& row, std::string_view key) {
    const auto at = std::find_if(row.begin(), row.end(), [&](const Field& one) { return one.key == key; });
    INFO(key);
    REQUIRE(at != row.end());
    if (const auto* whole = std::get_if<std::int64_t>(&at->value)) return static_cast<double>(*whole);
    return std::get<double>(at->value);
}

bool says(const RoundFindings& found, std::string_view id) {
    return std::any_of(found.words.begin(), found.words.end(), [&](const core::Sentence& one) { return one.id == id; });
}

/// How often a 95 % interval of a share of .75 holds it, of `people` with two trays each. With the chance `same` the second answer is the first one again.
double covered(int people, double same, int panels) {
    core::PhiloxStream stream(20260101, static_cast<std::uint64_t>(people) * 2 + (same > 0 ? 1 : 0));
    int held = 0;
    for (int panel = 0; panel < panels; ++panel) {
        just_right::Opinions opinions{.samples = {"a"}, .tasters = std::vector<std::string>(static_cast<std::size_t>(people), "t"), .attributes = {"salt"}, .rows = {}};
        for (int t = 0; t < people; ++t) {
            const auto level = [&] { return stream.uniform() < 0.75 ? 0.0 : stream.uniform() < 0.5 ? -1.0 : 1.0; };
            const double first = level();
            const bool again = stream.uniform() < same;
            opinions.rows.push_back({t, 0, 0, first, {}, 0});
            opinions.rows.push_back({t, 0, 0, again ? first : level(), {}, 1});
        }
        const auto spread = just_right::weigh_levels({}, opinions).spreads.at(0);
        held += spread.interval.lower <= 0.75 && 0.75 <= spread.interval.upper ? 1 : 0;
    }
    return static_cast<double>(held) / panels;
}

}   // namespace

// new is right at the edge and too much at the centre for everybody: half of its answers, where current has all of them.
TEST_CASE("a recipe that is just right at one spot alone isn't in front of the whole cut", "[just-right]") {
    const Plan plan = plan_of_three({"edge", "centre"});
    const auto seen = told(plan, 40, [](int, int spot, int v) { return v == 0 ? 0.0 : v == 2 ? 1.0 : spot; });
    const RoundFindings found = asked().analyse(asked(), seen, plan.rounds[0], plan);
    CHECK(found.verdict == "one-leads");
    CHECK(found.pooled.verdict == "one-leads");
    CHECK(std::get<std::string>(found.words[0].args.at("front")) == "current");
    const auto& row = rows_of(found.pooled, "distribution").at(1);
    CHECK(real(row, "people") == 40);
    CHECK(real(row, "answers") == 80);
    CHECK(real(row, "just_right") == 40);
    CHECK(real(row, "too_much") == 40);
    CHECK(real(row, "share_just_right") == Approx(0.5));
    CHECK(real(rows_of(found.pooled, "changes").at(0), "p_value_just_right") == Approx(2 * std::pow(0.5, 40)));   // everybody's net is one for current
    CHECK(real(rows_of(found.pooled, "changes").at(0), "settled") == 0);
    CHECK(number(found.pooled, "tasters") == 40);
    CHECK(number(found.pooled, "answers") == 240);   // 3 recipes, 2 trays
    CHECK(says(found, "just_right.torn.beside"));
    CHECK_FALSE(says(found, "just_right.no_change"));
}

// Four of 40 have too much at both spots, the rest too little at one and too much at the other: new was never just right.
TEST_CASE("a recipe that was never just right isn't in front", "[just-right]") {
    const Plan plan = plan_of_three({"edge", "centre"});
    const auto seen = told(plan, 40, [](int t, int spot, int v) { return v == 0 ? 0.0 : v == 2 || t < 4 ? 1.0 : spot == 0 ? 1.0 : -1.0; });
    const RoundFindings found = asked().analyse(asked(), seen, plan.rounds[0], plan);
    CHECK(found.verdict == "one-leads");
    CHECK(std::get<std::string>(found.words[0].args.at("front")) == "current");
    const auto spread = std::find_if(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id == "just_right.spread.several" && std::get<std::string>(one.args.at("sample")) == "new"; });
    REQUIRE(spread != found.words.end());
    CHECK(std::get<std::int64_t>(spread->args.at("right")) == 0);
    CHECK(std::get<std::int64_t>(spread->args.at("n")) == 80);
    const auto torn = std::find_if(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id == "just_right.torn.apart"; });
    REQUIRE(torn != found.words.end());
    CHECK(std::get<std::int64_t>(torn->args.at("n")) == 36);
}

TEST_CASE("whom nobody tasted is in front nowhere", "[just-right]") {
    const Plan plan = plan_of_three({""});
    const auto seen = told(plan, 40, [](int, int, int v) { return v == 0 ? 0.0 : 1.0; }, 2);
    const RoundFindings found = asked().analyse(asked(), seen, plan.rounds[0], plan);
    CHECK(found.verdict == "one-leads");
    CHECK(std::get<std::string>(found.words[0].args.at("front")) == "current");
    const auto alike = told(plan, 40, [](int t, int, int) { return t % 2; }, 2);
    CHECK(asked().verdict(asked(), alike, plan.rounds[0], plan) == "no-clear-order");
}

TEST_CASE("of a recipe that ran out it is not said that none is behind another", "[just-right]") {
    for (const bool any : {false, true}) {
        Plan plan = plan_of_three(any ? std::vector<std::string>{"edge", "centre"} : std::vector<std::string>{""});
        plan.rounds[0].decide_on = any ? DecideOn::any_spot : DecideOn::overall;
        plan.withdrawn = {2};
        const auto seen = told(plan, 40, [](int, int, int v) { return v == 2 ? 1.0 : 0.0; });
        const RoundFindings found = asked().analyse(asked(), seen, plan.rounds[0], plan);
        CHECK(found.verdict == "no-clear-order");
        CHECK(says(found, any ? "just_right.no-clear-order.any.lasted" : "just_right.no-clear-order.lasted"));
    }
}

TEST_CASE("who leans to one side at one spot and is content at the other counts on that side", "[just-right]") {
    const Plan plan = plan_of("just-about-right", {"edge", "centre"}, 20, R"({"attributes":"salt"})");
    const auto seen = told(plan, 20, [](int t, int spot, int v) { return v == 1 && spot == 0 ? (t < 16 ? -1.0 : 1.0) : 0.0; }, 2);
    const RoundFindings found = asked().analyse(asked(), seen, plan.rounds[0], plan);
    const auto& row = rows_of(found.pooled, "distribution").at(1);
    CHECK(real(row, "p_value_side") == Approx(0.0118179321289));   // R 4.2.2: binom.test(16, 20)$p.value
    const auto side = std::find_if(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id == "just_right.side.too-little.several"; });
    REQUIRE(side != found.words.end());
    CHECK(std::get<std::int64_t>(side->args.at("little")) == 16);
    CHECK(std::get<std::int64_t>(side->args.at("n")) == 20);
}

TEST_CASE("with one tray a person the interval of the share is Clopper and Pearson's", "[just-right]") {
    const Plan plan = plan_of("just-about-right", {""}, 40, R"({"attributes":"salt"})");
    const auto seen = told(plan, 40, [](int t, int, int) { return t < 30 ? 0.0 : 1.0; }, 2);
    const RoundFindings found = asked().analyse(asked(), seen, plan.rounds[0], plan);
    const auto exact = stats::clopper_pearson(30, 40, 0.95);
    CHECK(real(rows_of(found.pooled, "distribution").at(0), "lower") == exact.lower);
    CHECK(real(rows_of(found.pooled, "distribution").at(0), "upper") == exact.upper);
}

TEST_CASE("limits of the share hold it, whether people agree with themselves or not", "[just-right][simulation]") {
    for (const int people : {16, 60})
        for (const double same : {0.0, 0.6}) {
            const double share = covered(people, same, 4000);
            INFO(people << " people, " << same << ": " << share);
            CHECK(share >= 0.94);
        }
}

// Salt is too much for 38 of 60 and costs a point, smoke too little for all and costs nothing that can be seen: the surest side is not what to change first.
TEST_CASE("what to change first is what is shown to cost liking, in what is in front", "[just-right]") {
    Plan plan = plan_of("just-about-right", {""}, 60, R"({"attributes":"salt, smoke"})");
    const auto evening = [](bool new_is_right) {
        std::vector<Observation> seen;
        for (int t = 0; t < 60; ++t) {
            Scored scored;
            for (int v = 0; v < 2; ++v) {
                const bool right = new_is_right && v == 1, salty = !right && t % 8 < 5;
                scored.values.push_back(right ? 7 : (salty ? 4.0 : 7.0) + t % 2);
                scored.samples.push_back(v);
                scored.levels.push_back({salty ? 1.0 : 0.0, right || t % 30 == 0 ? 0.0 : -1.0});
            }
            seen.push_back({.taster = t, .ballot = t, .order = t % 2, .scored = std::move(scored)});
        }
        return seen;
    };
    const auto first = [](const RoundFindings& found, std::string_view id) {
        const auto at = std::find_if(found.words.begin(), found.words.end(), [&](const core::Sentence& one) { return one.id == id; });
        return at == found.words.end() || !at->args.contains("attribute") ? std::string() : std::get<std::string>(at->args.at("attribute"));
    };
    const RoundFindings alike = asked().analyse(asked(), evening(false), plan.rounds[0], plan);
    REQUIRE(alike.verdict == "no-clear-order");
    CHECK(first(alike, "just_right.next.too-much") == "salt");
    CHECK_FALSE(says(alike, "just_right.next.too-little"));
    // The new one is right in everything and leads: what the old one has too much of is not what to change first.
    const RoundFindings ahead = asked().analyse(asked(), evening(true), plan.rounds[0], plan);
    REQUIRE(ahead.verdict == "one-leads");
    CHECK(says(ahead, "just_right.next.front_is_right"));
    CHECK_FALSE(says(ahead, "just_right.next.too-much"));
    CHECK_FALSE(says(ahead, "just_right.next.too-little"));
}

// Half of the house wants more salt and half less: on average it is just right, and right for hardly anybody.
TEST_CASE("a house that is split over salt is told so", "[just-right]") {
    const Plan plan = plan_of_three({""});
    const auto of = [&](int little) {
        return asked().analyse(asked(), told(plan, 60, [=](int t, int, int version) { return version != 1 ? 0.0 : t < little ? -1.0 : t < 58 ? 1.0 : 0.0; }), plan.rounds[0], plan);
    };
    const RoundFindings split = of(29);
    const auto at = std::find_if(split.words.begin(), split.words.end(), [](const core::Sentence& one) { return one.id == "just_right.two_ways"; });
    REQUIRE(at != split.words.end());
    CHECK(std::get<std::int64_t>(at->args.at("little")) == 29);
    CHECK(std::get<std::int64_t>(at->args.at("much")) == 29);
    CHECK_FALSE(says(of(11), "just_right.two_ways"));   // eleven are too few to speak of
    const RoundFindings leaning = of(14);               // 44 the other way: that side is shown, so an average says something
    CHECK(says(leaning, "just_right.side.too-much"));
    CHECK(says(leaning, "just_right.two_ways_leaning"));
    CHECK_FALSE(says(leaning, "just_right.two_ways"));
}

// Too much for 24 of 30 at the edge, too little for 11 at the centre: too much on the whole, and less of it would be wrong at the centre.
TEST_CASE("a side that turns with the spot is not what to change first", "[just-right]") {
    const Plan plan = plan_of_three({"edge", "centre"});
    const auto seen = told(plan, 30, [](int t, int spot, int) { return spot == 0 && t < 24 ? 1.0 : spot == 1 && t >= 19 ? -1.0 : 0.0; });
    const RoundFindings found = asked().analyse(asked(), seen, plan.rounds[0], plan);
    REQUIRE(says(found, "just_right.side.too-much.several"));
    REQUIRE(says(found, "just_right.side_turns"));
    CHECK_FALSE(says(found, "just_right.next.too-much"));
    CHECK_FALSE(says(found, "just_right.next.front_is_right"));
    CHECK(says(found, "just_right.next.no-clear-order"));
}

// At the edge current is right for all and the others for few; over both spots nothing parts the three. What is behind at the edge is not what to change first.
TEST_CASE("by any spot it is what leads there that is changed first", "[just-right]") {
    Plan plan = plan_of_three({"edge", "centre"});
    plan.rounds[0].decide_on = DecideOn::any_spot;
    const auto seen = told(plan, 30, [](int t, int spot, int v) {
        if (v == 0) return spot == 1 && t < 14 ? 1.0 : 0.0;
        return spot == 0 ? ((v == 1 ? t < 14 : t >= 16) ? 1.0 : 0.0) : (t >= 25 ? 1.0 : 0.0);
    });
    const RoundFindings found = asked().analyse(asked(), seen, plan.rounds[0], plan);
    REQUIRE(found.verdict == "one-leads");
    REQUIRE(found.pooled.verdict == "no-clear-order");
    const auto at = std::find_if(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id == "just_right.next.too-much"; });
    REQUIRE(at != found.words.end());
    CHECK(std::get<std::string>(at->args.at("sample")) == "current");
}

// Twenty say too much at all four spots, 22 say too little at one: more people on the one side, far more answers on the other.
TEST_CASE("the counts beside a side are those that are tested", "[just-right]") {
    const Plan plan = plan_of("just-about-right", {"edge", "centre", "top", "base"}, 42, R"({"attributes":"salt"})");
    const auto seen = told(plan, 42, [](int t, int spot, int v) { return v == 0 ? 0.0 : t < 20 ? 1.0 : spot == 0 ? -1.0 : 0.0; }, 2);
    const RoundFindings found = asked().analyse(asked(), seen, plan.rounds[0], plan);
    const auto side = std::find_if(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id == "just_right.side.too-much.several"; });
    REQUIRE(side != found.words.end());
    CHECK(std::get<std::int64_t>(side->args.at("much")) == 80);
    CHECK(std::get<std::int64_t>(side->args.at("little")) == 22);
}
