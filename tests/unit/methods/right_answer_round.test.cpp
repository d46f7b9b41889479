// A round: the three rules, several answers a taster, spots that differ, orders served unequally.
#include <cmath>

#include "unit/methods/judged_round.hpp"

#include "oddplate/stats/link.hpp"
#include "right_answer_oracle.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

bool warns(const RoundFindings& found) {
    return std::count(found.warnings.begin(), found.warnings.end(), "below_chance") == 1;
}

/// P(K <= most) when taster i's answers, `sets` of them, are all right with probability pd and guesses else.
long double two_kinds_lower(int tasters, int sets, long double chance, long double pd, int most) {
    const Law tellers(tasters, pd);
    long double sum = 0;
    for (int a = 0; a <= tasters; ++a) {
        const int left = most - a * sets;
        if (left < 0) break;
        const int guesses = (tasters - a) * sets;
        sum += tellers.at(a) * (left >= guesses ? 1.0L : Law(guesses, chance).lower(left));
    }
    return sum;
}

}   // namespace

TEST_CASE("13 of 24 at the edge, 9 of 24 at the centre, by each rule", "[round]") {
    const Plan plan = plan_of("triangle", {"edge", "centre"}, 24, R"({"detect_pd":0.4})");
    const Right right = first_right(24, {13, 9}, 9);

    const RoundFindings overall = judged("triangle", plan, right);
    CHECK(overall.verdict == "different");
    CHECK(std::abs(number(overall.pooled, "p_value") - 0.0485) < 5e-5);
    CHECK(number(overall.pooled, "correct") == 22);
    CHECK(number(overall.pooled, "of") == 48);
    CHECK(number(overall.pooled, "tasters") == 24);
    CHECK(number(overall.pooled, "answers") == 48);
    REQUIRE(overall.heterogeneity);
    CHECK(*overall.heterogeneity > 0.12);
    const std::string words = said(method("triangle"), overall.words);
    CHECK(words.starts_with("Noticed. Over the 2 spots together 22 of 48 answers were right"));
    CHECK(words.find("Don't conclude that it is only the one spot") != std::string::npos);

    // Spots: 3 in 100 (6 in 100, allowing for two looks) and 41 in 100; people who can tell 4 to 58 and 0 to 34 of 100.
    const Findings& edge = overall.spots[0].findings;
    const Findings& centre = overall.spots[1].findings;
    CHECK(number(edge, "p_adjusted") == Approx(2 * number(edge, "p_value")).epsilon(1e-15));
    CHECK(std::abs(number(edge, "p_adjusted") - 0.057) < 0.0005);
    CHECK(std::abs(number(centre, "p_value") - 0.41) < 0.005);
    CHECK(number(centre, "p_adjusted") == number(centre, "p_value"));
    CHECK(std::abs(number(centre, "discriminators.upper") - 0.34) < 0.005);

    const RoundFindings any = judged("triangle", with_rule(plan, DecideOn::any_spot), right);
    CHECK(any.verdict == "unsettled");
    CHECK(said(method("triangle"), any.words).starts_with("Can't say yet. Closest came edge"));
    CHECK(said(method("triangle"), any.words).find("One more right answer at edge would have changed the verdict.") !=
          std::string::npos);
    const RoundFindings each = judged("triangle", with_rule(plan, DecideOn::each_spot), right);
    CHECK(each.verdict == "unsettled");
    CHECK(each.pooled.verdict == "different");   // the pooled count keeps its own verdict, whatever the rule
}

