// Before the tasting: chances, people needed, and what settling a round fills in.
#include <cmath>

#include "unit/methods/support.hpp"

#include "oddplate/stats/multinomial.hpp"
#include "right_answer_oracle.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

Outlook look(std::string_view id, const Plan& plan) {
    return method(id).outlook(method(id), plan.rounds[0], plan);
}

std::vector<std::string> faults_of(std::string_view id, Round round, Plan plan) {
    round.method = id;
    core::Faults faults;
    method(id).settle(method(id), round, plan, "/rounds/0", faults);
    std::vector<std::string> lines;
    for (const auto& fault : faults) lines.push_back(fault.line());
    return lines;
}

Plan two_versions() {
    Plan plan;
    plan.versions = {{"current", ""}, {"new", ""}};
    plan.tasters = 24;
    return plan;
}

}   // namespace

TEST_CASE("24 people at 4 in 10 find it 79 times in 100; it takes 25", "[outlook]") {
    const Outlook found = look("triangle", plan_of("triangle", {""}, 24, R"({"detect_pd":0.4})"));
    REQUIRE(found.chance);
    // Exact: P(X >= 13) of 24 at .6.
    CHECK(*found.chance == Approx(static_cast<double>(Law(24, 0.6L).upper(13))).epsilon(1e-11));
    CHECK(std::abs(*found.chance - 0.79) < 0.005);
    CHECK(found.needed == 25);
    const std::string words = said(method("triangle"), found.words);
    CHECK(words.find("If 40 in 100 people can tell, this tasting will notice it with a chance of 79 in 100.") !=
          std::string::npos);
    CHECK(words.find("Way out: one more person (25 in all).") != std::string::npos);
    CHECK(words.find("which of the two has more") != std::string::npos);
    CHECK(said(method("triangle"), look("triangle", plan_of("triangle", {""}, 25, R"({"detect_pd":0.4})")).words)
              .find("are enough") != std::string::npos);
}

TEST_CASE("eight people see a difference that 7 in 10 can taste", "[outlook]") {
    const std::string words =
        said(method("triangle"), look("triangle", plan_of("triangle", {""}, 8, R"({"detect_pd":0.5})")).words);
    CHECK(words.find("8 people can show a big difference, one that about 7 in 10 people can taste") != std::string::npos);
    CHECK(words.find("It can't show that a difference is small") != std::string::npos);
}

TEST_CASE("the chance to call it few counts the guards", "[outlook]") {
    const Outlook found = look("triangle", plan_of("triangle", {""}, 206, R"({"detect_d":1,"aim":"similarity"})"));
    REQUIRE(found.chance);
    // .758 with the below-chance guard; then no place may be picked too often, which 206 even picks do with the chance that stands below.
    const double alarm = stats::even_picks_alarm(206, 3, 0.05);
    CHECK(alarm < 0.05);
    CHECK(alarm > 0.03);
    CHECK(std::abs(*found.chance / (1 - alarm) - 0.758) < 5e-4);
    const std::string words = said(method("triangle"), found.words);
    CHECK(words.find("a quarter of your line, with 69 in 100; half of it, with 54 in 100") != std::string::npos);
}

TEST_CASE("where a few telling is called few oftener than nobody telling, it is said why", "[outlook][words]") {
    const auto words_for = [](std::string_view id, int tasters) {
        return said(method(id), look(id, plan_of(id, {""}, tasters, R"({"detect_d":1.5,"aim":"similarity"})")).words);
    };
    CHECK(words_for("triangle", 120).find("likeliest when a few can tell") != std::string::npos);
    CHECK(words_for("triangle", 40).find("likeliest when a few can tell") == std::string::npos);
}

TEST_CASE("people over two spots are not rounded spot by spot", "[outlook]") {
    // Half the people at each of two spots, all answers together: as many as one spot takes.
    const std::string line = R"({"detect_pd":0.5})";
    Plan halves = plan_of("triangle", {"edge", "centre"}, 13, line);
    halves.rounds[0].spots_per_taster = 1;
    for (int tasters = 2; tasters < 40; ++tasters) {
        halves.tasters = tasters;
        const Outlook together = look("triangle", halves), alone = look("triangle", plan_of("triangle", {""}, tasters, line));
        CAPTURE(tasters);
        CHECK(together.chance == alone.chance);
        CHECK(together.needed == alone.needed);
    }
}

