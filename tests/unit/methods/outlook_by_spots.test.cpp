// What a plan of several recipes promises goes by its rule over spots, and by the votes that its trays give.
#include <algorithm>
#include <cmath>

#include <catch2/catch.hpp>

#include "oddplate/methods/method.hpp"
#include "support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using oddplate::methods::testing::method;

namespace {

Plan plan_of(const char* asked, int versions, std::vector<std::string> spots, DecideOn rule, Settings settings, int tasters, double alpha = 0.05) {
    Plan plan;
    for (int i = 0; i < versions; ++i) plan.versions.push_back({std::string(1, static_cast<char>('a' + i)), ""});
    plan.tasters = tasters;
    Round round;
    round.method = asked;
    round.alpha = alpha;
    round.spots = std::move(spots);
    round.decide_on = rule;
    round.settings = std::move(settings);
    core::Faults faults;
    method(asked).settle(method(asked), round, plan, "/rounds/0", faults);
    REQUIRE(faults.empty());
    plan.rounds.push_back(round);
    return plan;
}

Outlook ahead_of(const Plan& plan) {
    const Method& asked = method(plan.rounds[0].method);
    return asked.outlook(asked, plan.rounds[0], plan);
}

bool says(const Outlook& ahead, std::string_view id) {
    return std::any_of(ahead.words.begin(), ahead.words.end(), [&](const core::Sentence& one) { return one.id == id; });
}

/// P(K or more of n put the usual one first) at `share`, K the fewest that fair votes reach with at most `level`; terms added up.
double chance(int n, double share, double level) {
    const auto upper = [&](int least, double p) {
        double sum = 0;
        for (int k = least; k <= n; ++k) sum += std::exp(std::lgamma(n + 1) - std::lgamma(k + 1) - std::lgamma(n - k + 1) + k * std::log(p) + (n - k) * std::log1p(-p));
        return sum;
    };
    int least = 0;
    while (upper(least, 0.5) > level) ++least;
    return upper(least, share);
}

}   // namespace

TEST_CASE("each against the usual one: the plan's chance goes by its rule over spots", "[outlook]") {
    const auto of = [](DecideOn rule, int tasters) { return plan_of("ranking", 3, {"lean", "fat"}, rule, {{"against_usual", true}, {"not_less", 0.3}}, tasters); };
    CHECK(*ahead_of(of(DecideOn::overall, 48)).chance == Approx(chance(48, 0.7, 0.0125)).epsilon(1e-9));
    CHECK(*ahead_of(of(DecideOn::any_spot, 48)).chance == Approx(chance(48, 0.7, 0.00625)).epsilon(1e-9));
    CHECK(*ahead_of(of(DecideOn::each_spot, 48)).chance == Approx(std::pow(chance(48, 0.7, 0.0125), 2)).epsilon(1e-9));
    CHECK(says(ahead_of(of(DecideOn::overall, 48)), "ranks.against.ahead_margin"));
    CHECK(says(ahead_of(of(DecideOn::each_spot, 48)), "ranks.against.ahead_margin.spots"));
    for (const DecideOn rule : {DecideOn::overall, DecideOn::any_spot, DecideOn::each_spot}) {
        const auto needed = static_cast<int>(*ahead_of(of(rule, 48)).needed);
        for (int more = 0; more < 6; ++more) CHECK(*ahead_of(of(rule, needed + more)).chance >= 0.8);   // from there on, saw-tooth and all
        CHECK(*ahead_of(of(rule, needed - 1)).chance < 0.8);
    }
}

// Two of four recipes on a tray: one in six holds the usual one and this other; with the usual one on every tray one in three does.
TEST_CASE("each against the usual one: trays without the usual one give no votes", "[outlook]") {
    const Settings small{{"against_usual", true}, {"tray_size", std::int64_t{2}}};
    const Outlook without = ahead_of(plan_of("ranking", 4, {"lean"}, DecideOn::overall, small, 60));
    CHECK(*without.chance == Approx(chance(10, 0.7, 0.05 / 6)).epsilon(1e-9));
    CHECK(says(without, "ranks.against.not_on_all"));
    Settings with = small;
    with["usual_in_every_tray"] = true;
    const Outlook better = ahead_of(plan_of("ranking", 4, {"lean"}, DecideOn::overall, with, 60));
    CHECK(*better.chance == Approx(chance(20, 0.7, 0.05 / 6)).epsilon(1e-9));
    CHECK_FALSE(says(better, "ranks.against.not_on_all"));
    CHECK(*without.needed == 2 * *better.needed);
    CHECK_FALSE(says(ahead_of(plan_of("ranking", 3, {"lean"}, DecideOn::overall, {{"against_usual", true}}, 60)), "ranks.against.not_on_all"));
}

TEST_CASE("ticked words: the plan's chance goes by its rule over spots", "[outlook]") {
    const auto of = [](std::vector<std::string> spots, DecideOn rule, double alpha) { return *ahead_of(plan_of("check-all", 3, std::move(spots), rule, {}, 40, alpha)).chance; };
    const double one = of({"lean"}, DecideOn::overall, 0.05);
    REQUIRE((one > 0.1 && one < 0.95));
    CHECK(of({"lean", "fat"}, DecideOn::each_spot, 0.05) == Approx(one * one).epsilon(1e-12));
    CHECK(of({"lean", "fat"}, DecideOn::any_spot, 0.05) == of({"lean"}, DecideOn::overall, 0.025));
    CHECK(of({"lean", "fat"}, DecideOn::any_spot, 0.05) <= one);
}