TEST_CASE("any-spot, each-spot and closeness at every spot", "[round]") {
    const Plan plan = plan_of("triangle", {"edge", "centre"}, 60, R"({"detect_pd":0.4,"aim":"similarity"})");
    CHECK(plan.rounds[0].decide_on == DecideOn::any_spot);   // similarity over several spots
    const Plan each = with_rule(plan, DecideOn::each_spot);
    CHECK(judged("triangle", plan, first_right(60, {22, 19}, 9)).verdict == "close-enough");
    CHECK(judged("triangle", each, first_right(60, {22, 19}, 9)).verdict == "close-enough");
    CHECK(judged("triangle", plan, first_right(60, {29, 19}, 9)).verdict == "slight");
    CHECK(judged("triangle", each, first_right(60, {29, 19}, 9)).verdict == "close-enough");
    CHECK(judged("triangle", each, first_right(60, {29, 28}, 9)).verdict == "slight");
    CHECK(judged("triangle", plan, first_right(60, {40, 19}, 9)).verdict == "different");
    CHECK(judged("triangle", each, first_right(60, {40, 41}, 9)).verdict == "different");
    CHECK(judged("triangle", each, first_right(60, {40, 19}, 9)).verdict == "unsettled");
}

TEST_CASE("closeness on average is withheld when the spots differ", "[round]") {
    const Plan plan = plan_of("triangle", {"edge", "centre"}, 100, R"({"detect_pd":0.5})");
    const RoundFindings found = judged("triangle", plan, first_right(100, {50, 20}, 30));
    REQUIRE(found.heterogeneity);
    CHECK(*found.heterogeneity < 0.01);
    CHECK(number(found.pooled, "p_value_similar") < 0.05);
    CHECK((found.verdict == "unsettled" || found.verdict == "different"));
    CHECK(found.pooled.verdict == found.verdict);
    CHECK(said(method("triangle"), found.words).find("the spots differ from each other, so that is not said of the whole") !=
          std::string::npos);
    const RoundFindings alike = judged("triangle", plan, first_right(100, {35, 35}, 30));
    CHECK(alike.verdict == "close-enough");
}

TEST_CASE("several answers a taster: closeness and interval count tasters", "[round][enumeration]") {
    for (const int spots : {2, 4}) {
        const int tasters = 20, n = tasters * spots;
        std::vector<std::string> names;
        for (int j = 0; j < spots; ++j) names.push_back("spot " + std::string(1, static_cast<char>('a' + j)));
        const Plan plan = plan_of("triangle", names, tasters, R"({"detect_pd":0.4})");
        const double margin = stats::proportion_from_discriminators(1.0 / 3, 0.4);
        int most = -1;
        for (int k = 0; k <= n; ++k) {
            Right right(static_cast<std::size_t>(tasters), std::vector<int>(static_cast<std::size_t>(spots), 0));
            for (int i = 0; i < k; ++i)
                right[static_cast<std::size_t>(i % tasters)][static_cast<std::size_t>((i / tasters + i) % spots)] = 1;
            const RoundFindings found = judged("triangle", plan, right);
            INFO(k << " of " << n);
            REQUIRE(number(found.pooled, "correct") == k);
            // The tail is the larger of all alike and two kinds, each summed here term by term.
            const long double expected = std::max(Law(n, margin).lower(k), two_kinds_lower(tasters, spots, 1.0L / 3, 0.4L, k));
            CHECK(number(found.pooled, "p_value_similar") == Approx(static_cast<double>(expected)).epsilon(1e-9));
            CHECK(number(found.pooled, "p_value") == Approx(static_cast<double>(Law(n, 1.0L / 3).upper(k))).epsilon(1e-11));
            const bool different = number(found.pooled, "p_value") <= 0.05;
            CHECK(different == (number(found.pooled, "proportion_correct.lower") >= 1.0 / 3));
            if (found.verdict == "close-enough" || found.verdict == "slight") {
                most = k;
                CHECK(number(found.pooled, "proportion_correct.upper") <= margin * (1 + 1e-12));
            }
            CHECK(std::get<std::string>(*found.pooled.find("proportion_correct.interval")).find("by tasters") !=
                  std::string::npos);
        }
        REQUIRE(most > 0);
        // Not fooled at the margin more often than alpha, whether people are alike or of two kinds.
        CHECK(Law(n, margin).lower(most) <= 0.05L);
        CHECK(two_kinds_lower(tasters, spots, 1.0L / 3, 0.4L, most) <= 0.05L);
    }
}

