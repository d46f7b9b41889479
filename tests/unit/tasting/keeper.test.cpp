// The rules of a tasting's life: what may be done when, and what each act leaves behind.

#include <catch2/catch.hpp>

#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "sealing.hpp"

namespace oddplate::tasting {
namespace {

using namespace testing;

std::string code_on(const State& state, int ballot, int set, std::size_t place) {
    return state.room.ballots[static_cast<std::size_t>(ballot)].sets[static_cast<std::size_t>(set)].codes[place];
}

std::string drawn(Kitchen& kitchen) {
    const std::string id = kitchen.planned();
    good(kitchen.keeper.draw(id, {}));
    return id;
}

Intake take(Kitchen& kitchen, State& state, IncomingAnswer answer, bool keep_good = false) {
    return good(kitchen.keeper.enter(state, {std::move(answer)}, "csv", keep_good, false));
}

TEST_CASE("keeper: every act has its time", "[tasting]") {
    Kitchen kitchen;
    const std::string id = kitchen.planned();
    CHECK(code_of(kitchen.keeper.close(id, true)) == "not-drawn");
    CHECK(code_of(kitchen.keeper.hand(id, "1", "")) == "not-drawn");
    CHECK(code_of(kitchen.keeper.open_early(id, "why")) == "not-drawn");
    good(kitchen.keeper.draw(id, {}));
    good(kitchen.keeper.draw(id, {}));   // a second draw is allowed while nothing is answered, and counted
    State state = kitchen.state(id);
    CHECK(state.draws.size() == 2);
    take(kitchen, state, {.line = 2, .ballot = "1", .set = "1", .answer = code_on(state, 0, 0, 0)});
    CHECK(code_of(kitchen.keeper.draw(id, {})) == "too-late-to-draw");
    CHECK(code_of(kitchen.keeper.key(kitchen.state(id))) == "still-closed");
    CHECK(code_of(kitchen.keeper.close(id, false)) == "answers-missing");   // ballot 1 has a second tray
    good(kitchen.keeper.close(id, true));
    CHECK(code_of(kitchen.keeper.close(id, true)) == "closed");
    CHECK(kitchen.keeper.key(kitchen.state(id)).ok());
}

TEST_CASE("keeper: an evening without a single answer is closed on purpose or not at all", "[tasting]") {
    Kitchen kitchen;
    const std::string id = drawn(kitchen);   // six tasters, two trays each, no spares
    const auto closed = kitchen.keeper.close(id, false);
    REQUIRE_FALSE(closed);
    CHECK(closed.faults().front().code == "answers-missing");
    CHECK(core::exit_code(closed.faults()) == 2);
    CHECK(closed.faults().front().text == "no answer was entered: all 12 answers that were planned are missing; enter them, or close all the same with --yes");
    for (int ballot = 1; ballot <= 6; ++ballot) good(kitchen.keeper.spoil(id, std::to_string(ballot), "the dog was faster"));
    CHECK(code_of(kitchen.keeper.close(id, false)) == "answers-missing");   // nothing is missing, and nothing is there
    good(kitchen.keeper.close(id, true));
}

TEST_CASE("keeper: a short house closes, a gap in the pile or a pile hardly begun is told", "[tasting]") {
    Kitchen kitchen;
    const std::string id = drawn(kitchen);   // six tasters, two trays each, no spares
    State state = kitchen.state(id);
    const auto answer = [&](int ballot) {
        for (int set = 0; set < 2; ++set)
            take(kitchen, state, {.line = 2, .ballot = std::to_string(ballot), .set = std::to_string(set + 1), .answer = code_on(state, ballot - 1, set, 0)});
    };
    const auto refusal = [&] {
        const auto whole = tasting::look_at_pile(kitchen.state(id));
        if (whole) return std::string("whole");
        CHECK(whole.faults().front().code == "answers-missing");
        CHECK(core::exit_code(whole.faults()) == 2);
        return whole.faults().front().text;
    };
    answer(1);
    answer(2);
    CHECK(refusal() == "6 people were planned; only ballots 1 and 2 have answers. Still a slip to type? `oddplate enter " + id +
                           "`. Nobody else came? `oddplate close " + id + " --yes`.");
    answer(5);
    CHECK(refusal() == "ballots 3 and 4 have no answer, but a later one has. Still a slip to type? `oddplate enter " + id + "`. Nobody else came? `oddplate close " + id + " --yes`.");
    answer(3);
    CHECK(refusal() == "ballot 4 has no answer, but a later one has. Still a slip to type? `oddplate enter " + id + "`. Nobody else came? `oddplate close " + id + " --yes`.");
    good(kitchen.keeper.spoil(id, "4", "fell into the soup"));   // accounted for, so no gap
    CHECK(refusal() == "whole");                                // the last number was never dealt
}

TEST_CASE("keeper: a reason or a name that is no UTF-8 is refused in one sentence", "[tasting]") {
    Kitchen kitchen;
    const std::string id = drawn(kitchen);
    for (const char* text : {"caf\xe9", "\xff", "half \xc3", "\xed\xa0\x80"}) {
        const auto spoiled = kitchen.keeper.spoil(id, "1", text);
        REQUIRE_FALSE(spoiled);
        REQUIRE(spoiled.faults().size() == 1);
        CHECK(spoiled.faults().front().line() == "--why: found bytes that are no UTF-8, expected a reason in words, 1 to 400 bytes: it stands in the report");
        CHECK_FALSE(kitchen.keeper.open_early(id, text).ok());
        CHECK_FALSE(kitchen.keeper.hand(id, "1", text).ok());
    }
    good(kitchen.keeper.spoil(id, "1", "caf\xc3\xa9"));
}

TEST_CASE("keeper: the same answer again harms nothing, another one is refused", "[tasting]") {
    Kitchen kitchen;
    const std::string id = drawn(kitchen);
    State state = kitchen.state(id);
    const IncomingAnswer answer{.line = 2, .ballot = "1", .set = "1", .answer = code_on(state, 0, 0, 0)};
    CHECK(take(kitchen, state, answer).accepted == 1);
    const std::int64_t rows = state.last_seq;
    CHECK(take(kitchen, state, answer).already == 1);
    CHECK(state.last_seq == rows);   // nothing new, no row
    IncomingAnswer other = answer;
    other.answer = code_on(state, 0, 0, 1);
    const Intake refused = take(kitchen, state, other);
    REQUIRE(refused.rejected.size() == 1);
    CHECK(refused.rejected[0].line == 2);
    CHECK(state.answers.at({0, 0}).text == answer.answer);
}

TEST_CASE("keeper: a file with one bad row changes nothing unless the good ones are to be kept", "[tasting]") {
    Kitchen kitchen;
    const std::string id = drawn(kitchen);
    State state = kitchen.state(id);
    const std::vector<IncomingAnswer> rows{{.line = 2, .ballot = "1", .set = "1", .answer = code_on(state, 0, 0, 0)},
                                           {.line = 3, .ballot = "2", .set = "1", .answer = "100"}};
    const Intake none = good(kitchen.keeper.enter(state, rows, "csv", false, false));
    CHECK(none.accepted == 0);
    CHECK(none.rejected.size() == 1);
    CHECK(kitchen.state(id).answers.empty());
    const Intake one = good(kitchen.keeper.enter(state, rows, "csv", true, false));
    CHECK(one.accepted == 1);
    CHECK(kitchen.state(id).answers.size() == 1);
}

TEST_CASE("keeper: another answer is kept beside the first till somebody looks at the slip", "[tasting]") {
    Kitchen kitchen;
    const std::string id = drawn(kitchen);
    State state = kitchen.state(id);
    const std::string first = code_on(state, 0, 0, 0), other = code_on(state, 0, 0, 1), third = code_on(state, 0, 0, 2);
    good(kitchen.keeper.enter(state, {{.line = 0, .ballot = "1", .set = "1", .answer = first}}, "phone", true, false));
    const Intake intake = good(kitchen.keeper.enter(state, {{.line = 0, .ballot = "1", .set = "1", .answer = other}}, "desk", true, false));
    REQUIRE(intake.others.size() == 1);
    CHECK(intake.rejected.front().code == "answered-already");
    CHECK(kitchen.state(id).open_differences().empty());   // entry alone writes nothing: a file with a fault leaves no trace
    good(kitchen.keeper.note_differing(state, intake.others, "desk"));
    good(kitchen.keeper.note_differing(state, intake.others, "desk"));   // the same again is no second one

    const State kept = kitchen.state(id);   // from the rows alone
    REQUIRE(kept.differences.size() == 1);
    const auto open = kept.open_differences();
    REQUIRE(open.size() == 1);
    CHECK(open.front().answer == other);
    CHECK(open.front().from == "desk");
    CHECK(kept.answers.at({0, 0}).text == first);
    CHECK(kept.answers.at({0, 0}).from == "phone");

    CHECK(code_of(kitchen.keeper.let_stand(id, "1", "1", "")) == "bad-value");   // a reason is asked for
    CHECK(code_of(kitchen.keeper.let_stand(id, "2", "1", "looked")) == "nothing-differs");
    good(kitchen.keeper.let_stand(id, "1", "1", "looked at the slip"));
    CHECK(kitchen.state(id).open_differences().empty());
    CHECK(code_of(kitchen.keeper.let_stand(id, "1", "1", "again")) == "nothing-differs");
    good(kitchen.keeper.note_differing(state, {{0, 0, other}}, "desk"));   // typed once more it says nothing new
    CHECK(kitchen.state(id).open_differences().empty());

    good(kitchen.keeper.note_differing(state, {{0, 0, third}}, "second"));
    CHECK(kitchen.state(id).open_differences().size() == 1);
    good(kitchen.keeper.correct(id, {.ballot = "1", .set = "1", .answer = third, .why = "so the slip says"}));
    CHECK(kitchen.state(id).open_differences().empty());
    CHECK(kitchen.state(id).answers.at({0, 0}).text == third);
}

TEST_CASE("keeper: one tray cannot fill the desk", "[tasting]") {
    Kitchen kitchen;
    const std::string id = drawn(kitchen);
    State state = kitchen.state(id);
    take(kitchen, state, {.line = 2, .ballot = "1", .set = "1", .answer = code_on(state, 0, 0, 0)});
    for (const char* answer : {"blank", "void", "not-served", "100", "101"}) good(kitchen.keeper.note_differing(state, {{0, 0, answer}}, "phone"));
    CHECK(kitchen.state(id).differences.size() == 4);
    CHECK(kitchen.state(id).open_differences().size() == 1);   // the latest of a tray stands for them
}

TEST_CASE("keeper: a ballot belongs to one nickname", "[tasting]") {
    Kitchen kitchen;
    const std::string id = drawn(kitchen);
    good(kitchen.keeper.hand(id, "1", "Kim"));
    State state = kitchen.state(id);
    CHECK(take(kitchen, state, {.line = 2, .ballot = "1", .set = "1", .answer = code_on(state, 0, 0, 0), .taster = "Lou"}).rejected.size() == 1);
    CHECK(take(kitchen, state, {.line = 2, .ballot = "1", .set = "1", .answer = code_on(state, 0, 0, 0), .taster = "Kim"}).accepted == 1);
    CHECK(code_of(kitchen.keeper.hand(id, "1", "Lou")) == "other-taster");
}

TEST_CASE("keeper: after an early opening no answer is taken in", "[tasting]") {
    Kitchen kitchen;
    const std::string id = drawn(kitchen);
    good(kitchen.keeper.open_early(id, "a guest must know"));
    State state = kitchen.state(id);
    const auto intake = kitchen.keeper.enter(state, {{.line = 2, .ballot = "1", .set = "1", .answer = code_on(state, 0, 0, 0)}}, "csv", false, false);
    CHECK(code_of(intake) == "opened-early");
}

TEST_CASE("keeper: a correction after opening needs to say so, and both verdicts stand", "[tasting]") {
    Kitchen kitchen;
    const std::string id = drawn(kitchen);
    State state = kitchen.state(id);
    take(kitchen, state, {.line = 2, .ballot = "1", .set = "1", .answer = code_on(state, 0, 0, 0)});
    good(kitchen.keeper.close(id, true));
    Correction correction{.ballot = "1", .set = "1", .answer = code_on(state, 0, 0, 1), .why = "misread"};
    CHECK(code_of(kitchen.keeper.correct(id, correction)) == "opened");
    correction.after_opening = true;
    good(kitchen.keeper.correct(id, correction));
    State now = kitchen.state(id);
    CHECK(now.answers.at({0, 0}).at_close == code_on(state, 0, 0, 0));
    CHECK(now.answers.at({0, 0}).text == code_on(state, 0, 0, 1));
    KeyPaper paper = good(kitchen.keeper.key(now));
    CHECK(good(outcome_of(now, paper)).corrected.has_value());
    CHECK(now.room == kitchen.state(id).room);   // lent, and given back
    CHECK(paper.key == good(kitchen.keeper.key(now)).key);
}

TEST_CASE("keeper: the slips add up whatever became of them", "[tasting]") {
    Kitchen kitchen;
    const std::string id = drawn(kitchen);
    State state = kitchen.state(id);
    good(kitchen.keeper.hand(id, "5", ""));
    good(kitchen.keeper.spoil(id, "6", "left early"));
    const char* words[] = {"blank", "void", "not-served"};
    for (int b = 0; b < 3; ++b) take(kitchen, state, {.line = 2, .ballot = std::to_string(b + 1), .set = "1", .answer = words[b]});
    take(kitchen, state, {.line = 2, .ballot = "4", .set = "1", .answer = code_on(state, 3, 0, 2)});
    const Reconciliation counts = reconcile(kitchen.state(id));
    CHECK(counts.printed == counts.dealt + counts.left_over);
    CHECK(counts.dealt == 6);
    CHECK(counts.spoiled == 1);
    CHECK(counts.sets_dealt == 2 * (counts.dealt - counts.spoiled));
    CHECK(counts.sets_dealt == counts.answered + counts.blank + counts.void_ + counts.not_served + counts.missing);
    CHECK(counts.answered == 1);
    CHECK(counts.missing == 6);
}

TEST_CASE("keeper: a stopped spot leaves nothing missing there", "[tasting]") {
    Kitchen kitchen;
    const std::string id = drawn(kitchen);
    good(kitchen.keeper.hand(id, "1", ""));
    CHECK(reconcile(kitchen.state(id)).missing == 2);
    good(kitchen.keeper.stop(id, "edge", "no more slices"));
    CHECK(reconcile(kitchen.state(id)).missing == 1);
    CHECK(reconcile(kitchen.state(id)).not_served == 1);
    CHECK(code_of(kitchen.keeper.stop(id, "edge", "again")) == "stopped");
    CHECK_FALSE(kitchen.keeper.stop(id, "egde", "typing").ok());
}

TEST_CASE("keeper: an act that fails at any write leaves the tasting as it was", "[tasting]") {
    for (int n = 1; n <= 4; ++n) {
        CAPTURE(n);
        Kitchen kitchen;
        const std::string id = drawn(kitchen);
        const State before = kitchen.state(id);
        kitchen.book.fail_at = kitchen.book.calls + n;
        const bool done = kitchen.keeper.hand(id, "1", "Kim").ok();
        kitchen.book.fail_at.reset();
        const State after = kitchen.state(id);
        CHECK(after.last_seq == before.last_seq + (done ? 1 : 0));
        CHECK(after.handed.size() == (done ? 1u : 0u));
        CHECK(done == (n > 3));   // begin, append, commit
    }
}

TEST_CASE("names: ids are eight letters that spell nothing, and their two words never change", "[tasting]") {
    for (int i = 0; i < 200; ++i) {
        const std::string id = new_id(core::sha256(std::to_string(i)));
        CHECK(is_id(id));
        CHECK(two_words(id) == two_words(id));
        CHECK(two_words(id).find(' ') != std::string::npos);
    }
    CHECK_FALSE(is_id("abcdefgh"));
    CHECK_FALSE(is_id("bcdfghj"));
    CHECK(two_words("bcdfghjk") == "MARBLE STREET");   // golden: papers of an earlier evening must keep their name
}

}   // namespace
}   // namespace oddplate::tasting
