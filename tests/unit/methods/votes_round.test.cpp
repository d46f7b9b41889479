// A round of votes: tasters as units, rules over spots, orders that came out unequal.

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

constexpr const char* k_id = "paired-preference";
constexpr int k_absent = 9;

/// votes[taster][i]: 1 new, -1 current, 0 could not choose, k_absent no answer; entry i is spot i mod spots. Orders alternate so
/// that each spot is even.
std::vector<Observation> given(const std::vector<std::vector<int>>& votes, std::size_t spots) {
    std::vector<Observation> seen;
    std::vector<int> served(spots, 0);
    for (std::size_t taster = 0; taster < votes.size(); ++taster) {
        for (std::size_t i = 0; i < votes[taster].size(); ++i) {
            if (votes[taster][i] == k_absent) continue;
            Observation one;
            one.taster = one.ballot = static_cast<std::int32_t>(taster);
            one.spot = static_cast<std::int32_t>(i % spots);
            one.place = static_cast<std::int32_t>(i);
            one.order = served[i % spots]++ % 2;   // 0: current first
            one.scored.value = votes[taster][i];
            if (votes[taster][i] != 0) one.scored.picked = (votes[taster][i] > 0) == (one.order == 1) ? 0 : 1;
            seen.push_back(one);
        }
    }
    return seen;
}

RoundFindings judged(const std::vector<std::vector<int>>& votes, const Plan& plan) {
    const Method& asked = method(k_id);
    return asked.analyse(asked, given(votes, plan.rounds[0].spots.size()), plan.rounds[0], plan);
}

int net(const std::vector<int>& votes) {
    int sum = 0;
    for (const int vote : votes) sum += vote == k_absent ? 0 : vote;
    return sum;
}

/// P(|sum of signed nets| >= |observed|) over all 2^n signs.
double flipped_by_hand(const std::vector<std::vector<int>>& votes) {
    const auto n = votes.size();
    int observed = 0;
    for (const auto& taster : votes) observed += net(taster);
    int hits = 0;
    for (std::uint32_t signs = 0; signs < (1u << n); ++signs) {
        int sum = 0;
        for (std::size_t i = 0; i < n; ++i) sum += (signs >> i & 1u) ? net(votes[i]) : -net(votes[i]);
        hits += std::abs(sum) >= std::abs(observed);
    }
    return hits / std::ldexp(1.0, static_cast<int>(n));
}

/// n tasters; the first k vote for the new one at a spot, the others for the current one.
std::vector<std::vector<int>> split_at(std::size_t n, const std::vector<std::size_t>& k) {
    std::vector<std::vector<int>> votes(n, std::vector<int>(k.size(), -1));
    for (std::size_t spot = 0; spot < k.size(); ++spot)
        for (std::size_t i = 0; i < k[spot]; ++i) votes[i][spot] = 1;
    return votes;
}

Plan two_spots(DecideOn rule, const char* text = "{}") {
    Plan plan = plan_of(k_id, {"edge", "centre"}, 24, text);
    plan.rounds[0].decide_on = rule;
    return plan;
}

/// A small deterministic source of panels.
struct Dice {
    std::uint32_t state{12345};
    int below(int bound) {
        state = state * 1664525u + 1013904223u;
        return static_cast<int>((state >> 16) % static_cast<std::uint32_t>(bound));
    }
};

}   // namespace

TEST_CASE("votes_round: pooled p equals flipping all signs by hand", "[votes][exhaustive]") {
    const Plan plan = plan_of(k_id, {"edge", "centre", "point"}, 12, R"({"no_preference":true})");
    Dice dice;
    for (int panel = 0; panel < 200; ++panel) {
        std::vector<std::vector<int>> votes;
        const int n = 1 + dice.below(11), lean = dice.below(4);
        for (int i = 0; i < n; ++i) {
            std::vector<int> taster;
            for (int spot = 0; spot < 3; ++spot) {
                const int face = dice.below(6 + lean);
                taster.push_back(face == 0 ? k_absent : face == 1 ? 0 : face <= 3 ? -1 : 1);
            }
            votes.push_back(taster);
        }
        const RoundFindings found = judged(votes, plan);
        CAPTURE(panel);
        CHECK(number(found.pooled, "p_value") == Approx(flipped_by_hand(votes)).epsilon(1e-12));
    }
}