TEST_CASE("two sets at one spot count by tasters too", "[round]") {
    const Plan plan = plan_of("triangle", {""}, 12, R"({"detect_pd":0.4})");
    auto seen = observations(method("triangle"), plan, first_right(12, {8}));
    auto again = observations(method("triangle"), plan, first_right(12, {5}));
    for (Observation& one : again) one.place = 1;
    seen.insert(seen.end(), again.begin(), again.end());
    const RoundFindings found = method("triangle").analyse(method("triangle"), seen, plan.rounds[0], plan);
    CHECK(number(found.spots[0].findings, "of") == 24);
    CHECK(number(found.spots[0].findings, "tasters") == 12);
    CHECK(std::get<std::string>(*found.spots[0].findings.find("proportion_correct.interval")).find("by tasters") !=
          std::string::npos);
    CHECK_FALSE(found.heterogeneity);
    CHECK_FALSE(found.heterogeneity_why.empty());
    CHECK(number(found.pooled, "p_value_similar") >
          number(count("triangle", R"({"correct":13,"of":24,"detect_pd":0.4})"), "p_value_similar"));
}

TEST_CASE("fewer right than guessing is a warning, not a closeness", "[round]") {
    const Plan plan = plan_of("triangle", {"edge", "centre"}, 30, R"({"detect_pd":0.4,"aim":"similarity"})");
    const RoundFindings one = judged("triangle", plan, first_right(30, {3, 10}, 9));
    CHECK(one.verdict == "unsettled");
    CHECK(warns(one));
    CHECK(said(method("triangle"), one.words).find("At edge fewer were right than guessing gives") != std::string::npos);
    const RoundFindings both = judged("triangle", with_rule(plan, DecideOn::overall), first_right(30, {3, 4}, 9));
    CHECK(both.verdict == "unsettled");
    CHECK(warns(both));
    CHECK_FALSE(warns(judged("triangle", plan, first_right(30, {10, 10}, 9))));
}

TEST_CASE("orders served unequally: the test given the orders stands first and both must agree", "[round]") {
    const Plan plan = plan_of("two-afc", {""}, 24, R"({"detect_pd":0.4,"attribute":"saltier","stronger":"new"})");
    auto seen = observations(method("two-afc"), plan, first_right(24, {24}));
    CHECK(method("two-afc").analyse(method("two-afc"), seen, plan.rounds[0], plan).pooled.find("p_value_order") == nullptr);
    // Everybody had the new one first and everybody took the first: that says nothing about the recipes.
    for (Observation& one : seen) {
        one.order = 1;
        one.scored = {1.0, 0, {}};
    }
    const RoundFindings found = method("two-afc").analyse(method("two-afc"), seen, plan.rounds[0], plan);
    CHECK(number(found.pooled, "p_value") < 1e-6);
    CHECK(number(found.pooled, "p_value_order") == 1);
    CHECK(found.verdict == "unsettled");
    const auto& fields = found.pooled.fields;
    const auto at = [&](std::string_view key) {
        return std::find_if(fields.begin(), fields.end(), [&](const Field& field) { return field.key == key; }) - fields.begin();
    };
    CHECK(at("p_value_order") < at("p_value"));
    CHECK(said(method("two-afc"), found.words).find("not served equally often") != std::string::npos);

    // Served 16 and 8, and nearly everybody right whichever came first: both p-values are small.
    seen = observations(method("two-afc"), plan, first_right(24, {23}));
    for (std::size_t i = 0; i < seen.size(); ++i) {
        seen[i].order = i < 16 ? 1 : 0;
        seen[i].scored.picked = (seen[i].scored.value > 0) == (seen[i].order == 1) ? 0 : 1;
    }
    const RoundFindings clear = method("two-afc").analyse(method("two-afc"), seen, plan.rounds[0], plan);
    CHECK(number(clear.pooled, "p_value_order") < 0.001);
    CHECK(clear.verdict == "different");
}

