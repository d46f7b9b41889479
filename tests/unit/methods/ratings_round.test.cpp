// Ratings in a tasting: pieces, spots, several recipes.
#include <cmath>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"
#include "unit/methods/support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

struct Truth {
    std::vector<double> means;        ///< by version
    double taster{1}, piece{0};       ///< standard deviations
    std::vector<double> at_spot{0};   ///< added to the last version there
};

/// A plan for these versions, whole pieces of each.
Plan plan_for(std::size_t versions, std::vector<std::string> spots, int tasters, int pieces, std::string_view settings = "{}") {
    Plan plan = plan_of("rating", std::move(spots), tasters, settings);
    for (std::size_t v = 2; v < versions; ++v) plan.versions.push_back({"v" + std::to_string(v), ""});
    plan.pieces = pieces;
    plan.rounds[0].settings.erase("tray_size");
    core::Faults faults;
    method("rating").settle(method("rating"), plan.rounds[0], plan, "/rounds/0", faults);
    REQUIRE(faults.empty());
    return plan;
}

std::vector<Observation> evening(const Plan& plan, const Truth& truth, std::uint64_t seed) {
    core::PhiloxStream chance(seed, 1);
    const auto normal = [&] { return stats::normal_quantile(chance.uniform()); };
    const auto versions = plan.versions.size();
    std::vector<double> pieces;
    for (std::size_t i = 0; i < versions * static_cast<std::size_t>(plan.pieces); ++i) pieces.push_back(truth.piece * normal());
    const auto orders = method("rating").orders(plan.rounds[0], static_cast<int>(versions));
    std::vector<Observation> seen;
    for (int t = 0; t < plan.tasters; ++t) {
        const double level = truth.taster * normal();
        for (std::size_t spot = 0; spot < plan.rounds[0].spots.size(); ++spot) {
            Observation one{.taster = t, .ballot = t, .spot = static_cast<std::int32_t>(spot), .order = static_cast<std::int32_t>((static_cast<std::size_t>(t) + spot) % orders.size()), .scored = {}};
            one.pieces.assign(versions, -1);
            for (const int version : orders[static_cast<std::size_t>(one.order)].versions) {
                const auto v = static_cast<std::size_t>(version);
                one.pieces[v] = static_cast<std::int32_t>((t + version) % plan.pieces);
                const double extra = v + 1 == versions ? truth.at_spot[spot] : 0;
                one.scored.samples.push_back(version);
                one.scored.values.push_back(5 + truth.means[v] + level + extra + pieces[v * static_cast<std::size_t>(plan.pieces) + static_cast<std::size_t>(one.pieces[v])] + normal());
            }
            seen.push_back(std::move(one));
        }
    }
    return seen;
}

RoundFindings judged(const Plan& plan, const std::vector<Observation>& seen) {
    const Method& asked = method("rating");
    const RoundFindings found = asked.analyse(asked, seen, plan.rounds[0], plan);
    CHECK(asked.verdict(asked, seen, plan.rounds[0], plan) == found.verdict);
    return found;
}

std::string words_of(const RoundFindings& found) { return said(method("rating"), found.words); }

}   // namespace

TEST_CASE("one whole piece a recipe: no test of recipes, and what the pieces themselves showed", "[ratings]") {
    const Plan plan = plan_for(3, {""}, 24, 1);
    const RoundFindings found = judged(plan, evening(plan, {{0, 0, 3}, 1, 0, {0}}, 1));
    CHECK(found.verdict == "no-clear-order");
    CHECK(is_null_with_why(found.pooled, "test"));
    CHECK(words_of(found).find("Can't say of the recipes. Each was one whole piece") == 0);
    CHECK(words_of(found).find("that of v2 leads") != std::string::npos);
}

TEST_CASE("several pieces a recipe: their scatter is taken into account", "[ratings]") {
    const Plan plan = plan_for(3, {""}, 24, 4);
    const RoundFindings found = judged(plan, evening(plan, {{0, 0, 3}, 1, 0.2, {0}}, 2));
    CHECK(found.verdict == "one-leads");
    CHECK(found.pooled.number("variance.piece"));
    CHECK(number(found.pooled, "test.df2") < 12);   // of 12 pieces, not of 72 portions
    CHECK(words_of(found).find("v2 leads.") == 0);
}

