// Who ate what, and which answers count.

#include "unit/judge/cases.hpp"

using namespace oddplate;
using namespace oddplate::judge;
using namespace oddplate::judge::testing;

namespace {

Case triangle(int ballots = 24) {
    return case_of(ballots, {round_of("triangle")});
}

double correct(const Judged& judgement) {
    return number(judgement.rounds[0].findings.pooled, "correct");
}

}   // namespace

TEST_CASE("joining: right answers are counted as they were given", "[judge]") {
    Case made = triangle();
    answer_first(made, 24, 13, 0);
    const Judged found = judged(made);
    CHECK(correct(found) == 13);
    CHECK(number(found.rounds[0].findings.pooled, "of") == 24);
    CHECK(found.verdict == "different");   // ISO 4120 table A.1: 13 of 24 at .05
    CHECK(found.verdict == found.rounds[0].findings.verdict);
    CHECK(found.rounds[0].tally.counted == 24);
}

TEST_CASE("joining: after a swap the code on the other tray is scored by that tray", "[judge]") {
    Case made = triangle();
    for (int ballot = 2; ballot < 24; ++ballot) answer_right(made, ballot, 0, false);
    made.swaps.push_back({0, 1, 0});
    answer(made, 0, 0, code_for(made, 1, 0, true));    // ballot 1 ate tray 2 and found its odd portion
    answer(made, 1, 0, code_for(made, 0, 0, false));   // ballot 2 ate tray 1 and did not
    CHECK(correct(judged(made)) == 1);
    made.swaps.push_back({0, 1, 0});   // exchanged back: now these are codes of nobody's own tray
    CHECK_FALSE(judge::judge(made).ok());
}

TEST_CASE("joining: after a swap a code of one's own slip means the place that was ringed", "[judge]") {
    Case made = triangle();
    for (int ballot = 2; ballot < 24; ++ballot) answer_right(made, ballot, 0, false);
    // Ballot 1 has order 0 (odd left), ballot 2 order 1 (odd left), ballot 3 order 2 (odd right): rings on the left are right on
    // tray 2, wrong on tray 3.
    made.answers.erase(made.answers.begin());   // ballot 3's
    const std::string left_of_1 = made.room.ballots[0].sets[0].codes[0];
    const std::string left_of_3 = made.room.ballots[2].sets[0].codes[0];
    answer(made, 0, 0, left_of_1);
    answer(made, 2, 0, left_of_3);
    REQUIRE(code_for(made, 0, 0, true) == left_of_1);
    REQUIRE(code_for(made, 2, 0, true) != left_of_3);
    answer_right(made, 1, 0, false);
    CHECK(correct(judged(made)) == 1);   // ballot 1 on its own tray
    made.swaps.push_back({0, 2, 0});
    CHECK(correct(judged(made)) == 1);   // ballot 3 on tray 1
    made.swaps.push_back({0, 2, 0});
    CHECK(correct(judged(made)) == 1);
    made.swaps.pop_back();
    CHECK(correct(judged(made)) == 1);
}

TEST_CASE("joining: a swapped tray brings its own spot with it", "[judge]") {
    Case made = case_of(12, {round_of("triangle", {"edge", "centre"})});
    std::swap(made.room.ballots[1].sets[0].spot, made.room.ballots[1].sets[1].spot);   // ballot 2 is served the centre first
    for (int ballot = 2; ballot < 12; ++ballot)
        for (int set = 0; set < 2; ++set) answer_right(made, ballot, set, false);
    made.swaps.push_back({0, 1, 0});
    answer(made, 0, 0, code_for(made, 1, 0, true));    // the centre, on ballot 1
    answer(made, 1, 0, code_for(made, 0, 0, false));   // the edge, on ballot 2
    answer_right(made, 0, 1, false);
    answer_right(made, 1, 1, false);
    const auto spots = judged(made).rounds[0].findings.spots;
    CHECK(number(spots[0].findings, "correct") == 0);
    CHECK(number(spots[1].findings, "correct") == 1);
    CHECK(number(spots[0].findings, "of") + number(spots[1].findings, "of") == 24);
}

TEST_CASE("joining: a corrected row of tubs turns the votes of its spot alone", "[judge]") {
    Case made = case_of(20, {round_of("paired-preference", {"edge", "centre"})});
    answer_first(made, 20, 16, 0);
    answer_first(made, 20, 12, 1);
    const auto votes = [](const Judged& found, std::size_t spot) {
        return number(found.rounds[0].findings.spots[spot].findings, "for_new");
    };
    CHECK(votes(judged(made), 0) == 16);
    made.tubs.push_back({"edge", made.key.tubs[0].letters[1], 0});   // the letter on the new one really held the current one
    const Judged turned = judged(made);
    CHECK(votes(turned, 0) == 4);
    CHECK(votes(turned, 1) == 12);
    CHECK(warns(turned.warnings, "tubs_corrected"));
    CHECK_FALSE(warns(turned.warnings, "orders_uneven"));
    SECTION("the same fact about the other letter, or said twice, changes nothing more") {
        made.tubs.push_back({"edge", made.key.tubs[0].letters[0], 1});
        made.tubs.push_back({"edge", made.key.tubs[0].letters[1], 0});
        CHECK(votes(judged(made), 0) == 4);
    }
    SECTION("a later statement about the same letter wins") {
        made.tubs.push_back({"edge", made.key.tubs[0].letters[1], 1});
        CHECK(votes(judged(made), 0) == 16);
        CHECK_FALSE(warns(judged(made).warnings, "tubs_corrected"));
    }
}