TEST_CASE("a spot without answers settles nothing at every spot", "[round]") {
    const Plan plan = plan_of("triangle", {"edge", "centre"}, 60, R"({"detect_pd":0.4})");
    Right right = first_right(60, {50, 0});
    for (auto& taster : right) taster[1] = -1;
    CHECK(judged("triangle", with_rule(plan, DecideOn::any_spot), right).verdict == "different");
    CHECK(judged("triangle", with_rule(plan, DecideOn::each_spot), right).verdict == "unsettled");
    CHECK(judged("triangle", plan, right).verdict == "different");
    CHECK(is_null_with_why(judged("triangle", plan, right).spots[1].findings, "p_value"));
}

TEST_CASE("why the spots were not compared, and what is claimed of a spot without answers", "[round][words]") {
    const Method& triangle = method("triangle");
    const Plan plan = plan_of("triangle", {"edge", "centre"}, 24, R"({"detect_pd":0.4})");
    const auto all = observations(triangle, plan, first_right(24, {20, 6}, 0));
    const auto kept = [&](auto keep) {
        std::vector<Observation> some;
        std::copy_if(all.begin(), all.end(), std::back_inserter(some), keep);
        return triangle.analyse(triangle, some, plan.rounds[0], plan);
    };
    const RoundFindings none = kept([](const Observation&) { return false; });
    CHECK(none.heterogeneity_why == "fewer than two spots have answers");
    const RoundFindings one = kept([](const Observation& seen) { return seen.spot == 0; });
    CHECK(one.heterogeneity_why == "fewer than two spots have answers");
    const std::string words = said(triangle, one.words);
    CHECK(words.starts_with("Noticed. 20 of 24 answers were right"));
    CHECK(words.find("There are no answers from centre.") != std::string::npos);
    CHECK(words.find("could not be tested: only one of them has answers") != std::string::npos);
    CHECK(words.find("0 answers") == std::string::npos);
    // One answer each, 10 of 12 at one spot and 3 of 12 at the other: Fisher's exact test of these four counts, in exact fractions.
    const RoundFindings apart = kept([](const Observation& seen) { return seen.spot == seen.taster % 2; });
    REQUIRE(apart.heterogeneity);
    CHECK(*apart.heterogeneity == Approx(0.012278137800).epsilon(1e-10));
    std::vector<Observation> twice;   // two answers of one tongue are no two tongues
    for (const Observation& seen : all)
        if (seen.spot == seen.taster % 2) twice.insert(twice.end(), 2, seen);
    const RoundFindings untested = triangle.analyse(triangle, twice, plan.rounds[0], plan);
    CHECK(untested.heterogeneity_why == "nobody answered at two spots");
    CHECK(said(triangle, untested.words).find("nobody answered at two of them") != std::string::npos);
    const Plan single = plan_of("triangle", {""}, 24, "{}");
    CHECK(judged("triangle", single, first_right(24, {9}, 0)).heterogeneity_why == "there is one spot");
}

TEST_CASE("a directed question below chance at a spot asks whether it is the other way round", "[round][words]") {
    Plan plan = plan_of("two-afc", {"edge", "centre"}, 24, R"({"detect_d":1,"attribute":"salt","stronger":"new"})");
    for (const DecideOn rule : {DecideOn::any_spot, DecideOn::each_spot}) {
        plan.rounds[0].decide_on = rule;
        CHECK(said(method("two-afc"), judged("two-afc", plan, first_right(24, {3, 12}, 0)).words)
                  .find("the other way round there") != std::string::npos);
    }
}

TEST_CASE("every round can be said, without a banned word", "[round][words]") {
    for (const std::string_view id : {"triangle", "two-afc"})
        for (const char* more : {"", R"("detect_pd":0.4,)", R"("detect_pd":0.4,"aim":"similarity",)"})
            for (const DecideOn rule : {DecideOn::overall, DecideOn::any_spot, DecideOn::each_spot})
                for (const std::size_t n : {4u, 8u, 24u, 60u})
                    for (std::size_t k = 0; k <= n; k += 1 + n / 12)
                        for (const std::size_t other : {n / 6, n / 2, n}) {
                            const Plan plan =
                                with_rule(plan_of(id, {"edge", "centre"}, static_cast<int>(n),
                                                  "{" + std::string(more) + R"("attribute":"saltier","stronger":"new"})"),
                                          rule);
                            const RoundFindings found = judged(id, plan, first_right(n, {k, other}, 3));
                            const std::string words = said(method(id), found.words) + said(method(id), found.pooled.words) +
                                                      said(method(id), found.spots[0].findings.words);
                            INFO(id << " " << more << " " << to_text(rule) << " " << k << " and " << other << " of " << n << "\n"
                                    << words);
                            CHECK(words.find('[') == std::string::npos);
                            for (const char* banned :
                                 {"ignificant", "ailed", "o difference", "discriminator", "hypothes", "alk-in"})
                                CHECK(words.find(banned) == std::string::npos);
                        }
}