// 100 seeded evenings, 24 people, two recipes alike, 4 pieces each that differ by half a point's standard deviation: with the pieces taken for portions like
// any other a lead is claimed in .15 to .3 of them; here in .05 or less (three standard errors: .065).
TEST_CASE("pieces that differ don't pass for recipes that differ", "[ratings]") {
    const Plan plan = plan_for(2, {""}, 24, 4);
    const Method& asked = method("rating");
    int alarms = 0;
    for (std::uint64_t seed = 0; seed < 100; ++seed)
        alarms += asked.claims_difference(asked.verdict(asked, evening(plan, {{0, 0}, 1, 0.5, {0}}, 100 + seed), plan.rounds[0], plan));
    CHECK(alarms <= 11);
}

// 80 seeded evenings, four recipes alike, 16 people: a lead of one or some is claimed in .05 or less (three standard errors: .073).
TEST_CASE("several recipes that are alike have no leader", "[ratings]") {
    const Plan plan = plan_for(4, {""}, 16, 16);
    const Method& asked = method("rating");
    int alarms = 0;
    for (std::uint64_t seed = 0; seed < 80; ++seed)
        alarms += asked.claims_difference(asked.verdict(asked, evening(plan, {{0, 0, 0, 0}, 1, 0, {0}}, 900 + seed), plan.rounds[0], plan));
    CHECK(alarms <= 9);
}

TEST_CASE("the plan's rule over spots says who is in front", "[ratings]") {
    Plan plan = plan_for(2, {"edge", "centre"}, 24, 8);
    const auto by = [&](DecideOn rule, std::vector<double> at_spot) {
        plan.rounds[0].decide_on = rule;
        return judged(plan, evening(plan, {{0, 0}, 1, 0, std::move(at_spot)}, 7));
    };
    const RoundFindings any = by(DecideOn::any_spot, {4, 0});
    CHECK(any.verdict == "one-leads");
    CHECK(words_of(any).find("new leads at edge.") == 0);
    CHECK(by(DecideOn::each_spot, {4, 0}).verdict == "no-clear-order");
    CHECK(by(DecideOn::each_spot, {4, 4}).verdict == "one-leads");
    const RoundFindings torn = by(DecideOn::any_spot, {4, -4});
    CHECK(torn.verdict == "no-clear-order");
    CHECK(std::find(torn.warnings.begin(), torn.warnings.end(), "spots_disagree") != torn.warnings.end());
    CHECK(by(DecideOn::any_spot, {0, 0}).verdict == "no-clear-order");
}

TEST_CASE("differences that change from spot to spot are found, and said", "[ratings]") {
    const Plan plan = plan_for(3, {"edge", "centre"}, 24, 6);
    const RoundFindings found = judged(plan, evening(plan, {{0, 0, 0}, 1, 0, {2, -2}}, 5));
    REQUIRE(found.heterogeneity);
    CHECK(*found.heterogeneity < 0.01);
    CHECK(words_of(found).find("not the same at every spot") != std::string::npos);
    CHECK(found.spots[0].findings.verdict == "one-leads");
}

TEST_CASE("an average over spots that say the opposite is no lead", "[ratings]") {
    const Plan plan = plan_for(3, {"edge", "centre"}, 40, 6);
    const RoundFindings found = judged(plan, evening(plan, {{0, 0, 0}, 1, 0, {4, -1.5}}, 5));
    CHECK(found.pooled.verdict == "one-leads");
    CHECK(found.verdict == "no-clear-order");
    CHECK(words_of(found).find("turns on the spot") != std::string::npos);
    CHECK(std::find(found.warnings.begin(), found.warnings.end(), "spots_disagree") != found.warnings.end());
    CHECK(judged(plan, evening(plan, {{0, 0, 0}, 1, 0, {4, 1.5}}, 5)).verdict == "one-leads");   // more here than there is a lead all the same
}