TEST_CASE("joining: exchanged tubs leave an odd portion odd", "[judge]") {
    Case made = triangle();
    answer_first(made, 24, 15, 0);
    made.tubs.push_back({"", made.key.tubs[0].letters[0], 1});
    CHECK(correct(judged(made)) == 15);
}

TEST_CASE("joining: insiders stand apart whatever the case of their name", "[judge]") {
    Case made = triangle(30);
    answer_first(made, 30, 13, 0);
    made.plan.insiders = {"Robin"};
    made.tasters[0] = " ROBIN ";
    made.tasters[1] = "robin";
    const Judged found = judged(made);
    const JudgedRound& round = found.rounds[0];
    CHECK(correct(found) == 11);
    CHECK(round.tally.insiders == 2);
    CHECK(adds_up(round.tally));
    const Variant* with = variant(round, "with_insiders");
    REQUIRE(with != nullptr);
    CHECK(with->answers == 2);
    CHECK(number(with->pooled, "correct") == 13);
}

TEST_CASE("joining: late answers are weighed beside and never in the verdict", "[judge]") {
    Case made = triangle();
    for (int ballot = 0; ballot < 24; ++ballot) answer_right(made, ballot, 0, ballot < 13, ballot >= 20 || ballot == 0);
    const Judged found = judged(made);
    const JudgedRound& round = found.rounds[0];
    CHECK(correct(found) == 12);
    CHECK(number(round.findings.pooled, "of") == 19);
    CHECK(round.tally.late == 5);
    CHECK(adds_up(round.tally));
    const Variant* with = variant(round, "with_late");
    REQUIRE(with != nullptr);
    CHECK(with->answers == 5);
    CHECK(number(with->pooled, "correct") == 13);
    CHECK(number(with->pooled, "of") == 24);
}

TEST_CASE("joining: each set comes to one thing and the tally adds up", "[judge]") {
    Case made = case_of(14, {round_of("triangle", {"edge", "centre"})}, 4);
    for (int ballot = 0; ballot < 8; ++ballot)
        answer_right(made, ballot, 0, true);   // 9 and 10 are never dealt, 11 to 14 are spares
    answer(made, 0, 1, "blank");
    answer(made, 1, 1, "void");
    answer(made, 2, 1, "not-served");
    answer_right(made, 3, 1, true);
    answer_right(made, 4, 1, true, true);
    made.void_ballots[5] = true;
    made.opened_sets.push_back({6, 0});
    answer_right(made, 10, 0, false);   // a late guest on the first spare
    made.tasters[11] = "came, answered nothing";
    SECTION("without a stop") {
        const Judged found = judged(made);
        const Tally& tally = found.rounds[0].tally;
        CHECK(tally.dealt == 20);   // ballots 1 to 8, 11 and 12
        CHECK(tally.blank == 1);
        CHECK(tally.void_ == 3);   // the mark, and both sets of ballot 6
        CHECK(tally.not_served == 1);
        CHECK(tally.late == 1);
        CHECK(tally.opened == 1);
        CHECK(tally.counted == 8);   // 1-5 and 8 at the edge, 4 at the centre, the spare
        CHECK(tally.missing == 5);   // centre of 7, 8 and 11, both of 12
        CHECK(adds_up(tally));
        CHECK(number(found.rounds[0].findings.pooled, "of") == 8);
        const std::string text = said(made, found);
        CHECK(text.find("2 spare ballots were used") != std::string::npos);
    }
    SECTION("a stopped spot costs nobody anything") {
        made.stopped_spots = {"centre"};
        const Tally tally = judged(made).rounds[0].tally;
        CHECK(tally.not_served == 5);
        CHECK(tally.missing == 1);
        CHECK(adds_up(tally));
    }
    SECTION("a ballot that was handed out and never came back is missing") {
        made.handed.assign(14, false);
        made.handed[8] = true;
        const Tally tally = judged(made).rounds[0].tally;
        CHECK(tally.dealt == 22);
        CHECK(tally.missing == 7);
        CHECK(adds_up(tally));
    }
}

