#include "oddplate/methods/answer.hpp"

#include <catch2/catch.hpp>

using namespace oddplate;
using namespace oddplate::methods;

namespace {

const std::vector<std::string> k_codes{"417", "862", "305"};
constexpr std::string_view k_words[] = {"same", "different"};

std::string canonical(const std::string& text) {
    const auto answer = parse_answer(text);
    INFO(text);
    REQUIRE(answer.ok());
    return canonical_text(*answer, k_codes);
}

std::string refusal(const std::string& text, const AnswerShape& shape, bool may_abstain = false) {
    const auto answer = parse_answer(text);
    INFO(text);
    REQUIRE(answer.ok());
    const auto status = check_answer(*answer, shape, may_abstain, k_codes);
    REQUIRE_FALSE(status.ok());
    return status.faults()[0].text;
}

bool accepted(const std::string& text, const AnswerShape& shape, bool may_abstain = false) {
    const auto answer = parse_answer(text);
    return answer.ok() && check_answer(*answer, shape, may_abstain, k_codes).ok();
}

}   // namespace

TEST_CASE("equal answers have equal texts", "[answer]") {
    CHECK(canonical(" 417 ") == "417");
    CHECK(canonical("862 + 417") == "417+862");
    CHECK(canonical("862 417") == "417+862");
    CHECK(canonical("SAME : 3") == "same:3");
    CHECK(canonical("Not-A") == "not-a");
    CHECK(canonical("305:2 862:4.50   417:6,5") == "417:6.5 862:4.5 305:2");
    CHECK(canonical("305 = 417 > 862") == "417=305>862");
    CHECK(canonical("NONE") == "none");
    CHECK(canonical("Not-Served") == "not-served");
    CHECK(canonical("417:-0 862:0") == "417:0 862:0");
    CHECK(canonical("417:7/+1 862:+4.5/0") == "417:7/1 862:4.5/0");
}

TEST_CASE("what is no answer is refused", "[answer]") {
    for (const char* text : {"", "   ", "417+", "+417", "417++862", "417>", "same:", "same:x", "same:0", "same:1:2",
                             "417:", "417:nan", "417:+", "417:+-1", "417:1e999", "417,862", "4 17:3", "?", "same different", "417;862"}) {
        INFO(text);
        CHECK_FALSE(parse_answer(text).ok());
    }
    CHECK_FALSE(parse_answer(std::string(1000, '4')).ok());
    CHECK(parse_answer("417+417").faults()[0].text == "code 417 stands twice in one answer");
    CHECK(parse_answer("417>862=417").faults()[0].code == "code-twice");
    CHECK(parse_answer("417:1 417:2").faults()[0].code == "code-twice");
}

TEST_CASE("an answer is held against the shape and the set", "[answer]") {
    CHECK(accepted("862", OneCode{}));
    CHECK(refusal("863", OneCode{}) == "found 863, expected one code of this tray (417, 862 or 305) (nearest: 862)");
    CHECK(refusal("199", OneCode{}) == "found 199, expected one code of this tray (417, 862 or 305)");
    CHECK(refusal("417+862", OneCode{}).starts_with("found 417+862, expected one code"));
    CHECK(accepted("417+862", CodeGroup{2}));
    CHECK_FALSE(accepted("417", CodeGroup{2}));
    CHECK(accepted("same:3", OneWord{k_words, 4}));
    CHECK_FALSE(accepted("same:5", OneWord{k_words, 4}));
    CHECK_FALSE(accepted("alike", OneWord{k_words, 4}));
    CHECK(accepted("417:6.5 862:4 305:0", ScoreEach{0, 9}));
    CHECK_FALSE(accepted("417:6.5 862:4", ScoreEach{0, 9}));
    CHECK_FALSE(accepted("417:6.5 862:4 305:9.5", ScoreEach{0, 9}));
    CHECK(accepted("417>862=305", OrderAll{true}));
    CHECK_FALSE(accepted("417>862=305", OrderAll{false}));
    CHECK_FALSE(accepted("417>862", OrderAll{true}));
}

TEST_CASE("marks are taken by every shape, none only where it is offered", "[answer]") {
    for (const AnswerShape& shape : {AnswerShape{OneCode{}}, AnswerShape{ScoreEach{0, 9}}, AnswerShape{OrderAll{false}}}) {
        CHECK(accepted("blank", shape));
        CHECK(accepted("void", shape));
        CHECK(accepted("not-served", shape));
        CHECK(accepted("none", shape, true));
        CHECK_FALSE(accepted("none", shape, false));
    }
}
