// What lay on the tongue before, and the shares had everything been served alike.

#include <catch2/catch.hpp>

#include "cases.hpp"

using namespace oddplate;
using namespace oddplate::judge::testing;

namespace {

const judge::Adjusted& adjusted(const judge::JudgedRound& round, std::string_view id) {
    for (const auto& one : round.adjusted)
        if (one.id == id) return one;
    FAIL("no adjusted share " << id);
    std::abort();
}

methods::Round three_spots() {
    methods::Round round = round_of("duo-trio", {"a", "b", "c"});
    round.settings["reference"] = std::string("current");   // two orders, so that trays end with either recipe in turn
    return round;
}

}   // namespace

TEST_CASE("carry-over: right after the weaker recipe, wrong after the stronger", "[judge]") {
    judge::Case made = case_of(8, {three_spots()});
    made.plan.salt_percent = {{"current", 2.0}, {"new", 2.4}};
    for (int ballot = 0; ballot < 8; ++ballot)
        for (int set = 0; set < 3; ++set) {
            const bool after_strong = set > 0 && made.key.ballots[at(ballot)].sets[at(set - 1)].portions.back().version == 1;
            answer_right(made, ballot, set, !after_strong);
        }
    const judge::Judged found = judged(made);
    // Trays 2 and 3 of every ballot follow one of each recipe: right once, wrong once. All eight the same way by luck: 2^-8.
    const methods::Check& numbed = check(found.rounds[0], "carry_over");
    REQUIRE(numbed.p_value);
    CHECK(*numbed.p_value == Approx(1.0 / 256).epsilon(1e-12));
    CHECK(numbed.alarm);
    CHECK(numbed.words.id == "judge.carry_over.numbed");
    // After the weaker one all right, after the other none.
    const judge::Adjusted& before = adjusted(found.rounds[0], "before");
    REQUIRE(before.share);
    CHECK(*before.share == Approx(0.5));
    CHECK(before.d_prime == 0.0);
    REQUIRE(adjusted(found.rounds[0], "sitting").why.size() > 0);   // each spot was always served at one place
    // Nobody said which recipe is the stronger: no direction is made up. The share after each recipe alike needs none.
    for (const std::map<std::string, double>& salt : {std::map<std::string, double>{}, {{"current", 2.0}, {"new", 2.0}}}) {
        made.plan.salt_percent = salt;
        const judge::Judged open = judged(made);
        const methods::Check& unknown = check(open.rounds[0], "carry_over");
        CHECK_FALSE(unknown.p_value);
        CHECK_FALSE(unknown.alarm);
        CHECK(unknown.words.id == "judge.carry_over.no_stronger");
        CHECK(adjusted(open.rounds[0], "before").share == before.share);
    }
}

TEST_CASE("carry-over: nothing lies before a first tray, nor after one that was not eaten", "[judge]") {
    judge::Case one_tray = case_of(6, {round_of("triangle")});
    answer_first(one_tray, 6, 3, 0);
    const judge::Judged found = judged(one_tray);
    CHECK_FALSE(check(found.rounds[0], "carry_over").p_value);
    CHECK_FALSE(adjusted(found.rounds[0], "before").share);
    judge::Case unserved = case_of(8, {three_spots()});
    for (int ballot = 0; ballot < 8; ++ballot) {
        answer(unserved, ballot, 0, "not-served");
        answer(unserved, ballot, 1, "not-served");
        answer_right(unserved, ballot, 2, ballot < 4);
    }
    CHECK_FALSE(check(judged(unserved).rounds[0], "carry_over").p_value);
}

TEST_CASE("the saltier recipe is the stronger one, whatever the round says", "[judge]") {
    judge::Case made = case_of(8, {three_spots()});
    made.plan.salt_percent = {{"current", 2.4}, {"new", 2.0}};
    for (int ballot = 0; ballot < 8; ++ballot)
        for (int set = 0; set < 3; ++set) {
            const bool after_current = set > 0 && made.key.ballots[at(ballot)].sets[at(set - 1)].portions.back().version == 0;
            answer_right(made, ballot, set, !after_current);
        }
    CHECK(check(judged(made).rounds[0], "carry_over").alarm);
}

