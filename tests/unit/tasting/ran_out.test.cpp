// A recipe that ran out: what may be typed then, what is refused, and what taking it back would lose.

#include <catch2/catch.hpp>

#include "oddplate/core/text.hpp"
#include "oddplate/tasting/evenings.hpp"
#include "oddplate/tasting/intake.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/shorthand.hpp"
#include "sealing.hpp"

namespace oddplate::tasting {
namespace {

using namespace testing;

/// Four recipes, as many on a tray as asked; drawn, and sealed where that is asked.
struct Four : Kitchen {
    std::string id;
    draw::Key key;

    explicit Four(const std::string& round, bool seal = false, const std::string& people = R"("tasters":12)") {
        const std::string text = R"({"title":"Made up","versions":[{"id":"a"},{"id":"b"},{"id":"c"},{"id":"d"}],)" + people + R"(,"rounds":[)" + round + "]}";
        id = good(keeper.plan(good(read_plan(text, "plan.json"))));
        good(keeper.draw(id, {.seal = seal ? std::optional(k_seal) : std::nullopt}));
        key = good(keeper.key(state(id), true, seal ? std::optional(k_seal) : std::nullopt)).key;
    }
    [[nodiscard]] std::vector<std::string> codes(int ballot, const std::string& without = {}) {
        const State now = state(id);
        const auto& set = now.room.ballots[static_cast<std::size_t>(ballot)].sets[0];
        std::vector<std::string> left;
        for (std::size_t i = 0; i < set.codes.size(); ++i)
            if (now.plan.versions[static_cast<std::size_t>(key.ballots[static_cast<std::size_t>(ballot)].sets[0].portions[i].version)].id != without) left.push_back(set.codes[i]);
        return left;
    }
    [[nodiscard]] std::string order(int ballot, const std::string& without = {}) { return core::joined(codes(ballot, without), ">"); }
    /// The first ballot whose tray holds the recipe, or doesn't.
    [[nodiscard]] int ballot_with(const std::string& version, bool holds) {
        for (int ballot = 0; ballot < 12; ++ballot)
            if ((codes(ballot, version).size() < codes(ballot).size()) == holds) return ballot;
        FAIL("no such tray");
        return -1;
    }
    Intake take(int ballot, const std::string& answer) {
        State now = state(id);
        return good(keeper.enter(now, {{.line = 2, .ballot = now.ballot_name(ballot), .set = "1", .answer = answer}}, "csv", false, false));
    }
    core::Status correct(int ballot, const std::string& answer) { return keeper.correct(id, {.ballot = std::to_string(ballot + 1), .set = "1", .answer = answer, .why = "misread"}); }
    [[nodiscard]] std::string kept(int ballot) { return state(id).answers.at({ballot, 0}).text; }
    [[nodiscard]] std::string refusal(int ballot, const std::string& answer) {
        const auto text = answer_text(state(id), ballot, 0, answer);
        return text ? std::string("taken") : text.faults().front().line();
    }
};

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

const std::string k_all = R"({"method":"ranking","tray_size":4})", k_three = R"({"method":"ranking","tray_size":3})", k_pairs = R"({"method":"ranking","tray_size":2})";

TEST_CASE("ran out: it is not served again while an answer as it stands now lacks its portion", "[tasting]") {
    Four four(k_all);
    four.take(0, four.order(0));
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    good(four.correct(0, four.order(0, "c")));
    const auto back = four.keeper.serve_again(four.id, "c", "it is there");
    REQUIRE(code_of(back) == "answered-without");
    CHECK(back.faults().front().line() == "ballot 1 tray 1 is answered without it, so version c stays withdrawn");
    good(four.correct(0, four.order(0)));
    good(four.keeper.serve_again(four.id, "c", "it is there"));
}

TEST_CASE("ran out: trays that lack another recipe hold none back", "[tasting]") {
    Four four(k_all);
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    good(four.keeper.withdraw(four.id, "d", "the wrong tub"));
    four.take(0, four.order(0, "c"));
    CHECK(code_of(four.keeper.serve_again(four.id, "c", "x")) == "answered-without");
    good(four.keeper.serve_again(four.id, "d", "it is there"));
}

TEST_CASE("ran out: under a seal nobody can tell which portion is missing, so an answer without one holds every recipe back", "[tasting]") {
    Four four(k_all, true);
    four.take(0, four.order(0));
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    good(four.keeper.serve_again(four.id, "c", "it is there"));
    good(four.keeper.withdraw(four.id, "c", "sold out after all"));
    good(four.correct(0, four.order(0, "c")));
    const auto back = four.keeper.serve_again(four.id, "c", "it is there");
    REQUIRE(code_of(back) == "answered-without");
    CHECK(has(back.faults().front().line(), "ballot 1 tray 1 is answered without a portion, and only the list of codes can tell of which recipe"));
}

TEST_CASE("ran out: of a tray of two one code is all of an answer that stands, or of a tray that held both", "[tasting]") {
    Four four(k_pairs);
    const int with = four.ballot_with("c", true), whole = four.ballot_with("c", false);
    const std::vector<std::string> codes = four.codes(with);
    four.take(with, codes[0]);
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    CHECK(four.take(with, codes[0]).already == 1);
    CHECK(four.take(with, codes[1]).rejected.front().code == "answered-already");
    good(four.correct(with, codes[1]));
    CHECK(four.kept(with) == codes[1] + ">" + codes[0]);
    CHECK(four.take(whole, four.codes(whole)[0]).accepted == 1);
    for (int ballot = with + 1; ballot < 12; ++ballot) {
        if (four.codes(ballot, "c").size() == 2) continue;
        CHECK(has(four.refusal(ballot, four.codes(ballot, "c")[0]), "or not-served where a portion was missing"));
        return;
    }
    FAIL("one tray only held it");
}

TEST_CASE("ran out: a portion that was there can't be left out of an order", "[tasting]") {
    Four four(k_three);
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    const int with = four.ballot_with("c", true), whole = four.ballot_with("c", false);
    CHECK(four.take(with, four.order(with, "c")).accepted == 1);
    const std::vector<std::string> codes = four.codes(whole);
    CHECK(has(four.refusal(whole, codes[0] + ">" + codes[1]), "expected all codes in order"));
    CHECK(four.take(whole, four.order(whole)).accepted == 1);
}

TEST_CASE("ran out: a state that is held open learns of it", "[tasting]") {
    Four four(k_three);
    State held = four.state(four.id);
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    good(four.keeper.refresh(held));
    CHECK(held.may_lack(four.ballot_with("c", true), 0) == 1);
    CHECK(held.may_lack(four.ballot_with("c", false), 0) == 0);
    good(four.keeper.serve_again(four.id, "c", "it is there"));
    good(four.keeper.refresh(held));
    CHECK(held.may_lack(four.ballot_with("c", true), 0) == 0);
}

TEST_CASE("ran out: hint and refusal show the form that works, with its codes", "[tasting]") {
    const core::Words words = core::Words::english();
    Four four(R"({"method":"rating","tray_size":3})");
    const int with = four.ballot_with("c", true), whole = four.ballot_with("c", false);
    CHECK_FALSE(has(how_to_type(four.state(four.id), words).front(), "a portion is missing"));
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    const std::vector<std::string> codes = four.codes(with);
    CHECK(has(how_to_type(four.state(four.id), with, 0, words), "Where a portion is missing, the codes that are there with what is said of each, such as " + codes[0] + ":7 " + codes[1] + ":5."));
    CHECK(has(how_to_type(four.state(four.id), words).front(), "Where a portion is missing"));
    CHECK_FALSE(has(how_to_type(four.state(four.id), whole, 0, words), "a portion is missing"));
    CHECK(has(four.refusal(with, "6 7"), "found 6 7, expected a score"));
    CHECK(has(four.refusal(with, "6 7"), "where a portion was missing, only the codes that were there, such as " + codes[0] + ":1 " + codes[1] + ":1"));
    CHECK_FALSE(has(four.refusal(whole, "6 7"), "missing"));
}

TEST_CASE("typed short: scores take commas, ticked words any order, and a fault quotes what was typed", "[tasting]") {
    Four scores(R"({"method":"rating","tray_size":3})"), ticks(R"({"method":"check-all","words":"salty, sweet, dry","tray_size":3})");
    const auto by_code = [](const std::vector<std::string>& codes, const std::vector<std::string>& said) {
        std::string text;
        for (std::size_t i = 0; i < codes.size(); ++i) text += (i == 0 ? "" : " ") + codes[i] + ":" + said[i];
        return text;
    };
    for (const char* typed : {"7,5,6", "7, 5, 6", "7 5 6"}) CHECK(good(answer_text(scores.state(scores.id), 0, 0, typed)) == by_code(scores.codes(0), {"7", "5", "6"}));
    for (const char* typed : {"2/1 0 3", "1/2 0 3"}) CHECK(good(answer_text(ticks.state(ticks.id), 0, 0, typed)) == by_code(ticks.codes(0), {"1/2", "0", "3"}));
    CHECK(good(answer_text(ticks.state(ticks.id), 0, 0, by_code(ticks.codes(0), {"3/2", "0", "1"}))) == by_code(ticks.codes(0), {"2/3", "0", "1"}));
    CHECK(has(ticks.refusal(0, "12 0"), "found 12 0, expected"));
    CHECK(has(ticks.refusal(0, "2/2 0 1"), "found 2/2 0 1, expected"));
}

TEST_CASE("typed short: after a swap one code of the tray that was eaten is the one put first", "[tasting]") {
    Four four(k_pairs);
    good(four.keeper.swap(four.id, "3", "4", "1", "mixed up"));
    const std::vector<std::string> own = four.codes(2), eaten = four.codes(3);
    CHECK(good(answer_text(four.state(four.id), 2, 0, eaten[1])) == eaten[1] + ">" + eaten[0]);
    CHECK(good(answer_text(four.state(four.id), 2, 0, own[0])) == own[0] + ">" + own[1]);
    CHECK(has(four.refusal(2, eaten[1] + ">" + own[0]), "expected all codes in order"));   // of two trays
}

/// Ballots 0 to 5 are dealt on the first evening, 6 to 11 on the second.
const std::string k_evenings = R"("evenings":[{"tasters":6},{"tasters":6}])";

TEST_CASE("ran out: what ran out on one evening is there again on the next, and may run out once more", "[tasting]") {
    Four four(k_all, false, k_evenings);
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    CHECK(four.take(0, four.order(0, "c")).accepted == 1);
    CHECK(four.take(1, four.order(1)).accepted == 1);
    const auto back = four.keeper.serve_again(four.id, "c", "there again");
    REQUIRE(code_of(back) == "answered-without");
    CHECK(back.faults().front().line() == "ballot 1-01 tray 1 is answered without it, so version c stays withdrawn until evening 1 is closed");
    good(four.keeper.close_evening(four.id, 0, true));
    CHECK(code_of(four.keeper.withdraw(four.id, "c", "sold out")) == "withdrawn");   // it is off till it is said to be there
    CHECK(four.state(four.id).may_lack(6, 0) == 1);

    good(four.keeper.serve_again(four.id, "c", "there again"));
    CHECK(four.keeper.serve_again(four.id, "c", "x").faults().front().line() == "version c is served again already");
    CHECK(four.state(four.id).may_lack(0, 0) == 1);
    CHECK(four.state(four.id).may_lack(6, 0) == 0);
    CHECK(has(four.refusal(6, four.order(6, "c")), "expected all codes in order"));
    CHECK(four.take(6, four.order(6)).accepted == 1);
    CHECK(case_of(four.state(four.id), AnswersAs::now).plan.withdrawn.empty());

    good(four.keeper.withdraw(four.id, "c", "sold out once more"));
    CHECK(case_of(four.state(four.id), AnswersAs::now).plan.withdrawn == std::vector{2});
    good(four.keeper.serve_again(four.id, "c", "by mistake"));
    CHECK(four.state(four.id).withdrawals.size() == 1);
    good(four.keeper.withdraw(four.id, "c", "sold out after all"));
    CHECK(four.take(7, four.order(7, "c")).accepted == 1);
    const auto too_late = four.keeper.serve_again(four.id, "c", "x");
    CHECK(too_late.faults().front().line() == "ballot 2-02 tray 1 is answered without it, so version c stays withdrawn");
}

/// What became of the trays that were dealt.
judge::Tally judged(Four& four) {
    good(four.keeper.close(four.id, true));
    State now = four.state(four.id);
    KeyPaper paper = good(four.keeper.key(now));
    return good(outcome_of(now, paper)).at_close.rounds.front().tally;
}

TEST_CASE("ran out: each tray is judged by what was served at its evening", "[tasting]") {
    Four four(k_all, false, k_evenings);
    for (const char* ballot : {"1-02", "2-02"}) good(four.keeper.hand(four.id, ballot, ""));
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    four.take(0, four.order(0, "c"));
    good(four.keeper.close_evening(four.id, 0, true));
    good(four.keeper.serve_again(four.id, "c", "there again"));
    four.take(6, four.order(6));
    const judge::Tally tally = judged(four);
    CHECK(tally.counted == 2);
    CHECK(tally.not_served == 1);   // 1-02
    CHECK(tally.missing == 1);      // 2-02
}

TEST_CASE("ran out: a recipe that ran out on a later evening excuses no tray of an earlier one", "[tasting]") {
    Four four(k_all, false, k_evenings);
    good(four.keeper.hand(four.id, "1-02", ""));
    four.take(0, four.order(0));
    good(four.keeper.close_evening(four.id, 0, true));
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    four.take(6, four.order(6, "c"));
    const judge::Tally tally = judged(four);
    CHECK(tally.counted == 2);
    CHECK(tally.missing == 1);
}

TEST_CASE("ran out: an evening's papers leave out what is off on that evening", "[tasting]") {
    Four four(k_all, false, k_evenings);
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    four.take(0, four.order(0, "c"));
    good(four.keeper.close_evening(four.id, 0, true));
    CHECK(part_of(four.state(four.id), 1).state.withdrawals.size() == 1);
    good(four.keeper.serve_again(four.id, "c", "there again"));
    const State now = four.state(four.id);
    const State first = part_of(now, 0).state, second = part_of(now, 1).state;
    CHECK(first.is_withdrawn("c"));
    CHECK(first.may_lack(0, 0) == 1);
    CHECK_FALSE(second.is_withdrawn("c"));
    CHECK(second.may_lack(0, 0) == 0);
    CHECK_FALSE(now.is_withdrawn("c"));
}

TEST_CASE("ran out: under a seal an earlier evening's answers hold nothing back, tonight's do", "[tasting]") {
    Four four(k_all, true, k_evenings);
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    four.take(0, four.order(0, "c"));
    good(four.keeper.close_evening(four.id, 0, true));
    four.take(6, four.order(6, "c"));
    CHECK(has(four.keeper.serve_again(four.id, "c", "there again").faults().front().line(), "ballot 2-01 tray 1 is answered without a portion"));
    good(four.keeper.correct(four.id, {.ballot = "2-01", .set = "1", .answer = four.order(6), .why = "misread"}));
    good(four.keeper.serve_again(four.id, "c", "there again"));
    CHECK(four.state(four.id).may_lack(0, 0) == 1);
    CHECK(four.state(four.id).may_lack(7, 0) == 0);
}

TEST_CASE("ran out: where too little is left the evening is closed, and after the last the tasting", "[tasting]") {
    Four four(k_all, false, k_evenings);
    for (const char* version : {"c", "d"}) good(four.keeper.withdraw(four.id, version, "sold out"));
    CHECK(has(four.keeper.withdraw(four.id, "b", "x").faults().front().line(), "nothing is left to compare: close evening 1 instead"));
    good(four.keeper.close_evening(four.id, 0, true));
    good(four.keeper.serve_again(four.id, "c", "there again"));
    good(four.keeper.withdraw(four.id, "b", "sold out"));
    CHECK(has(four.keeper.withdraw(four.id, "c", "x").faults().front().line(), "nothing is left to compare: close the tasting instead"));
}

TEST_CASE("ran out: what a tray may lack follows a tub that held another recipe", "[tasting]") {
    Four four(k_three);
    good(four.keeper.withdraw(four.id, "c", "sold out"));
    State held = four.state(four.id);
    const draw::TubRow& row = four.key.tubs.front();
    good(four.keeper.tubs_found(four.id, row.spot, row.letters[3], "c", "cards read afterwards"));   // what was drawn as d was c, and the other way round
    good(four.keeper.refresh(held));
    for (const State& now : {held, four.state(four.id)})
        for (int ballot = 0; ballot < 12; ++ballot) CHECK(now.may_lack(ballot, 0) == (four.codes(ballot, "d").size() == 2 ? 1U : 0U));
    const int with = four.ballot_with("d", true);
    CHECK(four.take(with, four.order(with, "d")).accepted == 1);
}

}   // namespace
}   // namespace oddplate::tasting