TEST_CASE("people needed hold from there on", "[outlook]") {
    for (const char* aim : {"difference", "similarity"})
        for (const DecideOn rule : {DecideOn::overall, DecideOn::any_spot, DecideOn::each_spot})
            for (const int spots : {1, 2, 3}) {
                Plan plan = plan_of("triangle", std::vector<std::string>(static_cast<std::size_t>(spots), "x"), 24,
                                    std::string(R"({"detect_pd":0.4,"aim":")") + aim + "\"}");
                plan.rounds[0].decide_on = rule;
                INFO(aim << " " << to_text(rule) << " " << spots);
                const Outlook first = look("triangle", plan);
                REQUIRE(first.needed);
                for (int more = 0; more < 12; ++more) {
                    plan.tasters = static_cast<int>(*first.needed) + more;
                    CHECK(*look("triangle", plan).chance >= 0.8);
                }
                plan.tasters = static_cast<int>(*first.needed) - 1;
                CHECK((plan.tasters < 2 || *look("triangle", plan).chance < 0.8));
            }
}

TEST_CASE("some of the spots each, and a scarce spot", "[outlook]") {
    Plan plan = plan_of("triangle", {"a", "b", "c", "d"}, 40, R"({"detect_pd":0.5})");
    const double all = *look("triangle", plan).chance;
    plan.rounds[0].spots_per_taster = 2;
    CHECK(*look("triangle", plan).chance < all);
    plan.rounds[0].decide_on = DecideOn::each_spot;
    const double each = *look("triangle", plan).chance;
    plan.first_ballots["c"] = 5;
    CHECK(*look("triangle", plan).chance < each);
    CHECK_FALSE(look("triangle", plan).needed);   // more people do not make five ballots more
}

TEST_CASE("a plan without a line is valid and says so", "[outlook]") {
    const Outlook found = look("triangle", plan_of("triangle", {""}, 24));
    CHECK_FALSE(found.chance);
    CHECK_FALSE(found.needed);
    CHECK(said(method("triangle"), found.words).find("doesn't say how many may notice") != std::string::npos);
}

TEST_CASE("settling fills defaults and refuses what can't be", "[settle]") {
    const Plan plan = plan_of("triangle", {"edge", "centre"}, 24, R"({"detect_pd":0.4})");
    CHECK(words(plan.rounds[0].settings, "aim") == "difference");
    CHECK(number(plan.rounds[0].settings, "same_below_pd") == 0.4);
    CHECK(plan.rounds[0].decide_on == DecideOn::overall);

    Round round;
    round.settings = {{"detect_d", 1.0}, {"detect_pd", 0.4}};
    CHECK(faults_of("triangle", round, two_versions()) ==
          std::vector<std::string>{"/rounds/0: found both detect_d and detect_pd, expected one of them"});
    Plan three = two_versions();
    three.versions.push_back({"third", ""});
    CHECK(faults_of("triangle", Round{}, three).at(0).starts_with("/rounds/0/method: found 3 versions, expected two"));
    const auto missing = faults_of("two-afc", Round{}, two_versions());
    REQUIRE(missing.size() == 2);
    CHECK(missing[0].starts_with("/rounds/0/attribute: found nothing"));
    CHECK(missing[1].starts_with("/rounds/0/stronger: found nothing"));

    Round given;
    given.spots = {"edge", "centre"};
    given.settings = {{"aim", std::string("similarity")}};
    given.decide_on_given = true;
    core::Faults faults;
    method("triangle").settle(method("triangle"), given, two_versions(), "/rounds/0", faults);
    CHECK(given.decide_on == DecideOn::overall);   // the plan said so itself
}

TEST_CASE("scores name the place that was picked", "[score]") {
    const std::vector<std::string> codes{"417", "862", "305"};
    const Plan plan = plan_of("triangle", {""}, 12);
    const std::vector<int> odd_left{1, 0, 0}, odd_right{0, 0, 1}, none_odd{0, 0, 0};
    const auto scored = [&](const std::vector<int>& versions, const char* code) {
        return method("triangle").score({codes, versions, -1}, Codes{{code}}, plan.rounds[0], plan);
    };
    CHECK(scored(odd_left, "417")->value == 1);
    CHECK(scored(odd_left, "862")->value == 0);
    CHECK(scored(odd_right, "305")->value == 1);
    CHECK(scored(odd_right, "305")->picked == 2);
    CHECK_FALSE(scored(none_odd, "305").ok());

    const Plan pair = plan_of("two-afc", {""}, 12, R"({"attribute":"saltier","stronger":"current"})");
    const std::vector<int> current_first{0, 1}, new_first{1, 0};
    const std::span<const std::string> two(codes.data(), 2);
    CHECK(method("two-afc").score({two, current_first, -1}, Codes{{"417"}}, pair.rounds[0], pair)->value == 1);
    CHECK(method("two-afc").score({two, new_first, -1}, Codes{{"417"}}, pair.rounds[0], pair)->value == 0);
}