TEST_CASE("votes_round: pooled interval and verdict never contradict each other", "[votes][exhaustive]") {
    const Plan plan = plan_of(k_id, {"edge", "centre"}, 24);
    Dice dice;
    int clear = 0;
    for (int panel = 0; panel < 400; ++panel) {
        std::vector<std::vector<int>> votes;
        const int n = 6 + dice.below(20), lean = dice.below(5);
        for (int i = 0; i < n; ++i) votes.push_back({dice.below(4 + lean) < 2 ? -1 : 1, dice.below(4 + lean) < 2 ? -1 : 1});
        const Findings pooled = judged(votes, plan).pooled;
        CAPTURE(panel, n);
        const auto lower = pooled.number("share_new.lower"), upper = pooled.number("share_new.upper");
        clear += pooled.verdict != "no-clear-preference";
        if (!lower) {
            CHECK(is_null_with_why(pooled, "share_new.lower"));
            continue;
        }
        // Strictly: the limits are shares of votes, and one that is 1/2 itself is not refused.
        CHECK((pooled.verdict == "new-preferred") == (*lower > 0.5));
        CHECK((pooled.verdict == "current-preferred") == (*upper < 0.5));
        CHECK(*lower <= number(pooled, "share_new.estimate") + 1e-12);
        CHECK(*upper >= number(pooled, "share_new.estimate") - 1e-12);
    }
    CHECK(clear > 20);
}

TEST_CASE("votes_round: tasters who always vote alike count once each", "[votes]") {
    // 24 tasters with four votes, all for one side each: the test is that of 24 votes, and false alarms stay within alpha (a
    // count of votes would alarm .31).
    const Plan plan = plan_of(k_id, {"a", "b", "c", "d"}, 24);
    double alarms = 0, by_votes = 0;
    for (int k = 0; k <= 24; ++k) {
        std::vector<std::vector<int>> votes(24, std::vector<int>(4, -1));
        for (int i = 0; i < k; ++i) votes[static_cast<std::size_t>(i)].assign(4, 1);
        const Findings pooled = judged(votes, plan).pooled;
        const double weight = std::exp(std::lgamma(25) - std::lgamma(k + 1) - std::lgamma(25 - k)) * std::ldexp(1.0, -24);
        core::Json flags = core::Json::object();
        flags.set("for_new", k).set("for_current", 24 - k);
        CHECK(number(pooled, "p_value") == Approx(number(count(k_id, core::to_text(flags)), "p_value")).epsilon(1e-12));
        if (pooled.verdict != "no-clear-preference") alarms += weight;
        flags.set("for_new", 4 * k).set("for_current", 4 * (24 - k));
        if (count(k_id, core::to_text(flags)).verdict != "no-clear-preference") by_votes += weight;
    }
    CHECK(alarms <= 0.05);
    CHECK(by_votes == Approx(0.31).margin(0.005));
}

TEST_CASE("votes_round: with one vote a taster the pooled test is the plain one", "[votes]") {
    const Plan plan = plan_of(k_id, {"edge"}, 24);
    const RoundFindings found = judged(split_at(24, {18}), plan);
    const Findings plain = count(k_id, R"({"for_new":18,"for_current":6})");
    for (const char* key : {"p_value", "share_new.lower", "share_new.upper", "share_new.confidence"})
        CHECK(number(found.pooled, key) == number(plain, key));
    CHECK(number(found.pooled, "tasters") == 24);
    CHECK(number(found.pooled, "answers") == 24);
    CHECK(found.verdict == "new-preferred");
    CHECK_FALSE(found.heterogeneity);
    CHECK_FALSE(found.heterogeneity_why.empty());
}

TEST_CASE("votes_round: the three rules over two spots", "[votes]") {
    const auto verdict = [](DecideOn rule, std::size_t edge, std::size_t centre) {
        return judged(split_at(24, {edge, centre}), two_spots(rule)).verdict;
    };
    // 18 of 24 has p .0227 (Holm .0454 beside a weaker spot), 17 has .0639, 13 has .8388.
    CHECK(verdict(DecideOn::any_spot, 18, 13) == "new-preferred");
    CHECK(verdict(DecideOn::any_spot, 17, 17) == "no-clear-preference");
    CHECK(verdict(DecideOn::any_spot, 6, 13) == "current-preferred");
    CHECK(verdict(DecideOn::each_spot, 18, 13) == "no-clear-preference");
    CHECK(verdict(DecideOn::each_spot, 18, 19) == "new-preferred");
    CHECK(verdict(DecideOn::overall, 18, 19) == "new-preferred");
    CHECK(verdict(DecideOn::overall, 13, 12) == "no-clear-preference");
    const RoundFindings any = judged(split_at(24, {18, 13}), two_spots(DecideOn::any_spot));
    CHECK(number(any.spots[0].findings, "p_adjusted") == Approx(2 * number(any.spots[0].findings, "p_value")));
    CHECK(any.heterogeneity);
}

