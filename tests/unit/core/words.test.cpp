// The catalogue of words.
#include "oddplate/core/words.hpp"

#include <catch2/catch.hpp>

#include <limits>

#include "oddplate/core/files.hpp"
#include "oddplate/core/json.hpp"

using namespace oddplate::core;

namespace {

/// Asked for before main begins and before most other statics exist.
const std::size_t k_phrases_before_main = Words::english().all().size();

std::string said(std::string_view pattern, std::map<std::string, Argument> args = {}) {
    Words words;
    const Phrase phrase{"x", pattern};
    words.add({&phrase, 1});
    return words.text("x", std::move(args));
}

std::string with_x(std::string_view pattern, double x) {
    return said(pattern, {{"x", x}});
}
std::string with_n(std::string_view pattern, std::int64_t n) {
    return said(pattern, {{"n", n}});
}

}   // namespace

TEST_CASE("Words: the English catalogue is the file's, phrase for phrase, and there before main begins", "[core][words]") {
    const auto bytes = read_file(ODDPLATE_SOURCE_DIR "/designs/words/en.json");
    REQUIRE(bytes);
    const auto json = parse_json(*bytes);
    REQUIRE(json);
    const Words words = Words::english();
    CHECK(words.all().size() == json->as_object().size());
    CHECK(k_phrases_before_main == json->as_object().size());
    for (const auto& [id, value] : json->as_object()) {
        REQUIRE(words.has(id));
        CHECK(words.all().at(id) == value.as_string());
    }
}

TEST_CASE("Words: text and numbers without a format", "[core][words]") {
    CHECK(said("Plain # | words.") == "Plain # | words.");
    CHECK(said("{who} saw {n}", {{"who", std::string("a {n} \xC3\xA9")}, {"n", std::int64_t{1234567}}}) ==
          "a {n} \xC3\xA9 saw 1,234,567");
    CHECK(with_n("{n}", -1000) == "-1,000");
    CHECK(with_x("{x}", 0.05) == "0.05");
    CHECK(with_x("{x}", 24.0) == "24");
    CHECK(with_x("{x}{x}", -0.0) == "00");
}