TEST_CASE("adjusted: each serving order weighs the same", "[judge]") {
    judge::Case made = case_of(8, {round_of("paired-preference")});
    // New first on ballots 1, 3, 5, 7 (0-based odd); three of the four with the current one first stay empty.
    for (const int ballot : {1, 3, 5, 7, 0}) answer_right(made, ballot, 0, ballot != 0 && ballot != 7);
    const judge::Judged found = judged(made);
    const judge::Adjusted& orders = adjusted(found.rounds[0], "orders");
    REQUIRE(orders.share);
    CHECK(*orders.share == Approx((0.75 + 0.0) / 2));   // plain: 3 of 5
    CHECK_FALSE(orders.d_prime);                        // votes have no curve
}

TEST_CASE("adjusted: nothing of scores, and nothing of nothing", "[judge]") {
    const judge::Case empty = case_of(4, {round_of("triangle")});
    CHECK(judged(empty).rounds[0].adjusted.empty());
}

TEST_CASE("two-afc: who can't tell is left out of the test and reported", "[judge]") {
    methods::Round round = round_of("two-afc");
    round.settings["attribute"] = std::string("saltier");
    round.settings["stronger"] = std::string("new");
    round.settings["no_difference"] = true;
    judge::Case made = case_of(40, {round});
    answer_first(made, 30, 20, 0);
    for (int ballot = 30; ballot < 40; ++ballot) answer(made, ballot, 0, "none");
    const judge::Judged found = judged(made);
    const auto& round_found = found.rounds[0];
    CHECK(round_found.tally.counted == 30);
    CHECK(round_found.tally.undecided == 10);
    CHECK(round_found.tally.dealt == 40);
    CHECK(number(round_found.findings.pooled, "of") == 30);
    CHECK(number(round_found.findings.pooled, "no_difference") == 10);
    // As `count two-afc --correct 20 --of 30 --no-difference 10`; see its examples for the sources.
    CHECK(number(round_found.findings.pooled, "undecided_split.p_value") == Approx(0.0769299721).epsilon(1e-9));
    CHECK(number(round_found.findings.pooled, "three_outcomes.d") == Approx(0.476936276204470).epsilon(1e-12));
}

TEST_CASE("how sure after a choice: whether those who were right had been surer", "[judge]") {
    methods::Round round = round_of("triangle");
    round.settings["sureness"] = true;
    judge::Case made = case_of(12, {round});
    for (int ballot = 0; ballot < 12; ++ballot) {
        const bool right = ballot < 6;
        answer(made, ballot, 0, code_for(made, ballot, 0, right) + (right ? ":3" : ":1"));
    }
    const judge::Judged found = judged(made);
    const auto& pooled = found.rounds[0].findings.pooled;
    CHECK(number(pooled, "correct") == 6);
    CHECK(number(pooled, "sureness.r_index") == 1.0);
    CHECK(number(pooled, "sureness.p_value") == Approx(1.0 / 924).epsilon(1e-12));   // one of 12 over 6 ways
    judge::Case plain = case_of(12, {round_of("triangle")});
    answer_first(plain, 12, 6, 0);
    CHECK_FALSE(judged(plain).rounds[0].findings.pooled.find("sureness.r_index"));
}

TEST_CASE("people with three answers or more are told one by one, drawn towards the panel", "[judge]") {
    judge::Case made = case_of(8, {three_spots()});
    for (int ballot = 0; ballot < 8; ++ballot)
        for (int set = 0; set < 3; ++set) answer_right(made, ballot, set, ballot < 4);
    made.tasters[0] = "ann";
    const judge::Judged found = judged(made);
    const auto& lists = found.rounds[0].findings.pooled.lists;
    const auto each = std::find_if(lists.begin(), lists.end(), [](const auto& list) { return list.key == "each_taster"; });
    REQUIRE(each != lists.end());
    REQUIRE(each->rows.size() == 8);
    CHECK(std::get<std::string>(each->rows[0][0].value) == "ann");
    CHECK(std::get<std::string>(each->rows[1][0].value) == "2");
    const auto tells = [&](std::size_t row) { return std::get<double>(each->rows[row][3].value); };
    CHECK(tells(0) > tells(7));
    CHECK(tells(0) < 1);   // 3 of 3 is not yet somebody who always tells
}