TEST_CASE("votes_round: spots that are clear both ways withhold the verdict under every rule", "[votes]") {
    for (const DecideOn rule : {DecideOn::overall, DecideOn::any_spot, DecideOn::each_spot}) {
        const RoundFindings found = judged(split_at(24, {21, 4}), two_spots(rule));
        CHECK(found.verdict == "no-clear-preference");
        CHECK(found.warnings == std::vector<std::string>{"spots_disagree"});
        CHECK(found.spots[0].findings.verdict == "new-preferred");
        CHECK(found.spots[1].findings.verdict == "current-preferred");
        CHECK(said(method(k_id), found.words).find("the new recipe is preferred at edge, the current one at centre") !=
              std::string::npos);
        CHECK(found.words.back().id == "leads.next.by_spot");
        Plan against_itself = two_spots(rule);
        against_itself.same_recipe = true;
        CHECK(judged(split_at(24, {21, 4}), against_itself).words.back().id == "votes.same_recipe_alarm");
    }
}

// 18 to 6 at the edge, 24 against it at the centre: 18 to 30 of all, which people's nets show. No recipe is preferred over a cut that is split by spot.
TEST_CASE("votes_round: where spots are clear both ways no common count is told", "[votes]") {
    const RoundFindings found = judged(split_at(24, {19, 0}), two_spots(DecideOn::overall));
    CHECK(found.pooled.verdict == "no-clear-preference");
    const RoundFindings led = judged(split_at(24, {18, 0}), two_spots(DecideOn::overall));
    REQUIRE(led.pooled.verdict == "current-preferred");
    REQUIRE(led.verdict == "no-clear-preference");
    for (const core::Sentence& one : led.words) CHECK_FALSE(one.id.starts_with("votes.current-preferred"));
    CHECK(led.words.back().id == "leads.next.by_spot");
}

TEST_CASE("votes_round: several votes of one person are told as votes", "[votes]") {
    const std::string told = said(method(k_id), judged(split_at(24, {20, 20}), two_spots(DecideOn::overall)).words);
    CHECK(told.find("it got 40 of the 48 votes") != std::string::npos);
    CHECK(told.find("of the 48 who chose") == std::string::npos);
    CHECK(told.find("these limits may be too narrow") != std::string::npos);   // four people chose otherwise
    CHECK(said(method(k_id), judged(split_at(24, {15, 15}), two_spots(DecideOn::overall)).words).find("too narrow") == std::string::npos);
}

TEST_CASE("votes_round: a preference is withheld where unequal orders and a habit explain it", "[votes]") {
    // 40 had the new one first and 20 the current one; everybody takes the first: 40 votes to 20, p .0135, and no preference at
    // all.
    const Plan plan = plan_of(k_id, {"edge"}, 60);
    const Method& asked = method(k_id);
    std::vector<Observation> seen;
    for (int i = 0; i < 60; ++i) {
        Observation one;
        one.taster = one.ballot = i;
        one.order = i < 40 ? 1 : 0;
        one.scored = {.value = i < 40 ? 1.0 : -1.0, .picked = 0};
        seen.push_back(one);
    }
    const RoundFindings habit = asked.analyse(asked, seen, plan.rounds[0], plan);
    CHECK(number(habit.pooled, "p_value") < 0.05);
    CHECK(number(habit.pooled, "p_value_order") == 1);
    CHECK(habit.verdict == "no-clear-preference");
    const auto key_at = [&](const char* key) {
        const auto& fields = habit.pooled.fields;
        return std::find_if(fields.begin(), fields.end(), [&](const Field& field) { return field.key == key; }) - fields.begin();
    };
    CHECK(key_at("p_value_order") < key_at("p_value"));
    CHECK(said(asked, habit.words).find("habit of picking one place") != std::string::npos);

    // The same orders, and everybody takes the new one: both tests agree.
    for (Observation& one : seen) one.scored = {.value = 1, .picked = one.order == 1 ? 0 : 1};
    const RoundFindings liked = asked.analyse(asked, seen, plan.rounds[0], plan);
    CHECK(number(liked.pooled, "p_value_order") < 1e-10);
    CHECK(liked.verdict == "new-preferred");
    // Even orders need no such test.
    CHECK(judged(split_at(24, {18}), plan_of(k_id, {"edge"}, 24)).pooled.find("p_value_order") == nullptr);
}