TEST_CASE("a scale of the plan's own is checked and asked", "[ratings]") {
    const Plan plan = plan_for(3, {""}, 12, 2, R"({"scale":5,"scale_low":1,"scale_words":"bad|poor|fair|good|very good"})");
    const auto shape = std::get<ScoreEach>(method("rating").shape(plan.rounds[0]));
    CHECK(shape.steps().size() == 5);
    CHECK(shape.words.back() == "very good");
    const std::vector<std::string> codes{"417", "862", "305"};
    CHECK(check_answer(*parse_answer("417:5 862:1 305:3"), shape, false, codes));
    CHECK_FALSE(check_answer(*parse_answer("417:5 862:1 305:3.5"), shape, false, codes));
    CHECK_FALSE(check_answer(*parse_answer("417:6 862:1 305:3"), shape, false, codes));
    Round round = plan.rounds[0];
    round.settings["scale_words"] = std::string("bad|good|very good");
    core::Faults faults;
    method("rating").settle(method("rating"), round, plan, "/rounds/0", faults);
    REQUIRE(faults.size() == 1);
    CHECK(faults[0].line() == "/rounds/0/scale_words: found 3 words, expected two, for the ends, or one for each of the 5 steps, with | between");
}

// With two pieces a recipe the test has few degrees of freedom, whatever the people: what the plan promises is what its verdict shows (simulated by an outside script with pieces alike in
// truth, four recipes, 32 people, a lead of 1.2 that spreads by 1.8: .10 with two pieces, .48 with three, .81 with eight).
TEST_CASE("what a plan promises of ratings is what the verdict will bear with so many pieces", "[ratings][simulation]") {
    const Method& asked = method("rating");
    const auto promised = [&](int pieces) {
        const Plan plan = plan_for(4, {""}, 32, pieces, R"({"detect_score":1.2,"spread":1.8})");
        return *asked.outlook(asked, plan.rounds[0], plan).chance;
    };
    CHECK(promised(2) < 0.25);
    CHECK(std::fabs(promised(3) - 0.48) < 0.15);
    CHECK(std::fabs(promised(8) - 0.81) < 0.12);
}

// The last leads by far at the edge and is far behind at the centre: by any spot that is no recipe for all, and not "nothing is shown".
TEST_CASE("ratings by any spot: spots that contradict each other are said to", "[ratings]") {
    Plan plan = plan_for(3, {"edge", "centre"}, 30, 4);
    plan.rounds[0].decide_on = DecideOn::any_spot;
    const RoundFindings found = judged(plan, evening(plan, {{0, 0, 0}, 1, 0, {3, -3}}, 8));
    CHECK(found.verdict == "no-clear-order");
    CHECK(found.words.front().id == "ratings.any.disagree");
    CHECK(found.words.back().id == "leads.next.by_spot");
    CHECK(std::count(found.warnings.begin(), found.warnings.end(), "spots_disagree") == 1);
}

// What ran out was ahead of both others, which are alike: neither is in front for being less far behind it.
TEST_CASE("to be rated below what ran out is not to be behind", "[ratings]") {
    Plan plan = plan_for(3, {""}, 36, 4);
    const auto seen = evening(plan, {{0, 0.3, 2}, 1, 0, {0}}, 6);
    REQUIRE(judged(plan, seen).verdict == "one-leads");
    plan.withdrawn = {2};
    CHECK(judged(plan, seen).verdict == "no-clear-order");
}

// Nothing parts the other recipes anywhere: that one ran out is no order, by any rule over spots.
TEST_CASE("what ran out makes no order by a rule over spots", "[ratings]") {
    for (const DecideOn rule : {DecideOn::any_spot, DecideOn::each_spot, DecideOn::overall}) {
        Plan plan = plan_for(3, {"edge", "centre"}, 24, 3);
        plan.rounds[0].decide_on = rule;
        const auto seen = evening(plan, {{0, 0, 0}, 1, 0, {0, 0}}, 5);
        REQUIRE(judged(plan, seen).verdict == "no-clear-order");
        plan.withdrawn = {2};
        CHECK(judged(plan, seen).verdict == "no-clear-order");
    }
}

