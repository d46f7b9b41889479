// One pile of votes: `count` and `size` of the paired preference.

#include <catch2/catch.hpp>
#include <cmath>

#include "support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

constexpr const char* k_id = "paired-preference";

Findings votes(int for_new, int for_current, double alpha = 0.05, int undecided = 0) {
    core::Json flags = core::Json::object();
    flags.set("for_new", for_new).set("for_current", for_current).set("alpha", alpha);
    if (undecided > 0) flags.set("no_preference", undecided);
    return count(k_id, core::to_text(flags));
}

/// C(n, k) / 2^n, exact in a double for n <= 60 up to the last division.
double half_binomial(int k, int n) {
    double ways = 1;
    for (int i = 1; i <= k; ++i) ways = std::round(ways * (n - k + i) / i);
    return std::ldexp(ways, -n);
}

double phi(double z) {
    return std::erfc(-z / std::sqrt(2.0)) / 2;
}

}   // namespace

TEST_CASE("votes: the least votes for a preference are those of ISO 5495's two-sided table", "[votes]") {
    // ISO 5495:2005, table A.2 (two-sided, alpha .20 .10 .05 .01 .001; 0 = none); recomputed from the definition.
    struct Row {
        int n;
        int least[5];
    };
    constexpr Row k_rows[] = {
        {6, {6, 6, 6, 0, 0}},       {7, {6, 7, 7, 0, 0}},       {8, {7, 7, 8, 8, 0}},       {9, {7, 8, 8, 9, 0}},
        {10, {8, 9, 9, 10, 0}},     {11, {9, 9, 10, 11, 11}},   {12, {9, 10, 10, 11, 12}},  {15, {11, 12, 12, 13, 14}},
        {18, {13, 13, 14, 15, 17}}, {20, {14, 15, 15, 17, 18}}, {24, {16, 17, 18, 19, 21}}, {30, {20, 20, 21, 23, 25}},
        {36, {23, 24, 25, 27, 29}}, {40, {25, 26, 27, 29, 31}}, {48, {29, 31, 32, 34, 36}}, {60, {36, 37, 39, 41, 44}},
        {72, {42, 44, 45, 48, 51}}, {80, {47, 48, 50, 52, 56}}, {100, {57, 59, 61, 64, 67}}};
    constexpr double k_alphas[] = {.20, .10, .05, .01, .001};
    for (const Row& row : k_rows) {
        for (int i = 0; i < 5; ++i) {
            CAPTURE(row.n, k_alphas[i]);
            const int least = row.least[i];
            const int wins = least == 0 ? row.n : least;
            CHECK(votes(wins, row.n - wins, k_alphas[i]).verdict == (least == 0 ? "no-clear-preference" : "new-preferred"));
            CHECK(votes(row.n - wins, wins, k_alphas[i]).verdict == (least == 0 ? "no-clear-preference" : "current-preferred"));
            if (least > 0) CHECK(votes(least - 1, row.n - least + 1, k_alphas[i]).verdict == "no-clear-preference");
        }
    }
}

TEST_CASE("votes: a false preference comes at most alpha times, and interval and verdict agree, for every split up to 60",
          "[votes][exhaustive]") {
    for (const double alpha : {.2, .125, .05, .03125, .01}) {   // .125 and .03125 are hit exactly
        for (int n = 0; n <= 60; ++n) {
            double alarms = 0;
            for (int k = 0; k <= n; ++k) {
                const Findings found = votes(k, n - k, alpha);
                CAPTURE(alpha, n, k);
                const bool clear = found.verdict != "no-clear-preference";
                if (clear) alarms += half_binomial(k, n);
                if (n == 0) continue;
                CHECK((found.verdict == "new-preferred") == (number(found, "share_new.lower") >= 0.5));
                CHECK((found.verdict == "current-preferred") == (number(found, "share_new.upper") <= 0.5));
                CHECK(number(found, "share_new.lower") <= number(found, "share_new.estimate"));
                CHECK(number(found, "share_new.upper") >= number(found, "share_new.estimate"));
            }
            CHECK(alarms <= alpha * (1 + 1e-12));
        }
    }
}

TEST_CASE("votes: exchanging the recipes exchanges the answer", "[votes]") {
    for (int k = 0; k <= 23; ++k) {
        const Findings one = votes(k, 23 - k), other = votes(23 - k, k);
        CHECK(number(one, "p_value") == number(other, "p_value"));
        CHECK(number(one, "share_new.lower") == Approx(1 - number(other, "share_new.upper")).margin(1e-12));
    }
}

