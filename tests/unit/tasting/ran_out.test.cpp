// A recipe that ran out: what may be typed then, what is refused, and what taking it back would lose.

#include <catch2/catch.hpp>

#include "oddplate/core/text.hpp"
#include "oddplate/tasting/intake.hpp"
#include "oddplate/tasting/shorthand.hpp"
#include "sealing.hpp"

namespace oddplate::tasting {
namespace {

using namespace testing;

/// Four recipes, as many on a tray as asked; drawn, and sealed where that is asked.
struct Four : Kitchen {
    std::string id;
    draw::Key key;

    explicit Four(const std::string& round, bool seal = false) {
        const std::string text = R"({"title":"Made up","versions":[{"id":"a"},{"id":"b"},{"id":"c"},{"id":"d"}],"tasters":12,"rounds":[)" + round + "]}";
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
        return good(keeper.enter(now, {{.line = 2, .ballot = std::to_string(ballot + 1), .set = "1", .answer = answer}}, "csv", false, false));
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

}   // namespace
}   // namespace oddplate::tasting