// Burnt before it was served: the other two are as they would be in a plan without it. At a spot where it was not served any more, too.
TEST_CASE("a recipe that ran out before anybody scored it leaves the others to be compared", "[ratings]") {
    const auto without = [](std::vector<Observation> seen, int version, int from_spot) {
        for (Observation& one : seen) {
            one.pieces.clear();   // of unknown pieces, so that two recipes can be compared
            if (one.spot < from_spot) continue;
            Scored& scored = one.scored;
            for (std::size_t place = scored.samples.size(); place-- > 0;)
                if (scored.samples[place] == version) {
                    scored.samples.erase(scored.samples.begin() + static_cast<std::ptrdiff_t>(place));
                    scored.values.erase(scored.values.begin() + static_cast<std::ptrdiff_t>(place));
                }
        }
        return seen;
    };
    Plan plan = plan_for(4, {""}, 36, 4);
    plan.pieces = 1;
    plan.withdrawn = {1};
    const RoundFindings found = judged(plan, without(evening(plan, {{0, 0, 2, 0}, 1, 0, {0}}, 6), 1, 0));
    CHECK(found.verdict == "one-leads");
    CHECK(found.words.front().id == "ratings.one-leads");
    const auto samples = std::find_if(found.pooled.lists.begin(), found.pooled.lists.end(), [](const List& list) { return list.key == "samples"; });
    REQUIRE(samples != found.pooled.lists.end());
    CHECK(samples->rows.size() == 3);
    for (const DecideOn rule : {DecideOn::any_spot, DecideOn::each_spot}) {
        plan = plan_for(4, {"edge", "centre"}, 36, 4);
        plan.pieces = 1;
        plan.withdrawn = {1};
        plan.rounds[0].decide_on = rule;
        CHECK(judged(plan, without(evening(plan, {{0, 0, 2, 0}, 1, 0, {0, 0}}, 6), 1, 1)).verdict == "one-leads");
    }
}

// 1 is far below 0 and ran out; 0 and 2 are alike. Nothing is said to be shown of none where it is shown of what ran out.
TEST_CASE("no order among those that lasted is said of those alone", "[ratings]") {
    Plan plan = plan_for(4, {""}, 36, 4);
    plan.withdrawn = {1};
    const RoundFindings three = judged(plan, evening(plan, {{0, -3, 0, 0}, 1, 0, {0}}, 5));
    CHECK(three.verdict == "no-clear-order");
    CHECK(three.words.front().id == "ratings.no-clear-order.lasted");
    plan = plan_for(2, {""}, 36, 4);
    plan.withdrawn = {1};
    CHECK(judged(plan, evening(plan, {{0, -3}, 1, 0, {0}}, 5)).words.front().id == "ratings.one_left");
}

// One piece each, and one of the three ran out: of the two that are left neither is in front.
TEST_CASE("these very pieces are told apart only where the pieces of what lasted are", "[ratings]") {
    Plan plan = plan_for(3, {""}, 30, 1);
    plan.withdrawn = {2};
    const RoundFindings found = judged(plan, evening(plan, {{0, 0, 0}, 1, 0, {0}}, 5));
    CHECK(std::count_if(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id == "ratings.these_pieces.alike"; }) == 1);
}

// Of v3, which stands out, there are two scores: what this panel could have seen is said of the three that lasted.
TEST_CASE("what could have been shown is that of what lasted", "[ratings]") {
    Plan plan = plan_for(4, {""}, 36, 4);
    auto seen = evening(plan, {{0, 0, 0, 3}, 1, 0, {0}}, 5);
    for (Observation& one : seen) {
        if (one.taster < 2) continue;
        Scored& scored = one.scored;
        const auto place = std::find(scored.samples.begin(), scored.samples.end(), 3) - scored.samples.begin();
        scored.samples.erase(scored.samples.begin() + place);
        scored.values.erase(scored.values.begin() + place);
    }
    const auto sentence = [&](std::string_view id) {
        const RoundFindings found = judged(plan, seen);
        const auto at = std::find_if(found.words.begin(), found.words.end(), [&](const core::Sentence& one) { return one.id == id; });
        REQUIRE(at != found.words.end());
        return *at;
    };
    CHECK(std::get<double>(sentence("ratings.could_show").args.at("d")) > 2);
    plan.withdrawn = {3};
    CHECK(std::get<double>(sentence("ratings.could_show").args.at("d")) < 1.6);
    CHECK(std::get<std::string>(sentence("ratings.alike.ran_out").args.at("gone")) == "v3");
}