TEST_CASE("a question of 'few enough' that stays open is answered in its own terms, not in those of noticing", "[round]") {
    const Plan plan = plan_of("triangle", {"edge", "centre"}, 24, R"({"aim":"similarity","same_below_pd":0.3})");
    const RoundFindings open = judged("triangle", plan, first_right(24, {10, 9}, 10));
    CHECK(open.verdict == "unsettled");
    const std::string words = said(method("triangle"), open.words);
    CHECK(words.starts_with("Can't say yet that few enough notice at every spot. It is least sure at edge, where 10 of 24 answers were right"));
    CHECK(words.find("Nor is it shown that anybody can tell: closest came edge") != std::string::npos);
}

TEST_CASE("one recipe against itself is never given advice about a recipe", "[round]") {
    Plan plan = plan_of("triangle", {"edge"}, 60, R"({"detect_pd":0.4})");
    plan.same_recipe = true;
    const auto advice = [&](std::size_t right) { return said(method("triangle"), judged("triangle", plan, first_right(60, {right})).words); };
    CHECK(advice(20).find("what your kitchen, pieces and panel do when there is nothing to find") != std::string::npos);
    CHECK(advice(50).find("was told apart: the pieces, their cooking or the serving differ") != std::string::npos);
    for (const std::size_t right : {20u, 28u, 50u}) CHECK(advice(right).find("you may go ahead") == std::string::npos);
}

TEST_CASE("closeness on average is withheld where people with several answers were at one spot each", "[round]") {
    const Plan plan = with_rule(plan_of("triangle", {"edge", "centre"}, 80, R"({"detect_pd":0.5,"aim":"similarity"})"), DecideOn::overall);
    // Two sets a head, half the people at either spot; a third of the answers right at both.
    std::vector<Observation> seen;
    for (int set = 0; set < 2; ++set) {
        Right right(80, std::vector<int>(2, -1));
        for (int i = 0; i < 80; ++i) right[static_cast<std::size_t>(i)][static_cast<std::size_t>(i % 2)] = (i / 6 + set) % 3 == 0;
        for (const Observation& one : observations(method("triangle"), plan, right)) seen.push_back(one);
    }
    const RoundFindings found = method("triangle").analyse(method("triangle"), seen, plan.rounds[0], plan);
    CHECK_FALSE(found.heterogeneity);
    CHECK(number(found.pooled, "p_value_similar") < 0.05);
    CHECK(found.verdict == "unsettled");
    const std::string words = said(method("triangle"), found.words);
    CHECK(words.find("whether the spots are alike could not be tested") != std::string::npos);
    CHECK(words.find("decide spot by spot") != std::string::npos);
    CHECK(words.find("takes a new tasting with new codes and") == std::string::npos);
}

TEST_CASE("after a closeness that is withheld more people are not the advice", "[round]") {
    const Plan plan = with_rule(plan_of("triangle", {"edge", "centre"}, 100, R"({"detect_pd":0.5,"aim":"similarity"})"), DecideOn::overall);
    const RoundFindings found = judged("triangle", plan, first_right(100, {46, 20}, 40));
    CHECK(found.verdict == "unsettled");
    const std::string words = said(method("triangle"), found.words);
    CHECK(words.find("the spots differ from each other, so that is not said of the whole") != std::string::npos);
    CHECK(words.find("What next: of spots that may differ an average says little") != std::string::npos);
    CHECK(words.find("this panel was about large enough") == std::string::npos);
}
