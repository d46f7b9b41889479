// Checks, variants, words: what holds for every method.

#include "unit/judge/cases.hpp"

#include <cmath>
#include <numeric>

using namespace oddplate;
using namespace oddplate::judge;
using namespace oddplate::judge::testing;

namespace {

/// Ballots in another order; everything that belongs to a ballot moves with it.
Case relabelled(const Case& made, const std::vector<int>& to) {
    Case other = made;
    std::vector<int> from(to.size());
    for (std::size_t old = 0; old < to.size(); ++old) from[at(to[old])] = static_cast<int>(old);
    for (std::size_t now = 0; now < from.size(); ++now) {
        const std::size_t old = at(from[now]);
        other.room.ballots[now] = made.room.ballots[old];
        other.key.ballots[now] = made.key.ballots[old];
        other.tasters[now] = made.tasters[old];
        other.void_ballots[now] = made.void_ballots[old];
        other.told_beforehand[now] = made.told_beforehand[old];
    }
    for (auto& given : other.answers) given.ballot = to[at(given.ballot)];
    for (auto& swap : other.swaps) swap = {to[at(swap.ballot_a)], to[at(swap.ballot_b)], swap.set};
    for (auto& [ballot, set] : other.opened_sets) ballot = to[at(ballot)];
    std::reverse(other.answers.begin(), other.answers.end());
    return other;
}

void same(const methods::Findings& one, const methods::Findings& other) {
    CHECK(one.verdict == other.verdict);
    REQUIRE(one.fields.size() == other.fields.size());
    for (std::size_t i = 0; i < one.fields.size(); ++i) {
        CAPTURE(one.fields[i].key);
        CHECK(one.fields[i].key == other.fields[i].key);
        if (one.fields[i].key.starts_with("p_value_draw")) continue;   // the draw deals orders in blocks of ballots, so here the number tells
        CHECK(one.fields[i].value == other.fields[i].value);
    }
}

}   // namespace

TEST_CASE("judge: which number a ballot has changes nothing", "[judge]") {
    Case made = case_of(24, {round_of("triangle", {"edge", "centre"}), round_of("paired-preference", {"edge", "centre"})});
    for (int set = 0; set < 4; ++set)
        for (int ballot = 0; ballot < 22; ++ballot)
            if ((ballot + set) % 9 != 0) answer_right(made, ballot, set, (ballot * 7 + set * 3) % 5 < 3);
    made.tasters[3] = "kim";
    made.tasters[9] = "Kim";
    made.void_ballots[5] = true;
    made.told_beforehand[6] = true;
    made.told_beforehand[7] = false;
    made.opened_sets.push_back({8, 1});
    made.swaps.push_back({10, 11, 2});
    std::vector<int> to(24);
    for (int i = 0; i < 24; ++i) to[at(i)] = (i * 5 + 7) % 24;
    const Judged one = judged(made), other = judged(relabelled(made, to));
    CHECK(one.verdict == other.verdict);
    CHECK(one.words == other.words);
    CHECK(one.warnings == other.warnings);
    REQUIRE(one.rounds.size() == 2);
    for (std::size_t round = 0; round < 2; ++round) {
        same(one.rounds[round].findings.pooled, other.rounds[round].findings.pooled);
        CHECK(one.rounds[round].findings.heterogeneity == other.rounds[round].findings.heterogeneity);
        for (std::size_t i = 0; i < one.rounds[round].findings.checks.size(); ++i) {
            CAPTURE(one.rounds[round].findings.checks[i].id);
            CHECK(one.rounds[round].findings.checks[i].p_value == other.rounds[round].findings.checks[i].p_value);
        }
        CHECK(one.rounds[round].tally.missing == other.rounds[round].tally.missing);
        CHECK(adds_up(one.rounds[round].tally));
    }
}

