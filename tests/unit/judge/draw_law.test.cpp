// The p over the draws that could have been: against full enumeration of small draws, and its level with a habit of place.

#include <algorithm>
#include <cmath>

#include "oddplate/core/philox.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/stats/binomial.hpp"
#include "unit/judge/cases.hpp"

using namespace oddplate;
using namespace oddplate::judge;
using namespace oddplate::judge::testing;

namespace {

/// A drawn tasting of triangles, the places picked by `pick(ballot, set)`.
template <class Pick>
Case picked(int tasters, std::vector<std::string> spots, std::string_view seed, Pick pick) {
    Case made = case_of(tasters, {round_of("triangle", std::move(spots))});
    auto drawn = draw::draw(made.plan, core::sha256(std::string(seed)));
    REQUIRE(drawn.ok());
    made.room = drawn->room;
    made.key = drawn->key;
    made.answers.clear();
    for (int ballot = 0; ballot < tasters; ++ballot)
        for (std::size_t set = 0; set < made.room.ballots[static_cast<std::size_t>(ballot)].sets.size(); ++set)
            answer(made, ballot, static_cast<int>(set),
                   made.room.ballots[static_cast<std::size_t>(ballot)].sets[set].codes[static_cast<std::size_t>(pick(ballot, set))]);
    return made;
}

double p_draw(const Case& made) {
    return number(judged(made).rounds[0].findings.pooled, "p_value_draw");
}

}   // namespace

TEST_CASE("p over draws: who always rings the left one is surely right twice in six, and no p can say more", "[judge]") {
    CHECK(p_draw(picked(24, {""}, "a", [](int, std::size_t) { return 0; })) == Approx(1).epsilon(1e-12));
    CHECK(p_draw(picked(24, {"edge", "centre"}, "b", [](int, std::size_t) { return 0; })) > 0.9);
}

TEST_CASE("p over draws: tasters without habits have nearly the binomial tail", "[judge]") {
    core::PhiloxStream chance(11, 0);
    for (int trial = 0; trial < 10; ++trial) {
        const Case made = picked(24, {""}, std::to_string(trial), [&](int, std::size_t) { return static_cast<int>(chance.below(3)); });
        const auto findings = judged(made).rounds[0].findings.pooled;
        CHECK(std::abs(number(findings, "p_value_draw") - number(findings, "p_value")) < 0.08);
    }
}

TEST_CASE("p over draws: the level holds for a panel with any habit of place", "[judge]") {
    // 400 draws of 18 tasters who ring the left one 4 times in 5 and guess else; at .05 there may be 20 alarms, 3 sigma = 13 more.
    core::PhiloxStream chance(12, 0);
    int alarms = 0;
    for (int trial = 0; trial < 400; ++trial)
        alarms += p_draw(picked(18, {""}, "habit" + std::to_string(trial),
                                [&](int, std::size_t) { return chance.below(5) > 0 ? 0 : static_cast<int>(chance.below(3)); })) <= 0.05;
    CHECK(alarms <= 33);
}

TEST_CASE("p over draws: a panel that can tell is seen, at one spot and at several", "[judge]") {
    Case one = picked(24, {""}, "c", [](int, std::size_t) { return 0; });
    one.answers.clear();
    for (int ballot = 0; ballot < 24; ++ballot) answer_right(one, ballot, 0, ballot < 18);
    CHECK(p_draw(one) < 0.001);
    Case two = picked(24, {"edge", "centre"}, "d", [](int, std::size_t) { return 0; });
    two.answers.clear();
    for (int ballot = 0; ballot < 24; ++ballot)
        for (int set = 0; set < 2; ++set) answer_right(two, ballot, set, ballot < 18);
    CHECK(p_draw(two) == Approx(0.001).epsilon(1e-12));   // none of 999 fresh draws does as well
}

TEST_CASE("p over draws: nothing answered, nothing said", "[judge]") {
    Case made = picked(12, {""}, "e", [](int, std::size_t) { return 0; });
    made.answers.clear();
    CHECK_FALSE(judged(made).rounds[0].findings.pooled.number("p_value_draw"));
}

TEST_CASE("draw: a tasting that shows few enough notice is not held against the draw by the wrong tail", "[judge]") {
    methods::Round round = round_of("triangle");
    round.settings["aim"] = std::string("similarity");
    round.settings["detect_pd"] = 0.4;
    judge::Case made = case_of(48, {round});
    for (int ballot = 0; ballot < 48; ++ballot) answer_right(made, ballot, 0, ballot % 4 == 0);
    const judge::Judged found = judged(made);
    CHECK(found.verdict == "close-enough");
    // It stands beside the p of a difference, not beside that of similarity.
    const auto& fields = found.rounds[0].findings.pooled.fields;
    const auto draw_p = std::find_if(fields.begin(), fields.end(), [](const methods::Field& field) { return field.key == "p_value_draw"; });
    REQUIRE(draw_p != fields.end());
    CHECK((draw_p - 1)->key == "p_value_different");
    CHECK_FALSE(found.rounds[0].findings.pooled.find("p_value_draw_error"));   // exact
    CHECK(std::find(found.warnings.begin(), found.warnings.end(), "draw_disagrees") == found.warnings.end());
}

TEST_CASE("draw: one too coarse to reach alpha contradicts nothing", "[judge]") {
    judge::Case made = case_of(8, {round_of("duo-trio", {"a", "b"})});
    for (int ballot = 0; ballot < 8; ++ballot)
        for (int set = 0; set < 2; ++set) answer_right(made, ballot, set, true);
    const judge::Judged found = judged(made);
    CHECK(number(found.rounds[0].findings.pooled, "p_value") < 1e-4);
    // Two trays a taster: counted in fresh draws, with its error.
    const double p = number(found.rounds[0].findings.pooled, "p_value_draw"), draws = number(found.rounds[0].findings.pooled, "p_value_draw_draws");
    const double error = number(found.rounds[0].findings.pooled, "p_value_draw_error");
    CHECK((error == Approx(std::sqrt(p * (1 - p) / draws)) || error == Approx(p * std::sqrt((1 - p) / 50))));
    CHECK(std::find(found.warnings.begin(), found.warnings.end(), "draw_disagrees") == found.warnings.end());
}
