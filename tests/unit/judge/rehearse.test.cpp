// Rehearsals against the exact power of the same test, and against what a position habit may do.

#include "oddplate/judge/rehearse.hpp"

#include <cmath>

#include "oddplate/methods/method.hpp"
#include "oddplate/stats/binomial.hpp"
#include "unit/judge/cases.hpp"

using namespace oddplate;
using namespace oddplate::judge;
using namespace oddplate::judge::testing;

namespace {

methods::Plan plan_for(const std::string& method, int tasters) {
    methods::Round round = round_of(method);
    if (method == "two-afc") round.settings = {{"attribute", std::string("saltier")}, {"stronger", std::string("current")}};
    return case_of(tasters, {round}).plan;
}

double share(const methods::Plan& plan, const MadeUpPanel& panel, std::string_view verdict, std::int64_t times = 4000) {
    const auto found = rehearse(plan, panel, times, core::sha256("rehearsal"), 2);
    REQUIRE(found.ok());
    for (const auto& [name, count] : found->rounds.at(0).verdicts)
        if (name == verdict) return static_cast<double>(count) / static_cast<double>(times);
    FAIL("no verdict " << verdict);
    return 0;
}

double error_of(double p, double times = 4000) { return std::sqrt(p * (1 - p) / times); }

}   // namespace

TEST_CASE("rehearsal: any number of threads gives the same bits", "[judge]") {
    const auto plan = plan_for("triangle", 24);
    const MadeUpPanel panel{.d = 1.2, .spread = 0.4, .fade = 0.1, .lean = 0.1, .no_shows = 0.1};
    const auto one = rehearse(plan, panel, 101, core::sha256("x"), 1), four = rehearse(plan, panel, 101, core::sha256("x"), 4);
    REQUIRE(one.ok());
    REQUIRE(four.ok());
    CHECK(one->rounds[0].verdicts == four->rounds[0].verdicts);
    CHECK(rehearse(plan, panel, 101, core::sha256("y"), 1)->rounds[0].verdicts != one->rounds[0].verdicts);
}

TEST_CASE("rehearsal: without habits the alarms are the exact power of the test", "[judge]") {
    for (const char* id : {"triangle", "two-afc"}) {
        const methods::Method& method = **methods::find(id);
        for (const double d : {0.0, 1.0, 2.0}) {
            const double p = stats::proportion_correct(*method.link, d);
            const auto least = stats::least_correct(30, method.link->chance, 0.05);
            REQUIRE(least);
            const double power = stats::binomial_upper(*least, 30, p);
            INFO(id << " d " << d << " power " << power);
            // Four standard errors of 4,000 evenings. At d = 0 orders in blocks make a triangle's count vary a little otherwise.
            CHECK(std::abs(share(plan_for(id, 30), {.d = d}, "different") - power) < 4 * error_of(power) + 1e-9);
        }
    }
}

TEST_CASE("rehearsal: tasters with a place they like alarm hardly more often", "[judge]") {
    // Orders come in blocks of six; a true size of .060 at 30 tasters was the worst seen in a search over habits.
    CHECK(share(plan_for("triangle", 30), {.d = 0, .lean = 0.5}, "different") < 0.060 + 4 * error_of(0.06));
}

TEST_CASE("rehearsal: what people like is not told by what they notice", "[judge]") {
    const auto plan = plan_for("paired-preference", 30);
    CHECK(share(plan, {.d = 2}, "no-clear-preference") > 0.9);
    CHECK(share(plan, {.d = 2, .share_new = 0.9}, "new-preferred") > 0.95);
    CHECK(share(plan, {.d = 2, .share_new = 0.1}, "current-preferred") > 0.95);
    // The exact power of the two-sided test at that share, also where tasters differ: the share is their mean.
    const std::int64_t least = 21;   // ISO 5495:2005, table A.2: 21 of 30 at .05
    const double power = stats::binomial_upper(least, 30, 0.7);
    for (const double spread : {0.0, 1.5})
        CHECK(std::abs(share(plan, {.spread = spread, .share_new = 0.7}, "new-preferred") - power) < 4 * error_of(power));
    methods::Plan said = plan;
    said.rounds[0].settings["share"] = 0.7;   // the round's own line
    CHECK(std::abs(share(said, {}, "new-preferred") - power) < 4 * error_of(power));
}

TEST_CASE("rehearsal: one habit of place makes nobody say few enough", "[judge]") {
    methods::Plan plan = plan_for("two-afc", 40);
    plan.rounds[0].settings["same_below_d"] = 1.0;
    plan.rounds[0].settings["aim"] = std::string("similarity");
    // At the margin itself close-enough is an error, allowed 1 time in 20; a lean dilutes what people taste.
    CHECK(share(plan, {.d = 1}, "close-enough") < 0.05 + 4 * error_of(0.05));
    CHECK(share(plan, {.d = 1, .lean = 1}, "close-enough") == 0);
    CHECK(share(plan, {.d = 1, .lean = 0.6}, "close-enough") < 0.05);
}

TEST_CASE("rehearsal: tasters who fade see less", "[judge]") {
    methods::Plan longer = plan_for("triangle", 24);
    longer.rounds[0].sets_per_taster = 3;
    CHECK(share(longer, {.d = 1.5, .fade = 0.5}, "different", 500) < share(longer, {.d = 1.5}, "different", 500));
}