TEST_CASE("judge: the rounds stand apart and the first one's verdict is the tasting's", "[judge]") {
    Case made = case_of(24, {round_of("triangle"), round_of("paired-preference", {"edge", "centre"})});
    answer_first(made, 24, 9, 0);
    answer_first(made, 24, 20, 1);
    answer_first(made, 24, 19, 2);
    const Judged found = judged(made);
    CHECK(found.verdict == "unsettled");
    CHECK(found.rounds[0].method == "triangle");
    CHECK(found.rounds[1].findings.verdict == "new-preferred");
    CHECK(number(found.rounds[1].findings.spots[0].findings, "for_new") == 20);
    CHECK(number(found.rounds[1].findings.spots[1].findings, "for_new") == 19);
    CHECK(number(found.rounds[1].findings.pooled, "tasters") == 24);
}

TEST_CASE("judge: a place picked too often raises an alarm, also where the orders came out unequal", "[judge]") {
    Case made = case_of(24, {round_of("triangle")});
    for (int ballot = 0; ballot < 24; ++ballot) answer(made, ballot, 0, made.room.ballots[at(ballot)].sets[0].codes[0]);
    const Judged found = judged(made);
    const methods::Check& picks = check(found.rounds[0], "position_picks");
    CHECK(picks.alarm);
    // All 24 at one place of three: 3 (1/3)^24.
    CHECK(*picks.p_value == Approx(3 * std::pow(3.0, -24)).epsilon(1e-6));
    CHECK(warns(found.warnings, "position_picks"));

    // Only trays with the odd portion on the left, and everybody finds it: that is no habit.
    Case left = case_of(24, {round_of("triangle")});
    for (int ballot = 0; ballot < 24; ++ballot)
        if (code_for(left, ballot, 0, true) == left.room.ballots[at(ballot)].sets[0].codes[0])
            answer_right(left, ballot, 0, true);
    const Judged told = judged(left);
    CHECK_FALSE(check(told.rounds[0], "position_picks").alarm);
    CHECK(check(told.rounds[0], "orders_balanced").alarm);
}

TEST_CASE("judge: for pairs first and second served are compared", "[judge]") {
    Case made = case_of(20, {round_of("paired-preference")});
    for (int ballot = 0; ballot < 20; ++ballot) answer(made, ballot, 0, made.room.ballots[at(ballot)].sets[0].codes[0]);
    const Judged found = judged(made);
    CHECK(check(found.rounds[0], "first_and_second").alarm);
    CHECK(*check(found.rounds[0], "first_and_second").p_value == Approx(2 * std::pow(2.0, -20)).epsilon(1e-6));
    CHECK(said(made, found).find("The portion served first was picked 20 of 20 times") != std::string::npos);
    CHECK(found.verdict == "no-clear-preference");
}

TEST_CASE("judge: orders unbalanced by no-shows put the test that allows for habits first", "[judge]") {
    Case made = case_of(30, {round_of("paired-preference")});
    for (int ballot = 0; ballot < 30; ++ballot)
        if (ballot % 2 == 0 || ballot < 14)
            answer(made, ballot, 0, made.room.ballots[at(ballot)].sets[0].codes[1]);   // always the second served
    const Judged found = judged(made);
    CHECK(warns(found.warnings, "orders_uneven"));
    CHECK(number(found.rounds[0].findings.pooled, "p_value_order") == 1);
    CHECK(found.verdict == "no-clear-preference");
    CHECK(said(made, found).find("The orders of serving did not come out equally often") != std::string::npos);
}

TEST_CASE("judge: right answers that fall over the sitting raise an alarm", "[judge]") {
    Case made = case_of(16, {round_of("triangle", {"a", "b", "c", "d"})});
    for (int ballot = 0; ballot < 16; ++ballot) {
        auto& sets = made.room.ballots[at(ballot)].sets;
        for (int set = 0; set < 4; ++set) sets[at(set)].spot = (set + ballot) % 4;   // spots turn through the places
        for (int set = 0; set < 4; ++set) answer_right(made, ballot, set, set < 2);
    }
    const Judged found = judged(made);
    CHECK(check(found.rounds[0], "falling_over_sitting").alarm);
    CHECK(*check(found.rounds[0], "falling_over_sitting").p_value < 1e-6);
    // Each spot always at the same place: can't be told apart, and says so.
    for (auto& ballot : made.room.ballots)
        for (int set = 0; set < 4; ++set) ballot.sets[at(set)].spot = set;
    const Judged confounded = judged(made);
    CHECK_FALSE(check(confounded.rounds[0], "falling_over_sitting").p_value);
    CHECK(check(confounded.rounds[0], "falling_over_sitting").words.id == "judge.sitting.confounded");
}

