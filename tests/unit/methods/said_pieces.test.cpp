// Pieces of one recipe differ: words ticked and levels said must not take the pieces for the recipes.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "oddplate/core/philox.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/stats/normal.hpp"

using namespace oddplate;
using namespace oddplate::methods;

namespace {

/// 48 people, three recipes, four pieces each whose salt scatters by `scatter`; recipe 0 is saltier by `more`.
struct MadeUp {
    Plan plan;
    std::vector<Observation> seen;
};

MadeUp evening(const std::string& method, double scatter, double more, std::uint64_t number, bool known) {
    core::PhiloxStream stream(91, number);
    MadeUp made;
    made.plan.tasters = 48;
    made.plan.pieces = known ? 4 : 1;
    made.plan.versions = {{"a", ""}, {"b", ""}, {"c", ""}};
    Round round;
    round.method = method;
    round.spots = {"slice"};
    core::Faults faults;
    const Method& asked = **find(method);
    asked.settle(asked, round, made.plan, "/rounds/0", faults);
    REQUIRE(faults.empty());
    made.plan.rounds = {round};
    double own[12];
    for (double& piece : own) piece = scatter * stats::normal_quantile(stream.uniform());
    for (int taster = 0; taster < 48; ++taster) {
        Observation one{.taster = taster, .ballot = taster, .scored = {.samples = {0, 1, 2}}};
        for (int sample = 0; sample < 3; ++sample) {
            const auto piece = static_cast<int>(stream.below(4));
            one.pieces.push_back(piece);
            const double salt = own[sample * 4 + piece] + (sample == 0 ? more : 0) + stats::normal_quantile(stream.uniform());
            one.scored.values.push_back(5);
            one.scored.levels.push_back(method == "check-all" ? std::vector<double>(6, salt > 0.5 ? 1 : 0) : std::vector<double>{salt > 0.7 ? 1.0 : salt < -0.7 ? -1.0 : 0.0});
        }
        made.seen.push_back(std::move(one));
    }
    return made;
}

int claims(const std::string& method, double scatter, double more, int evenings, bool known) {
    int found = 0;
    const Method& asked = **find(method);
    for (int number = 0; number < evenings; ++number) {
        const MadeUp made = evening(method, scatter, more, static_cast<std::uint64_t>(number), known);
        found += asked.claims_difference(asked.verdict(asked, made.seen, made.plan.rounds[0], made.plan));
    }
    return found;
}

}   // namespace

// 100 seeded evenings each. With .05 at most 5 + 3 standard errors = 11 err; with nobody asking for pieces many more do.
TEST_CASE("recipes that are alike get no words of their own because their pieces differ", "[ticks][simulation]") {
    CHECK(claims("check-all", 0.7, 0, 100, true) <= 11);
    CHECK(claims("check-all", 0.7, 0, 100, false) > 15);
    CHECK(claims("check-all", 0.2, 2, 40, true) > 30);
}

TEST_CASE("recipes that are alike are not just right more or less often because their pieces differ", "[just_right][simulation]") {
    CHECK(claims("just-about-right", 1, 0, 100, true) <= 11);
    CHECK(claims("just-about-right", 0.2, 2, 40, true) > 30);
    int sides = 0, sides_unasked = 0, changes = 0;
    const Method& asked = **find("just-about-right");
    const auto says = [](const RoundFindings& found, std::string_view what) {
        return std::any_of(found.words.begin(), found.words.end(), [&](const core::Sentence& one) { return one.id.find(what) == 0; });
    };
    for (std::uint64_t number = 0; number < 60; ++number) {
        const MadeUp known = evening("just-about-right", 0.7, 0, number, true), unasked = evening("just-about-right", 0.7, 0, number, false);
        const RoundFindings found = asked.analyse(asked, known.seen, known.plan.rounds[0], known.plan);
        sides += says(found, "just_right.side");
        changes += says(found, "just_right.change");
        sides_unasked += says(asked.analyse(asked, unasked.seen, unasked.plan.rounds[0], unasked.plan), "just_right.side");
    }
    CHECK(sides <= 8);     // of 60: 3 and three standard errors
    CHECK(changes <= 8);
    CHECK(sides_unasked > 15);
}

TEST_CASE("what the pieces hold back is said", "[ticks][just_right]") {
    for (const std::string method : {"check-all", "just-about-right"}) {
        int said = 0;
        const Method& asked = **find(method);
        for (std::uint64_t number = 0; number < 20; ++number) {
            const MadeUp made = evening(method, 1.2, 0, number, true);
            const RoundFindings found = asked.analyse(asked, made.seen, made.plan.rounds[0], made.plan);
            said += std::any_of(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id.find("pieces_hold_back") != std::string::npos; });
        }
        CAPTURE(method);
        CHECK(said > 3);
    }
}