TEST_CASE("votes: undecided votes leave the test alone and are told where they could turn it", "[votes]") {
    const Findings bare = votes(18, 6), with = votes(18, 6, .05, 12);
    CHECK(number(bare, "p_value") == number(with, "p_value"));
    CHECK(bare.find("undecided_split.p_value") == nullptr);
    // 18 + 6 of 36 against 6 + 6: 24 of 36, two-sided p = 2 P(X >= 24) = .0652; against: 18 of 36.
    CHECK(number(with, "undecided_split.p_value") == Approx(0.0652).margin(5e-5));
    CHECK(number(with, "undecided_against.p_value") == 1);
    const std::string text = said(method(k_id), with.words);
    CHECK(text.find("dealt out evenly, it would be open") != std::string::npos);
    CHECK(text.find("gone to the side behind, it would be open") != std::string::npos);
    // The odd one of 13 goes to the side behind, whichever that is.
    CHECK(number(votes(18, 6, .05, 13), "undecided_split.p_value") == number(votes(24, 13), "p_value"));
    CHECK(number(votes(6, 18, .05, 13), "undecided_split.p_value") == number(votes(24, 13), "p_value"));
    // 20 to 4 with one undecided: neither line changes anything, so neither is said.
    const std::string firm = said(method(k_id), votes(20, 4, .05, 1).words);
    CHECK(firm.find("side behind") == std::string::npos);
    CHECK(firm.find("evenly") == std::string::npos);
    CHECK(firm.find("One answer was 'like them equally'") != std::string::npos);
}

TEST_CASE("votes: one person more or less is said where it changes the answer", "[votes]") {
    CHECK(said(method(k_id), votes(15, 5).words).find("would have left it open") != std::string::npos);
    CHECK(said(method(k_id), votes(14, 6).words).find("a preference for the new recipe") != std::string::npos);
    CHECK(said(method(k_id), votes(10, 10).words).find("One person choosing") == std::string::npos);
}

TEST_CASE("votes: the three-outcome model gives back the three shares, and is null where a recipe has no vote", "[votes]") {
    for (const auto& [k, m, t] : {std::array{20, 10, 10}, {7, 30, 3}, {12, 12, 0}, {1, 1, 40}}) {
        CAPTURE(k, m, t);
        core::Json flags = core::Json::object();
        flags.set("for_new", k).set("for_current", m).set("no_preference", t);
        const Findings found = count(k_id, core::to_text(flags));
        const double d = number(found, "three_outcomes.d"), tau = number(found, "three_outcomes.tau");
        const double n = k + m + t;
        CHECK(phi((d - tau) / std::sqrt(2.0)) == Approx(k / n).epsilon(1e-12));
        CHECK(phi((-d - tau) / std::sqrt(2.0)) == Approx(m / n).epsilon(1e-12));
    }
    CHECK(is_null_with_why(votes(9, 0, .05, 3), "three_outcomes.d"));
    CHECK(is_null_with_why(votes(0, 9, .05, 3), "three_outcomes.tau"));
    CHECK(votes(9, 3).find("three_outcomes.d") == nullptr);   // the question left no third answer
}

TEST_CASE("votes: not-less is the exact tail at the share", "[votes]") {
    const Findings found = count(k_id, R"({"for_new":20,"for_current":20,"not_less":0.35})");
    // P(X >= 20 | 40, .35), summed in the other direction.
    double below = 0;
    for (int k = 0; k < 20; ++k)
        below +=
            std::exp(std::lgamma(41) - std::lgamma(k + 1) - std::lgamma(41 - k) + k * std::log(.35) + (40 - k) * std::log(.65));
    CHECK(number(found, "not_less.p_value") == Approx(1 - below).epsilon(1e-11));
    CHECK(std::get<bool>(*found.find("not_less.holds")));
    CHECK_FALSE(std::get<bool>(*count(k_id, R"({"for_new":16,"for_current":24,"not_less":0.35})").find("not_less.holds")));
    CHECK_FALSE(std::get<bool>(*count(k_id, R"({"for_new":0,"for_current":0,"not_less":0.35})").find("not_less.holds")));
    CHECK(votes(20, 20).find("not_less.share") == nullptr);
}

TEST_CASE("votes: nobody chose is an answer, not a fault", "[votes]") {
    const Findings found = votes(0, 0, .05, 5);
    CHECK(found.verdict == "no-clear-preference");
    CHECK(number(found, "p_value") == 1);
    CHECK(is_null_with_why(found, "share_new.estimate"));
    CHECK(is_null_with_why(found, "share_new.lower"));
    CHECK(said(method(k_id), found.words).find("nobody chose") != std::string::npos);
}