TEST_CASE("judge: those whom something told are counted and shown without", "[judge]") {
    Case made = case_of(24, {round_of("triangle")});
    answer_first(made, 24, 13, 0);
    for (int ballot = 0; ballot < 6; ++ballot) made.told_beforehand[at(ballot)] = true;
    made.told_beforehand[10] = false;
    const Judged found = judged(made);
    CHECK(found.verdict == "different");
    CHECK(warns(found.warnings, "told_beforehand"));
    const Variant* without = variant(found.rounds[0], "without_told");
    REQUIRE(without != nullptr);
    CHECK(without->answers == 6);
    CHECK(number(without->pooled, "correct") == 7);
    CHECK(without->verdict == "unsettled");
}

TEST_CASE("judge: more than one lost set in twenty brings both ends of what they could have been", "[judge]") {
    Case made = case_of(24, {round_of("triangle")});
    for (int ballot = 0; ballot < 24; ++ballot) {
        if (ballot < 22)
            answer_right(made, ballot, 0, ballot < 12);   // 12 of 22, p .0345
        else
            answer(made, ballot, 0, ballot == 22 ? "void" : "blank");
    }
    const Judged found = judged(made);
    CHECK(found.verdict == "different");
    CHECK(warns(found.warnings, "missing_answers"));
    const Variant *high = variant(found.rounds[0], "missing_high"), *low = variant(found.rounds[0], "missing_low");
    REQUIRE(high != nullptr);
    REQUIRE(low != nullptr);
    CHECK(number(high->pooled, "correct") == 14);
    CHECK(number(low->pooled, "correct") == 12);
    CHECK(number(low->pooled, "of") == 24);
    CHECK(low->verdict == "unsettled");
    CHECK(said(made, found).find("The verdict depends on the 2 missing answers") != std::string::npos);

    Case few = case_of(24, {round_of("triangle")});   // one of 24 is less than one in twenty
    answer_first(few, 23, 13, 0);
    answer(few, 23, 0, "void");
    CHECK(variant(judged(few).rounds[0], "missing_high") == nullptr);
    CHECK_FALSE(warns(judged(few).warnings, "missing_answers"));
}

TEST_CASE("judge: lost votes are imagined for the one recipe and for the other", "[judge]") {
    Case made = case_of(20, {round_of("paired-preference")});
    for (int ballot = 0; ballot < 18; ++ballot) answer_right(made, ballot, 0, ballot < 14);
    answer(made, 18, 0, "void");
    answer(made, 19, 0, "void");
    const Judged found = judged(made);
    CHECK(number(variant(found.rounds[0], "missing_high")->pooled, "for_new") == 16);
    CHECK(number(variant(found.rounds[0], "missing_low")->pooled, "for_current") == 6);
}

TEST_CASE("judge: the words about two pieces that differ follow what the method's verdict claims", "[judge]") {
    for (const methods::Method* method : methods::all()) {
        const std::span<const std::string_view> own = method->verdicts;
        for (const std::string_view verdict : {"different", "slight", "new-preferred", "current-preferred", "one-leads", "some-lead"}) {
            CAPTURE(method->id, verdict);
            CHECK(method->claims_difference(verdict) == (std::find(own.begin(), own.end(), verdict) != own.end()));
        }
    }
    for (const methods::Method* method : methods::all())
        for (const std::string_view verdict : {"unsettled", "close-enough", "no-clear-preference", "no-clear-order"})
            CHECK_FALSE(method->claims_difference(verdict));
}

