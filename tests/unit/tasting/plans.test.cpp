// The ready-made plans keep what they promise: they read, they can be drawn, no mouth gets too much, and each finds what it is
// after at least 80 times in 100. The dry run and the same recipe against itself say what they are instead.
#include "plan_files.hpp"

#include <set>

#include "oddplate/draw/draw.hpp"
#include "oddplate/methods/method.hpp"

using namespace oddplate;
using namespace oddplate::tasting::testing;

namespace {

const std::set<std::string> k_promised{
    "is-it-noticed.json",     "few-enough-notice-less-salt.json", "which-is-liked.json", "which-is-saltier.json",
    "edge-or-whole-cut.json", "same-against-itself.json",         "dry-run-butter.json", "smallest.json",
    "who-can-taste-the-step.json", "two-and-two.json", "which-is-like-the-marked-one.json",
    "is-it-the-usual.json",   "same-or-different.json",            "how-different.json",  "saltiest-of-three.json",
    "two-of-five.json"};
const std::string k_practice = "dry-run-butter.json", k_same = "same-against-itself.json", k_smallest = "smallest.json", k_panel = "who-can-taste-the-step.json";

std::optional<double> chance_of(const methods::Plan& plan, std::size_t round) {
    const auto method = methods::find(plan.rounds[round].method);
    REQUIRE(method);
    return (*method)->outlook(**method, plan.rounds[round], plan).chance;
}

int portions_a_head(const methods::Plan& plan) {
    int portions = 0;
    for (const auto& round : plan.rounds)
        portions += (*methods::find(round.method))->portions * round.spots_each() * round.sets_per_taster;
    return portions;
}

}   // namespace

TEST_CASE("the common questions have their plans", "[plans]") {
    const auto plans = ready_made();
    for (const auto& name : k_promised) {
        INFO(name);
        CHECK(plans.contains(name));
    }
}

TEST_CASE("every ready-made plan reads, comes back as itself and can be drawn", "[plans]") {
    for (const auto& [name, text] : ready_made()) {
        INFO(name);
        const methods::Plan plan = read_ready_made(name);
        const core::Json once = tasting::plan_to_json(plan);
        const auto again = tasting::read_plan(core::to_pretty_text(once), name);
        REQUIRE(again);
        CHECK(core::to_canonical_text(tasting::plan_to_json(*again)) == core::to_canonical_text(once));
        CHECK(draw::draw(plan, core::Bytes32{}).ok());
    }
}

TEST_CASE("every ready-made plan finds what it is after 80 times in 100", "[plans]") {
    for (const auto& [name, text] : ready_made()) {
        if (name == k_practice || name == k_same) continue;
        INFO(name);
        const methods::Plan plan = read_ready_made(name);
        const auto first = chance_of(plan, 0);
        REQUIRE(first);   // the question that decides says what it is after
        for (std::size_t round = 0; round < plan.rounds.size(); ++round) {
            const auto chance = chance_of(plan, round);
            if (chance) CHECK(*chance >= 0.8);
        }
    }
}

TEST_CASE("the chance is not an empty promise: fewer people would not do", "[plans]") {
    methods::Plan plan = read_ready_made("is-it-noticed.json");
    plan.rounds[0].spots = {"edge"};
    plan.tasters =
        25;   // a triangle at 4 in 10: 25, and 24 are not enough (P(X >= 13) of 24 at 0.6 is 0.787, in exact fractions)
    CHECK(*chance_of(plan, 0) >= 0.8);
    plan.tasters = 24;
    CHECK(*chance_of(plan, 0) < 0.8);
    plan.tasters = 8;
    CHECK(*chance_of(plan, 0) < 0.5);
}

TEST_CASE("the two others say what they are", "[plans]") {
    const methods::Plan practice = read_ready_made(k_practice);
    CHECK(practice.title.starts_with("Practice"));
    CHECK(practice.tasters == 4);
    CHECK(*chance_of(practice, 0) < 0.8);   // or it would not be practice
    CHECK_FALSE(practice.same_recipe);
    for (const auto& [name, text] : ready_made()) {
        INFO(name);
        CHECK(read_ready_made(name).same_recipe == (name == k_same));
    }
}

TEST_CASE("no ready-made plan is too much for a mouth, and the kitchen knows what to cut", "[plans]") {
    for (const auto& [name, text] : ready_made()) {
        if (name == k_smallest) continue;   // the contract's: as small as a file can be, not as a meal should be
        INFO(name);
        const methods::Plan plan = read_ready_made(name);
        CHECK(portions_a_head(plan) <= (name == k_panel ? 12 : 6));   // sips of broth, to know a person by
        CHECK(plan.grams.has_value());
        CHECK_FALSE(plan.allergens.empty());
        for (const auto& round : plan.rounds)
            for (const auto& spot : round.spots) CHECK((spot.empty() || plan.spots_at.contains(spot)));
    }
    CHECK(portions_a_head(read_ready_made(k_smallest)) == 8);
}

TEST_CASE("the smallest plan is the one that the command line promises", "[plans]") {
    const core::Json promised = json_of(
        R"({"title":"Less salt in the cure","versions":[{"id":"current","label":"2.4 % cure"},{"id":"new","label":"2.0 % cure"}],
        "tasters":24,"alpha":0.05,"rounds":[{"method":"triangle","spots":["edge","centre"],"aim":"difference","detect_pd":0.4},
        {"method":"paired-preference","spots":["edge"],"no_preference":true}]})");
    CHECK(core::to_canonical_text(json_of(text_of(designs("plans/" + k_smallest)))) == core::to_canonical_text(promised));
}

TEST_CASE("every method names a ready-made plan that asks by it", "[plans]") {
    for (const methods::Method* method : methods::all()) {
        INFO(method->id);
        std::string named;
        for (const auto& phrase : method->phrases)
            if (phrase.id == std::string(method->id) + ".ready") named = phrase.english;
        REQUIRE(named.starts_with("designs/plans/"));
        CHECK(read_ready_made(named.substr(std::string("designs/plans/").size())).rounds[0].method == method->id);
    }
}