TEST_CASE("votes: sizes are the first n of ISO 5495's two-sided table", "[votes]") {
    // ISO 5495:2005, table A.5 (both tails counted): pd = 2 share - 1; rows alpha .20 .10 .05 .01 .001, columns beta the same.
    // Recomputed.
    constexpr double k_levels[] = {.20, .10, .05, .01, .001};
    struct Table {
        double share;
        int n[5][5];
    };
    constexpr Table k_tables[] = {
        {.75, {{19, 26, 33, 48, 70}, {23, 33, 42, 58, 82}, {30, 42, 49, 67, 92}, {44, 57, 66, 87, 117}, {66, 78, 90, 117, 149}}},
        {.65,
         {{53, 72, 96, 145, 208},
          {69, 93, 119, 173, 243},
          {90, 114, 145, 199, 276},
          {131, 164, 195, 261, 345},
          {188, 229, 267, 342, 440}}},
        {.60,
         {{115, 168, 214, 322, 471},
          {158, 213, 268, 392, 554},
          {199, 263, 327, 455, 635},
          {291, 373, 446, 596, 796},
          {425, 520, 604, 781, 1010}}},
        {.55,
         {{461, 658, 861, 1310, 1905},
          {620, 866, 1092, 1583, 2237},
          {786, 1055, 1302, 1833, 2544},
          {1167, 1493, 1782, 2408, 3203},
          {1707, 2094, 2440, 3152, 4063}}}};
    for (const Table& table : k_tables) {
        for (int a = 0; a < 5; ++a) {
            for (int b = 0; b < 5; ++b) {
                CAPTURE(table.share, k_levels[a], k_levels[b]);
                core::Json flags = core::Json::object();
                flags.set("share", table.share).set("alpha", k_levels[a]).set("power", 1 - k_levels[b]);
                const Findings found = size(k_id, core::to_text(flags));
                CHECK(number(found, "tasters") == table.n[a][b]);
                CHECK(number(found, "tasters_safe") >= table.n[a][b]);
                CHECK(number(found, "power_actual") >= 1 - k_levels[b]);
                CHECK(number(found, "alpha_actual") <= k_levels[a] * (1 + 1e-12));
            }
        }
    }
}

TEST_CASE("votes: sizes for not-less", "[votes]") {
    CHECK(number(size(k_id, R"({"not_less":0.4})"), "tasters_safe") >= number(size(k_id, R"({"not_less":0.4})"), "tasters"));
    const Findings found = size(k_id, R"({"not_less":0.4})");
    // The least votes at that n hold, one fewer doesn't.
    const auto n = static_cast<int>(number(found, "tasters")), least = static_cast<int>(number(found, "least_votes"));
    const auto holds = [&](int k) {
        core::Json flags = core::Json::object();
        flags.set("for_new", k).set("for_current", n - k).set("not_less", 0.4);
        return std::get<bool>(*count(k_id, core::to_text(flags)).find("not_less.holds"));
    };
    CHECK(holds(least));
    CHECK_FALSE(holds(least - 1));
    double power = 0;
    for (int k = least; k <= n; ++k)
        power += std::exp(std::lgamma(n + 1) - std::lgamma(k + 1) - std::lgamma(n - k + 1) - n * std::log(2.0));
    CHECK(power == Approx(number(found, "power_actual")).epsilon(1e-10));
    CHECK(power >= 0.8);
    CHECK(n == 158);   // recomputed: exact sums in another program
    CHECK(number(size(k_id, R"({"not_less":0.35})"), "tasters") == 68);
}

TEST_CASE("votes: a size is asked for one share, below the one that is true", "[votes]") {
    const Method& asked = method(k_id);
    for (const char* text : {R"({})", R"({"share":0.7,"not_less":0.4})", R"({"not_less":0.5})",
                             R"({"not_less":0.45,"true_share":0.4})", R"({"share":0.7,"true_share":0.6})"}) {
        CAPTURE(text);
        const auto found = asked.size(asked, settings(asked.size_settings, text));
        CHECK_FALSE(found.ok());
    }
}

TEST_CASE("votes: an answer is worth one vote for the recipe of its code", "[votes]") {
    const Method& asked = method(k_id);
    Plan plan = plan_of(k_id, {""}, 12, R"({"no_preference":true})");
    const std::vector<std::string> codes{"639", "817"};
    const std::vector<int> versions{1, 0};
    const SetKey key{codes, versions};
    const auto worth = [&](const Answer& answer) { return asked.score(key, answer, plan.rounds[0], plan); };
    CHECK(worth(Codes{{"639"}})->value == 1);
    CHECK(worth(Codes{{"639"}})->picked == 0);
    CHECK(worth(Codes{{"817"}})->value == -1);
    CHECK(worth(Codes{{"817"}})->picked == 1);
    CHECK(worth(Mark::none)->value == 0);
    CHECK(worth(Mark::none)->picked == -1);
    CHECK_FALSE(worth(Codes{{"100"}}).ok());
    CHECK_FALSE(worth(Codes{{"639", "817"}}).ok());
    plan.rounds[0].settings["no_preference"] = false;
    CHECK_FALSE(worth(Mark::none).ok());
}

TEST_CASE("votes: a plan with three versions is refused at its method", "[votes]") {
    const Method& asked = method(k_id);
    Plan plan = plan_of(k_id, {""}, 12);
    plan.versions.push_back({"third", "third"});
    core::Faults faults;
    asked.settle(asked, plan.rounds[0], plan, "/rounds/1", faults);
    REQUIRE(faults.size() == 1);
    CHECK(faults[0].where == "/rounds/1/method");
}
