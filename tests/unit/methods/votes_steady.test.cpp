// Two votes a person: do people stick to one of the two?
#include <algorithm>

#include "../../../src/methods/votes.hpp"
#include "oddplate/core/philox.hpp"
#include "unit/methods/support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

/// `both_new`, `both_current`, `changed` people of two votes, `once` of one.
Findings weighed(int both_new, int both_current, int changed, int once = 0) {
    PlainTable table{.columns = {"taster", "for"}, .rows = {}};
    int who = 0;
    const auto person = [&](std::initializer_list<const char*> votes) {
        for (const char* vote : votes) table.rows.push_back({2 + table.rows.size(), {"t" + std::to_string(who), vote}});
        ++who;
    };
    for (int i = 0; i < both_new; ++i) person({"new", "new"});
    for (int i = 0; i < both_current; ++i) person({"current", "current"});
    for (int i = 0; i < changed; ++i) person({"new", "current"});
    for (int i = 0; i < once; ++i) person({i % 2 == 0 ? "new" : "current"});
    const Method& asked = method("paired-preference");
    const auto found = asked.weigh(asked, table, {});
    REQUIRE(found.ok());
    return *found;
}

bool says(std::span<const core::Sentence> words, std::string_view id) {
    return std::any_of(words.begin(), words.end(), [&](const core::Sentence& one) { return one.id == id; });
}

/// Two votes a person at each spot; even people always choose the new one, odd ones the current.
std::vector<Observation> halves(const Plan& plan, int people) {
    const Method& asked = method("paired-preference");
    std::vector<Observation> seen;
    for (int taster = 0; taster < people; ++taster)
        for (int spot = 0; spot < static_cast<int>(plan.rounds[0].spots.size()); ++spot)
            for (int vote = 0; vote < 2; ++vote) {
                Observation one{.taster = taster, .ballot = taster, .spot = spot, .order = (taster / 2 + vote) % 2, .scored = {}};
                one.scored.value = taster % 2 == 0 ? 1 : -1;
                seen.push_back(one);
            }
    REQUIRE(asked.orders(plan.rounds[0], 2).size() == 2);
    return seen;
}

}   // namespace

TEST_CASE("two votes a person: the exact p that so few change their mind", "[votes]") {
    // Two people, one each way: aa bb and bb aa of the six deals of aabb.
    CHECK(number(weighed(1, 1, 0), "own_tastes.p_value") == Approx(1.0 / 3).epsilon(1e-14));
    // Of 30 people 13 stick to the new one, 9 to the current, 8 change: 34 votes for the new one (reckoned with 40 digits elsewhere).
    const Findings some = weighed(13, 9, 8);
    CHECK(number(some, "own_tastes.p_value") == Approx(0.0117803048520334).epsilon(1e-12));
    CHECK(number(some, "own_tastes.tasters") == 30);
    CHECK(number(weighed(13, 9, 8, 5), "own_tastes.p_value") == Approx(0.0117803048520334).epsilon(1e-12));   // who chose once says nothing of it
    CHECK(some.verdict == "no-clear-preference");
    CHECK(says(some.words, "leads.split.shown"));
    CHECK(says(some.words, "votes.own.next"));
    const Findings quiet = weighed(6, 6, 8);
    CHECK(says(quiet.words, "leads.split.quiet"));
    CHECK_FALSE(says(quiet.words, "votes.own.next"));
}

TEST_CASE("one vote a person: it says that it can't tell a split house", "[votes]") {
    const Findings open = weighed(0, 0, 0, 24);
    CHECK(is_null_with_why(open, "own_tastes.p_value"));
    CHECK(says(open.words, "votes.own.untold"));
    CHECK(said(method("paired-preference"), open.words).find('[') == std::string::npos);
}

TEST_CASE("a round of two votes a person: the halves are told, the verdict stays", "[votes]") {
    const Method& asked = method("paired-preference");
    for (const std::vector<std::string>& spots : {std::vector<std::string>{""}, std::vector<std::string>{"edge", "centre"}}) {
        const Plan plan = testing::plan_of("paired-preference", spots, 24);
        const auto seen = halves(plan, 24);
        const RoundFindings found = asked.analyse(asked, seen, plan.rounds[0], plan);
        CHECK(found.verdict == "no-clear-preference");
        CHECK(asked.verdict(asked, seen, plan.rounds[0], plan) == found.verdict);
        CHECK(number(found.pooled, "own_tastes.p_value") < 0.001);
        for (const SpotFindings& spot : found.spots) CHECK(number(spot.findings, "own_tastes.p_value") < 0.001);
        CHECK(says(found.words, "leads.split.shown"));
        CHECK(found.words.front().id == "votes.no-clear-preference.several");
        CHECK(said(asked, found.words).find('[') == std::string::npos);
    }
}

// 24 people of one taste, three in ten for the new one, whatever they said before: 2,000 panels; at .05 at most 100 + 3 standard errors = 129 alarms. Where half stick to each, most are told.
TEST_CASE("people of one taste are rarely taken for a split house", "[votes][simulation]") {
    core::PhiloxStream stream(5, 0);
    int alarms = 0, found = 0;
    for (int panel = 0; panel < 2000; ++panel) {
        std::vector<votes::Pile> one(24), two(24);
        for (std::size_t i = 0; i < 24; ++i)
            for (int vote = 0; vote < 2; ++vote) {
                ++(stream.uniform() < 0.3 ? one[i].for_new : one[i].for_current);
                ++(stream.uniform() < (i % 2 == 0 ? 0.9 : 0.1) ? two[i].for_new : two[i].for_current);
            }
        alarms += votes::own_tastes(std::span(&one, 1), "current", "new").is_shown(0.05);
        if (panel < 200) found += votes::own_tastes(std::span(&two, 1), "current", "new").is_shown(0.05);
    }
    CHECK(alarms <= 129);
    CHECK(alarms >= 20);
    CHECK(found >= 150);
}