TEST_CASE("judge: one whole piece a recipe is said, several are told piece by piece", "[judge]") {
    Case made = case_of(24, {round_of("triangle")});
    answer_first(made, 24, 14, 0);
    CHECK(said(made, judged(made)).find("these two pieces differ") != std::string::npos);
    Case quiet = case_of(24, {round_of("triangle")});
    answer_first(quiet, 24, 9, 0);
    const std::string open = said(quiet, judged(quiet));
    CHECK(open.find("these two pieces differ") == std::string::npos);
    CHECK(open.find("About these two pieces") != std::string::npos);

    made.plan.pieces = 2;
    for (int ballot = 0; ballot < 24; ++ballot)
        for (auto& portion : made.key.ballots[at(ballot)].sets[0].portions) portion.piece = ballot < 12 ? 0 : 1;
    const auto rows = judged(made).rounds[0].pieces;
    REQUIRE(rows.size() == 4);   // current 1, current 2, new 1, new 2
    CHECK((rows[2].version == 1 && rows[2].piece == 0 && rows[2].trays == 12));
    CHECK(rows[2].mean == std::optional(1.0));
    CHECK((rows[1].version == 0 && rows[1].piece == 1));
    CHECK(*rows[1].mean == Approx(2.0 / 12));
}

TEST_CASE("judge: a tasting to which nobody came is open, and says why", "[judge]") {
    Case made = case_of(12, {round_of("triangle", {"edge", "centre"}), round_of("paired-preference")});
    const Judged found = judged(made);
    CHECK(found.verdict == "unsettled");
    CHECK(found.rounds[1].findings.verdict == "no-clear-preference");
    CHECK(found.rounds[0].tally.dealt == 0);
    CHECK(said(made, found).find("No ballot was dealt") != std::string::npos);
}

TEST_CASE("judge: fewer people than the question needs is said", "[judge]") {
    methods::Round round = round_of("triangle");
    round.settings["detect_pd"] = 0.4;
    Case made = case_of(24, {round});
    answer_first(made, 12, 7, 0);
    const Judged found = judged(made);
    CHECK(warns(found.warnings, "too_few_tasters"));
    CHECK(check(found.rounds[0], "enough_tasters").words.args.at("n") == core::Argument{std::int64_t{12}});
}

TEST_CASE("judge: what was shown was not missed, few enough as little as a difference", "[judge]") {
    methods::Round round = round_of("triangle");
    round.settings["aim"] = std::string("similarity");
    round.settings["same_below_d"] = 2.0;
    Case made = case_of(24, {round});
    for (int ballot = 0; ballot < 24; ++ballot) answer_right(made, ballot, 0, ballot % 3 == 0);
    const Judged found = judged(made);
    REQUIRE(found.verdict == "close-enough");
    REQUIRE(warns(found.warnings, "too_few_tasters"));
    CHECK(check(found.rounds[0], "enough_tasters").words.id == "judge.people.fewer");
}

TEST_CASE("judge: everything that is said can be said, in plain words", "[judge][words]") {
    std::string all;
    for (int right = 0; right <= 24; right += 2) {
        for (const char* id : {"triangle", "paired-preference"}) {
            for (const auto rule : {methods::DecideOn::overall, methods::DecideOn::any_spot, methods::DecideOn::each_spot}) {
                methods::Round round = round_of(id, {"edge", "centre"});
                round.decide_on = rule;
                if (round.method == "triangle")
                    round.settings["detect_pd"] = 0.4;
                else {
                    round.settings["share"] = 0.7;
                    round.settings["not_less"] = 0.4;
                    round.settings["no_preference"] = true;
                }
                Case made = case_of(26, {round}, 2);
                answer_first(made, 24, right, 0);
                answer_first(made, 20 + right % 5, std::min(24 - right, 20), 1);
                made.tasters[2] = "kim";
                made.plan.insiders = {"kim"};
                made.told_beforehand[4] = true;
                answer_right(made, 25, 0, true, true);
                made.stopped_spots = {right % 4 == 0 ? "centre" : ""};
                made.plan.same_recipe = right % 6 == 0;
                made.tubs.push_back({"edge", made.key.tubs[0].letters[0], right % 4 == 0});
                all += said(made, judged(made));
            }
        }
    }
    CHECK(all.find('[') == std::string::npos);
    for (const char* banned : {"significant", "failed", "no difference", "walk-in", "discriminator", "null hypothesis"}) {
        CAPTURE(banned);
        CHECK(all.find(banned) == std::string::npos);
    }
}