TEST_CASE("votes_round: numbering tasters and listing answers otherwise changes nothing", "[votes]") {
    const Plan plan = two_spots(DecideOn::overall, R"({"no_preference":true,"not_less":0.4})");
    const Method& asked = method(k_id);
    std::vector<std::vector<int>> votes = split_at(20, {14, 11});
    votes[3] = {0, 1};
    votes[7] = {1, k_absent};
    std::vector<Observation> seen = given(votes, 2);
    const RoundFindings before = asked.analyse(asked, seen, plan.rounds[0], plan);
    std::reverse(seen.begin(), seen.end());
    for (Observation& one : seen) one.taster = one.ballot = (one.taster * 7 + 3) % 20;
    const RoundFindings after = asked.analyse(asked, seen, plan.rounds[0], plan);
    CHECK(before.verdict == after.verdict);
    CHECK(before.words == after.words);
    REQUIRE(before.pooled.fields.size() == after.pooled.fields.size());
    for (std::size_t i = 0; i < before.pooled.fields.size(); ++i) {
        CAPTURE(before.pooled.fields[i].key);
        CHECK(before.pooled.fields[i].value == after.pooled.fields[i].value);
    }
    CHECK(*before.heterogeneity == *after.heterogeneity);
}

TEST_CASE("votes_round: a round without votes says so", "[votes]") {
    for (const DecideOn rule : {DecideOn::overall, DecideOn::any_spot, DecideOn::each_spot}) {
        const RoundFindings found = judged({}, two_spots(rule));
        CHECK(found.verdict == "no-clear-preference");
        CHECK(said(method(k_id), found.words).find("nobody chose") != std::string::npos);
    }
}

TEST_CASE("votes_round: the same recipe twice is said to be that", "[votes]") {
    Plan plan = plan_of(k_id, {"edge"}, 24);
    plan.same_recipe = true;
    CHECK(said(method(k_id), judged(split_at(24, {13}), plan).words).find("a choice is no sign that they taste unlike") !=
          std::string::npos);
    CHECK(said(method(k_id), judged(split_at(24, {20}), plan).words).find("look at those first") != std::string::npos);
}

TEST_CASE("votes_round: the view ahead is the chance of the rule's own test", "[votes]") {
    // P(the test of n votes at alpha is clear) when `share` of all take one side, summed over every split.
    const auto power = [](int n, double share, double alpha) {
        double sum = 0;
        for (int k = 0; k <= n; ++k) {
            core::Json flags = core::Json::object();
            flags.set("for_new", k).set("for_current", n - k).set("alpha", alpha);
            if (count(k_id, core::to_text(flags)).verdict == "no-clear-preference") continue;
            sum += std::exp(std::lgamma(n + 1) - std::lgamma(k + 1) - std::lgamma(n - k + 1) + k * std::log(share) +
                            (n - k) * std::log1p(-share));
        }
        return sum;
    };
    const auto ahead = [](DecideOn rule) {
        Plan plan = two_spots(rule, R"({"share":0.7})");
        plan.tasters = 30;   // 21 votes are enough at .05, 22 at .025
        return method(k_id).outlook(method(k_id), plan.rounds[0], plan);
    };
    CHECK(*ahead(DecideOn::overall).chance == Approx(power(30, .7, .05)).epsilon(1e-10));
    CHECK(*ahead(DecideOn::any_spot).chance == Approx(power(30, .7, .025)).epsilon(1e-10));
    CHECK(*ahead(DecideOn::each_spot).chance == Approx(std::pow(power(30, .7, .05), 2)).epsilon(1e-10));
    for (const DecideOn rule : {DecideOn::overall, DecideOn::any_spot, DecideOn::each_spot}) {
        Plan plan = two_spots(rule, R"({"share":0.7})");
        plan.tasters = static_cast<int>(*ahead(rule).needed);
        CHECK(*method(k_id).outlook(method(k_id), plan.rounds[0], plan).chance >= 0.8);
        plan.tasters -= 2;   // the number needed is one from which all larger ones do
        const double one = *method(k_id).outlook(method(k_id), plan.rounds[0], plan).chance;
        plan.tasters += 1;
        CHECK(std::min(one, *method(k_id).outlook(method(k_id), plan.rounds[0], plan).chance) < 0.8);
    }
    const Plan bare = two_spots(DecideOn::overall);
    CHECK_FALSE(method(k_id).outlook(method(k_id), bare.rounds[0], bare).chance);
    CHECK(said(method(k_id), method(k_id).outlook(method(k_id), bare.rounds[0], bare).words).find("a lead of 80 to 20") !=
          std::string::npos);
}