TEST_CASE("joining: an opened tray counts for nobody, swapped or not", "[judge]") {
    Case made = triangle(12);
    for (int ballot = 1; ballot < 12; ++ballot) answer_right(made, ballot, 0, ballot > 1);
    answer_right(made, 0, 0, true);
    made.opened_sets.push_back({0, 0});
    CHECK(correct(judged(made)) == 10);   // ballot 1's right answer stands aside
    made.answers[0].text = code_for(made, 0, 0, false);
    made.answers.back().text = code_for(made, 1, 0, true);
    made.swaps.push_back({0, 1, 0});   // tray 1 was eaten by ballot 2, who was wrong; ballot 1 found the odd one on tray 2
    const Judged found = judged(made);
    CHECK(correct(found) == 11);
    CHECK(found.rounds[0].tally.opened == 1);
    CHECK(found.rounds[0].tally.counted == 11);
}

TEST_CASE("joining: an insider's spoiled ballot and opened tray count nowhere at all", "[judge]") {
    Case made = case_of(12, {round_of("triangle", {"edge", "centre"})});
    for (int ballot = 0; ballot < 12; ++ballot)
        for (int set = 0; set < 2; ++set) answer_right(made, ballot, set, true);
    made.plan.insiders = {"kim", "robin"};
    made.tasters[0] = "kim";
    made.tasters[1] = "robin";
    made.void_ballots[0] = true;
    made.opened_sets.push_back({1, 0});
    const Judged found = judged(made);
    CHECK(found.rounds[0].tally.insiders == 4);
    REQUIRE(variant(found.rounds[0], "with_insiders") != nullptr);
    CHECK(variant(found.rounds[0], "with_insiders")->answers == 1);   // the centre of ballot 2
}

TEST_CASE("joining: exchanged tubs exchange the orders too", "[judge]") {
    // 40 trays with the current one first as drawn, 20 with the new one; everybody takes the first served, which is a habit and
    // no preference.
    Case made = case_of(80, {round_of("paired-preference")});
    for (int ballot = 0; ballot < 80; ++ballot)
        if (ballot % 2 == 0 || ballot < 40) answer(made, ballot, 0, made.room.ballots[at(ballot)].sets[0].codes[0]);
    CHECK(number(judged(made).rounds[0].findings.pooled, "p_value_order") == 1);
    made.tubs.push_back({"", made.key.tubs[0].letters[0], 1});
    const Judged turned = judged(made);
    CHECK(number(turned.rounds[0].findings.pooled, "for_new") == 40);
    CHECK(number(turned.rounds[0].findings.pooled, "p_value_order") == 1);
    CHECK(turned.verdict == "no-clear-preference");

    // Which is saltier: with unequal orders, everybody picks what really was the saltier one.
    methods::Round directed = round_of("two-afc");
    directed.settings["attribute"] = std::string("saltier");
    directed.settings["stronger"] = std::string("new");
    Case salty = case_of(60, {directed});
    salty.tubs.push_back({"", salty.key.tubs[0].letters[0], 1});
    for (int ballot = 0; ballot < 60; ++ballot)
        if (ballot % 2 == 0 || ballot < 30) answer_right(salty, ballot, 0, false);   // as drawn it would be the weaker one
    const Judged found = judged(salty);
    CHECK(correct(found) == 45);
    CHECK(number(found.rounds[0].findings.pooled, "p_value_order") < 1e-10);
    CHECK(found.verdict == "different");
}

TEST_CASE("joining: ballots of one nickname are one taster, unnamed ones each their own", "[judge]") {
    Case made = case_of(12, {round_of("paired-preference")});
    answer_first(made, 12, 9, 0);
    CHECK(number(judged(made).rounds[0].findings.pooled, "tasters") == 12);
    made.tasters[0] = "Kim";
    made.tasters[5] = "kim ";
    CHECK(number(judged(made).rounds[0].findings.pooled, "tasters") == 11);
}

TEST_CASE("joining: none counts where the round allows it and is refused where it doesn't", "[judge]") {
    methods::Round round = round_of("paired-preference");
    round.settings["no_preference"] = true;
    Case made = case_of(12, {round});
    answer_first(made, 11, 8, 0);
    answer(made, 11, 0, "none");
    const Judged found = judged(made);
    CHECK(found.rounds[0].tally.counted == 12);
    CHECK(number(found.rounds[0].findings.pooled, "no_preference") == 1);
    made.plan.rounds[0].settings["no_preference"] = false;
    const auto refused = judge::judge(made);
    REQUIRE_FALSE(refused.ok());
    CHECK(refused.faults()[0].where == "ballot 12, set 1");
}

TEST_CASE("joining: a code of another tray is a fault at its place", "[judge]") {
    Case made = triangle(6);
    answer(made, 2, 0, made.room.ballots[3].sets[0].codes[0]);
    answer(made, 4, 0, "4x7");
    const auto refused = judge::judge(made);
    REQUIRE_FALSE(refused.ok());
    REQUIRE(refused.faults().size() == 2);
    CHECK(refused.faults()[0].where == "ballot 3, set 1");
    CHECK(refused.faults()[1].where == "ballot 5, set 1");
}
