// Words and scores over spots and tasters: what a round makes of them.
#include "unit/methods/support.hpp"

#include "oddplate/methods/questions.hpp"
#include "oddplate/stats/signal.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

/// Every taster gets each order once at each spot; `right(taster, spot, order)` says what he answers.
template <class Right>
RoundFindings judged(const Plan& plan, Right right) {
    const Round& round = plan.rounds[0];
    const Method& asked = method(round.method);
    const auto orders = asked.orders(round, 2);
    std::vector<Observation> seen;
    for (int taster = 0; taster < plan.tasters; ++taster)
        for (int spot = 0; spot < static_cast<int>(round.spots.size()); ++spot)
            for (int order = 0; order < static_cast<int>(orders.size()); ++order) {
                Observation one{.taster = taster, .ballot = taster, .spot = spot, .order = order, .scored = {}};
                one.scored = right(taster, spot, order);
                seen.push_back(one);
            }
    RoundFindings found = asked.analyse(asked, seen, round, plan);
    if (asked.verdict != nullptr) CHECK(asked.verdict(asked, seen, round, plan) == found.verdict);   // what simulations ask
    return found;
}

}   // namespace

TEST_CASE("words over two spots: each rule, and D by exchanging labels within tasters", "[signals]") {
    const auto at_edge = [](int taster, int spot, int order) {   // told at the edge, guessed at the centre
        return Scored{.value = spot == 0 ? 1.0 : (taster + order) % 2 == 0 ? 1.0 : 0.0};
    };
    Plan plan = plan_of("a-not-a", {"edge", "centre"}, 12, R"({"detect_d":1})");
    const RoundFindings overall = judged(plan, at_edge);
    CHECK(overall.verdict == "different");
    CHECK(number(overall.pooled, "hits") == 18);
    CHECK(number(overall.pooled, "false_alarms") == 6);
    CHECK(number(overall.pooled, "tasters") == 12);
    REQUIRE(overall.heterogeneity);
    CHECK(*overall.heterogeneity < 0.05);
    // Of each taster's four answers two are "a" or he is half right at the centre: the law is that of the tasters, not Fisher's.
    std::vector<stats::SignalCounts> tasters;
    for (int taster = 0; taster < 12; ++taster)
        tasters.push_back(taster % 2 == 0 ? stats::SignalCounts{2, 2, 1, 2} : stats::SignalCounts{1, 2, 0, 2});
    CHECK(number(overall.pooled, "p_value") == Approx(stats::signal_p(tasters)).epsilon(1e-12));
    plan.rounds[0].decide_on = DecideOn::any_spot;
    const RoundFindings any = judged(plan, at_edge);
    CHECK(any.verdict == "different");
    // The first sentence has the counts of the spot that the rule turned on: the clearest, or the faintest.
    CHECK(any.words.front().id == "signals.any.different");
    CHECK(std::get<std::string>(any.words.front().args.at("spot")) == "edge");
    CHECK(std::get<std::int64_t>(any.words.front().args.at("h")) == 12);
    plan.rounds[0].decide_on = DecideOn::each_spot;
    const RoundFindings each = judged(plan, at_edge);
    CHECK(each.verdict == "unsettled");
    CHECK(each.words.front().id == "signals.each.unsettled");
    CHECK(std::get<std::string>(each.words.front().args.at("spot")) == "centre");
    CHECK(std::get<std::int64_t>(each.words.front().args.at("h")) == 6);
}

TEST_CASE("words with how sure give the R-index; the wrong way round is a warning", "[signals]") {
    const Plan plan = plan_of("same-different", {""}, 6, R"({"sureness":true})");
    const RoundFindings sure =
        judged(plan, [](int taster, int, int) { return Scored{.value = 1, .values = {1.0 + taster % 3}}; });
    CHECK(sure.verdict == "different");
    CHECK(number(sure.pooled, "r_index.estimate") == 1);
    CHECK(sure.pooled.find("d_prime.estimate") != nullptr);
    const RoundFindings turned = judged(plan, [](int, int, int) { return Scored{.value = 0}; });
    CHECK(turned.verdict == "unsettled");
    CHECK(turned.warnings == std::vector<std::string>{"below_chance"});
}

TEST_CASE("scores: one taster, spots that differ, the blind control scored higher", "[signals]") {
    const auto lead = [](double points) {
        return [points](int taster, int, int order) {
            const double control = taster % 3, test = control + points + taster % 2;
            return Scored{.value = test - control,
                          .values = order == 0 ? std::vector{control, test} : std::vector{test, control}};
        };
    };
    Plan plan = plan_of("difference-from-control", {""}, 10, R"({"same_below_score":4})");
    CHECK(judged(plan, lead(2)).verdict == "slight");
    CHECK(number(judged(plan, lead(2)).pooled, "mean_difference.estimate") == Approx(2.5));
    CHECK(judged(plan, lead(-3)).warnings == std::vector<std::string>{"below_chance"});
    CHECK(judged(plan, lead(-0.5)).verdict == "close-enough");
    plan.tasters = 1;
    CHECK(judged(plan, lead(2)).verdict == "unsettled");
    Plan spots = plan_of("difference-from-control", {"edge", "centre"}, 10, "{}");
    const RoundFindings apart = judged(spots, [](int taster, int spot, int order) {
        const double test = 2 + (spot == 0 ? 4 : 0) + taster % 2;
        return Scored{.value = test - 2, .values = order == 0 ? std::vector{2.0, test} : std::vector{test, 2.0}};
    });
    REQUIRE(apart.heterogeneity);
    CHECK(*apart.heterogeneity < 0.01);
}

TEST_CASE("close enough by A or not A is one-sided and says so", "[signals]") {
    const char* const flags = R"({"hits":40,"signals":80,"false_alarms":40,"noises":80,"same_below_d":1})";
    const Findings yes = count("a-not-a", flags);
    CHECK(yes.verdict == "close-enough");
    CHECK(said(method("a-not-a"), yes.words).find("whether it does so oftener was not asked") != std::string::npos);
    CHECK(std::get<std::string>(*yes.find("same_below.sides")).starts_with("one-sided"));
    const Findings pairs = count("same-different", flags);
    CHECK(pairs.find("same_below.sides") == nullptr);
}

// Green & Swets (1966): with d' fixed, moving the line trades hits for false alarms; right answers are most at the best line.
TEST_CASE("signals: a curve's line trades hits for false alarms, and its own default is the best one", "[signals]") {
    for (const char* id : {"a-not-a", "same-different"}) {
        const Method& asked = method(id);
        const double best = number(*curve(asked, {}, 1.5), "criterion"), most = number(*curve(asked, {}, 1.5), "proportion_correct");
        double last_hit = 1, last_alarm = 1;
        for (const double shift : {-0.6, -0.3, 0.3, 0.6}) {
            const auto at = *curve(asked, {{"criterion", best + shift}}, 1.5);
            CHECK(number(at, "hit_rate") < last_hit);
            CHECK(number(at, "false_alarm_rate") < last_alarm);
            CHECK(number(at, "proportion_correct") == Approx((number(at, "hit_rate") + 1 - number(at, "false_alarm_rate")) / 2));
            CHECK(number(at, "proportion_correct") < most);
            last_hit = number(at, "hit_rate"), last_alarm = number(at, "false_alarm_rate");
        }
    }
    CHECK_FALSE(curve(method("same-different"), {{"criterion", -1.0}}, 1.5).ok());
    CHECK(curve(method("a-not-a"), {{"criterion", -1.0}}, 1.5).ok());
}