TEST_CASE("Words: in100 is a chance in a hundred, never 0, and 100 only where it is certain", "[core][words]") {
    CHECK(with_x("{x:in100}", 0.049) == "4.9 in 100");
    CHECK(with_x("{x:in100}", 0.05) == "5 in 100");
    CHECK(with_x("{x:in100}", 0.0501) == "5.0 in 100");   // not the same as exactly 5
    CHECK(with_x("{x:in100}", 0.0499) == "5.0 in 100");
    CHECK(with_x("{x:in100}", 0.311) == "31 in 100");
    CHECK(with_x("{x:in100}", 0.0996) == "10 in 100");
    CHECK(with_x("{x:in100}", 0.001) == "0.1 in 100");
    CHECK(with_x("{x:in100}", 0.00099) == "fewer than 1 in 1,000");
    CHECK(with_x("{x:in100}", 0.0) == "fewer than 1 in 1,000");
    CHECK(with_x("{x:in100}", 0.95) == "95 in 100");
    CHECK(with_x("{x:in100}", 0.996) == "99.6 in 100");
    CHECK(with_x("{x:in100}", 0.999) == "99.9 in 100");
    CHECK(with_x("{x:in100}", 0.9991) == "nearly 100 in 100");
    CHECK(with_n("{n:in100}", 1) == "100 in 100");
    for (int i = 0; i < 100'000; ++i) {
        const std::string text = with_x("{x:in100}", i / 100'000.0);
        REQUIRE_FALSE(text.starts_with("0 "));
        REQUIRE_FALSE(text.starts_with("0.0 "));
        REQUIRE_FALSE(text.starts_with("100"));
    }
}

TEST_CASE("Words: of100, of10 and percent round a share to whole people", "[core][words]") {
    CHECK(with_x("{x:of100}", 0.314) == "31");
    CHECK(with_x("{x:of100}", 0.0) == "0");
    CHECK(with_x("{x:of100}", 1.0) == "100");
    CHECK(with_x("{x:of10}", 0.36) == "4");
    CHECK(with_x("{x:of10}", 1.0 + 1e-12) == "10");
    CHECK(with_x("{x:percent}", 0.03) == "3 %");
    CHECK(with_x("{x:percent}", 0.0312) == "3.1 %");
    CHECK(with_x("{x:percent}", 0.314) == "31 %");
    CHECK(with_x("{x:percent}", 0.0996) == "10 %");
    CHECK(with_x("{x:percent}", 0.0) == "0 %");
    CHECK(with_x("{x:percent}", -0.05) == "-5 %");
}

TEST_CASE("Words: a digit as format gives that many decimals", "[core][words]") {
    CHECK(with_x("{x:1}", 1.25) == "1.2");   // 1.25 is exact in binary: half goes to even
    CHECK(with_x("{x:2}", 2.0 / 3.0) == "0.67");
    CHECK(with_x("{x:0}", 2.6) == "3");
    CHECK(with_x("{x:1}", -0.01) == "0.0");
    CHECK(with_n("{n:2}", 3) == "3.00");
    CHECK(with_x("{x:1}", 1e300).size() == 303);
}

TEST_CASE("Words: a choice takes the first text for 1 and the second for every other number", "[core][words]") {
    const char* pattern = "{n|one taster|# tasters} came";
    CHECK(with_n(pattern, 1) == "one taster came");
    CHECK(with_n(pattern, 0) == "0 tasters came");
    CHECK(with_n(pattern, 2) == "2 tasters came");
    CHECK(with_n(pattern, -1) == "-1 tasters came");
    CHECK(with_n(pattern, 1234) == "1,234 tasters came");
    CHECK(said("{n|a {what}|# {what}s}", {{"n", std::int64_t{3}}, {"what", std::string("bowl")}}) == "3 bowls");
    CHECK(with_n("{n||s}", 1).empty());
}

TEST_CASE("Words: what cannot be said shows its id in brackets", "[core][words]") {
    CHECK(Words().text("no.such") == "[no.such]");
    CHECK_FALSE(Words().has("no.such"));
    for (const char* pattern :
         {"{n}", "{}", "{x", "x}", "{x:}", "{x:what}", "{x:10}", "{x|a|b}", "{x|a}", "{x|a|b|c}", "{x:1|a|b}", "{{x}}"}) {
        CAPTURE(pattern);
        CHECK(with_x(pattern, 0.5) == "[x]");
    }
    for (const char* pattern : {"{x}", "{x:1}", "{x:in100}", "{x:percent}"}) {
        CHECK(with_x(pattern, std::numeric_limits<double>::quiet_NaN()) == "[x]");
        CHECK(with_x(pattern, std::numeric_limits<double>::infinity()) == "[x]");
    }
    for (const char* pattern : {"{x:in100}", "{x:of100}", "{x:of10}"}) {
        CHECK(with_x(pattern, 1.01) == "[x]");
        CHECK(with_x(pattern, -0.01) == "[x]");
    }
    CHECK(said("{x:1}", {{"x", std::string("3")}}) == "[x]");
}

TEST_CASE("Words: numbers have the marks of the language", "[core][words]") {
    const Phrase phrase{"x", "{x:2} {n} {n|eins|#} {t}."};
    const std::map<std::string, Argument> args{{"x", 2.5}, {"n", std::int64_t{1234}}, {"t", std::string("1.5,")}};
    for (const auto& [code, said] : {std::pair{"en", "2.50 1,234 1,234 1.5,."}, std::pair{"de", "2,50 1.234 1.234 1.5,."},
                                     std::pair{"es", "2,50 1.234 1.234 1.5,."}, std::pair{"fr", "2,50 1\u00a0234 1\u00a0234 1.5,."}}) {
        auto words = Words::in_language(code);
        REQUIRE(words);
        words->add({&phrase, 1});
        CHECK(words->text("x", args) == said);
    }
}

TEST_CASE("Words: what a language lacks stays English, and there are no others", "[core][words]") {
    CHECK(Words::languages().front() == "en");
    CHECK(Words::in_language("en")->all() == Words::english().all());
    for (const std::string_view code : Words::languages()) {
        const auto words = Words::in_language(code);
        REQUIRE(words);
        CHECK(words->text("advise.ask.direction.again") == Words::english().text("advise.ask.direction.again"));
    }
    for (const char* code : {"", "EN", "it", "es-MX"}) CHECK_FALSE(Words::in_language(code));
}

TEST_CASE("Words: another language replaces what it has and leaves the rest, all or nothing", "[core][words]") {
    Words words;
    const std::array<Phrase, 2> phrases{Phrase{"a", "one"}, Phrase{"b", "two"}};
    words.add(phrases);
    REQUIRE(words.add_json(R"({"b":"zwei","c":"drei"})"));
    CHECK(words.text("a") == "one");
    CHECK(words.text("b") == "zwei");
    CHECK(words.text(Sentence{"c", {}}) == "drei");
    const Status bad = words.add_json(R"({"a":"eins","b":2,"d":[]})");
    REQUIRE_FALSE(bad);
    CHECK(bad.faults().size() == 2);
    CHECK(bad.faults()[0].line() == "/b: found 2, expected text");
    CHECK(words.text("a") == "one");
    CHECK_FALSE(words.add_json("[]"));
    CHECK_FALSE(words.add_json("{"));
    CHECK_FALSE(words.add_json(R"({"a":"x","a":"y"})"));
}
