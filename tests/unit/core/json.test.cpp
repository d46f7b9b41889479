// Reading JSON: what is taken, what is refused, and how the refusal reads.
#include "oddplate/core/json.hpp"

#include <catch2/catch.hpp>

#include <limits>

using namespace oddplate::core;

namespace {

/// The one fault as a line; "taken" when there was none.
std::string refusal(std::string_view text, JsonLimits limits = {}) {
    const auto read = parse_json(text, limits);
    if (read) return "taken";
    REQUIRE(read.faults().size() == 1);
    CHECK(read.faults()[0].kind == ErrorKind::bad_file);
    CHECK(read.faults()[0].line().find('\n') == std::string::npos);
    return read.faults()[0].line();
}

Json read(std::string_view text) {
    const auto json = parse_json(text);
    REQUIRE(json);
    return *json;
}

}   // namespace

TEST_CASE("parse_json: every kind of value is read, and objects keep their order", "[core][json]") {
    const Json json = read(" {\"z\":null,\"a\":[true,false,1,-2,0.5,\"t\",[],{}]} \n");
    REQUIRE(json.is_object());
    CHECK(json.as_object()[0].first == "z");
    CHECK(json.at("z").is_null());
    const Json::Array& items = json.at("a").as_array();
    REQUIRE(items.size() == 8);
    CHECK(items[0].as_bool());
    CHECK_FALSE(items[1].as_bool());
    CHECK(items[2].as_integer() == 1);
    CHECK(items[3].as_integer() == -2);
    CHECK(items[4].as_number() == 0.5);
    CHECK(items[5].as_string() == "t");
    CHECK(items[6].as_array().empty());
    CHECK(items[7].as_object().empty());
    CHECK(read("3").as_integer() == 3);
    CHECK(read("\"\"").as_string().empty());
}

TEST_CASE("parse_json: what is no JSON is refused with line, column and what could stand there", "[core][json]") {
    CHECK(refusal("{\"a\":1,}") == "line 1, column 8: found \"}\", expected a key in double quotes");
    CHECK(refusal("[1,2,]") == "line 1, column 6: found \"]\", expected a value");
    CHECK(refusal("{\n  \"a\" 1}") == "line 2, column 7: found \"1\", expected a colon");
    CHECK(refusal("{a:1}") == "line 1, column 2: found \"a\", expected a key in double quotes or }");
    CHECK(refusal("[1 2]") == "line 1, column 4: found \"2\", expected a comma or ]");
    CHECK(refusal("[1\r\n,\r\n tru]") == "line 3, column 2: found \"tru\", expected a value");
    CHECK(refusal("{\"a\":01}") == "line 1, column 6: found \"01\", expected a value");
    CHECK(refusal("1 2") == "line 1, column 3: found \"2\", expected nothing after the end of the JSON");
    CHECK(refusal("[1}") == "line 1, column 3: found \"}\", expected a comma or ]");
    CHECK(refusal("{\"a\":\"\xC3\xA9\" \"b\"}") == "line 1, column 10: found \"b\", expected a comma or }");
    CHECK(refusal("// note\n1") == "line 1, column 1: found \"//\", expected JSON");
    for (const char* text : {"'a'", "[1,,2]", ".5", "5.", "+1", "1e", "0x10", "--1", "True", "{\"a\":1 \"b\":2}", "{1:2}", "[",
                             "]", "}", ",", ":"}) {
        CAPTURE(text);
        CHECK(refusal(text) != "taken");
    }
}

TEST_CASE("parse_json: every beginning of a document that is not the whole is refused", "[core][json]") {
    const std::string whole = R"({"ids":["a\n\u00e9",{"b":[true,null,-1.5e3]}],"t":"x"})";
    CHECK(refusal(whole) == "taken");
    for (std::size_t length = 0; length < whole.size(); ++length) {
        CAPTURE(length);
        CHECK(refusal(whole.substr(0, length)) != "taken");
    }
    CHECK(refusal("{\"a\":[1,2") == "line 1, column 10: found the end of the text, expected a comma or ]");
    CHECK(refusal("[\"abc") == "line 1, column 2: found a text that never ends, expected a closing double quote");
}

TEST_CASE("parse_json: an empty text is refused as such", "[core][json]") {
    for (const char* text : {"", " ", "\n\t\r", "\xEF\xBB\xBF"}) CHECK(refusal(text) == "found an empty text, expected JSON");
}

TEST_CASE("parse_json: duplicate keys are refused with a JSON pointer, few keys or many", "[core][json]") {
    CHECK(refusal(R"({"a":1,"a":1})") == "/a: found this key twice, expected each key once");
    CHECK(refusal(R"({"rounds":[{},{"alpha":1,"b":2,"alpha":3}]})") ==
          "/rounds/1/alpha: found this key twice, expected each key once");
    CHECK(refusal(R"({"a/b":{"~":1,"~":2}})") == "/a~1b/~0: found this key twice, expected each key once");
    CHECK(refusal(R"({"a":1,"\u0061":1})") == "/a: found this key twice, expected each key once");
    CHECK(refusal(R"({"a":{"k":1},"b":{"k":1}})") == "taken");
    std::string many = "{";
    for (int i = 0; i < 1000; ++i) many += "\"k" + std::to_string(i) + "\":1,";
    CHECK(refusal(many + "\"k1000\":1}") == "taken");
    CHECK(refusal(many + "\"k500\":1}") == "/k500: found this key twice, expected each key once");
}

TEST_CASE("parse_json: thirty-two levels are read and thirty-three refused, and a million are refused at once", "[core][json]") {
    const auto nested = [](std::size_t depth) { return std::string(depth, '[') + std::string(depth, ']'); };
    CHECK(refusal(nested(32)) == "taken");
    CHECK(refusal(nested(33)).find("more than 32 levels") != std::string::npos);
    CHECK(refusal(std::string(1'000'000, '[')).find("more than 32 levels") != std::string::npos);
    CHECK(refusal("[[1]]", {.bytes = 100, .depth = 1}) ==
          "/0: found more than 1 levels of lists and objects, expected a flatter text");
    CHECK(refusal(R"({"a":{"b":[]}})", {.bytes = 100, .depth = 2}).starts_with("/a/b: "));
    CHECK(refusal("1", {.bytes = 100, .depth = 0}) == "taken");
}

TEST_CASE("parse_json: a text longer than its limit is refused, one of exactly the limit is read", "[core][json]") {
    CHECK(refusal("[1,2]", {.bytes = 5}) == "taken");
    CHECK(refusal("[1,2] ", {.bytes = 5}) == "found 6 bytes, expected at most 5");
    CHECK(refusal(std::string((64u << 20) + 1, ' ')) == "found 67,108,865 bytes, expected at most 67,108,864");
}

TEST_CASE("parse_json: NaN and infinities are refused in every spelling", "[core][json]") {
    for (const char* text :
         {"NaN", "nan", "Infinity", "-Infinity", "inf", "[NaN]", "{\"a\":-inf}", "1e400", "-1e400", "[1e309]"}) {
        CAPTURE(text);
        CHECK(refusal(text) != "taken");
    }
    CHECK(refusal("[1e400]") == "line 1, column 2: found 1e400, expected a number that a double can hold (up to about 1.8e308)");
    CHECK(refusal("[NaN]") == "line 1, column 2: found \"NaN\", expected a value or ]");
    CHECK(refusal("9" + std::string(400, '9')).find("a number that a double can hold") != std::string::npos);
}

TEST_CASE("parse_json: lone surrogates are refused and pairs are read", "[core][json]") {
    for (const char* text :
         {R"("\ud800")", R"("\udc00")", R"("\ud800\ud800")", R"("\ud83cx")", R"("\ud83c\n")", R"({"\udfff":1})"}) {
        CAPTURE(text);
        CHECK(refusal(text).find("surrogates in pairs") != std::string::npos);
    }
    CHECK(read(R"("\ud83c\udf72")").as_string() == "\xF0\x9F\x8D\xB2");
}

TEST_CASE("parse_json: NUL is refused everywhere, escaped or plain", "[core][json]") {
    CHECK(refusal(R"("a\u0000b")") == "found a NUL character (\\u0000) in a text, expected text without it");
    CHECK(refusal(R"({"a":["\u0000"]})") == "/a/0: found a NUL character (\\u0000) in a text, expected text without it");
    CHECK(refusal(R"({"a\u0000":1})").find("NUL") != std::string::npos);
    CHECK(refusal(std::string_view("{}\0{", 4)) == "line 1, column 3: found a NUL byte, expected text");
    CHECK(refusal(std::string_view("{\"a\":\"\0\"}", 9)) == "line 1, column 7: found a NUL byte, expected text");
}

TEST_CASE("parse_json: control characters and unknown escapes in a text are refused at their place", "[core][json]") {
    CHECK(refusal("[\"a\nb\"]") ==
          "line 1, column 4: found a line end, tab or other control character in a text, expected \\n, \\t or \\u0001 in its "
          "place");
    CHECK(refusal(R"(["ab\xcd"])").starts_with("line 1, column 5: found \"\\x\" in a text"));
    CHECK(refusal(R"(["ab\u12g4"])").starts_with("line 1, column 5: found \"\\u12g\" in a text"));
}

TEST_CASE("parse_json: invalid UTF-8 is refused with its place, and a byte-order mark at the start is skipped", "[core][json]") {
    CHECK(refusal("[\"caf\xE9\"]") ==
          "line 1, column 6: found a byte that is no UTF-8, expected text in UTF-8 (save the file as UTF-8)");
    CHECK(refusal("\xEF\xBB\xBF{\"a\":x}") == "line 1, column 6: found \"x\", expected a value");
    CHECK(read("\xEF\xBB\xBF[1]").as_array().size() == 1);
    CHECK(refusal("[\xEF\xBB\xBF]") != "taken");
}

TEST_CASE("parse_json: whole numbers of 64 bits are integers, all others doubles", "[core][json]") {
    CHECK(read("9223372036854775807").as_integer() == std::numeric_limits<std::int64_t>::max());
    CHECK(read("-9223372036854775808").as_integer() == std::numeric_limits<std::int64_t>::min());
    for (const char* text :
         {"9223372036854775808", "18446744073709551615", "18446744073709551616", "-9223372036854775809", "1e2", "1.0"}) {
        CAPTURE(text);
        const Json number = read(text);
        CHECK(number.is_number());
        CHECK_FALSE(number.is_integer());
        CHECK(number.as_number() == std::stod(text));
    }
    CHECK(read("-0").as_number() == 0.0);
    CHECK(std::signbit(read("-0.0").as_number()));
    CHECK(read("5e-324").as_number() == std::numeric_limits<double>::denorm_min());
    CHECK(read("1e-400").as_number() == 0.0);
}

TEST_CASE("parse_json: a fault in a hostile text is told in one short line", "[core][json]") {
    const std::string key(100'000, 'k');
    CHECK(refusal("{\"" + key + "\":1,\"" + key + "\":2}").size() < 300);
    CHECK(refusal("[" + key + "]").size() < 300);
    CHECK(refusal("[1\x1b[31m]").find('\x1b') == std::string::npos);
}

TEST_CASE("parse_json_rows: a long list's rows are handed over one by one, and all else is read as ever", "[core][json]") {
    std::vector<std::string> rows;
    const auto take = [&](const Json& row) { rows.push_back(to_text(row)); };
    const auto whole = parse_json_rows(R"({"z":[0],"list":[[1,[2]],{"list":[3]},null],"end":true})", "list", take);
    REQUIRE(whole);
    CHECK(rows == std::vector<std::string>{"[1,[2]]", R"({"list":[3]})", "null"});
    CHECK(to_text(*whole) == R"({"z":[0],"list":[],"end":true})");
    rows.clear();
    REQUIRE(parse_json_rows("[[1],2]", "", take));
    CHECK(rows == std::vector<std::string>{"[1]", "2"});
    rows.clear();
    REQUIRE(parse_json_rows(R"({"other":[1],"list":7})", "list", take));
    CHECK(rows.empty());
    const auto twice = parse_json_rows(R"({"list":[1,{"a":1,"a":2}]})", "list", take);   // the place counts the rows that are gone
    REQUIRE_FALSE(twice);
    CHECK(twice.faults()[0].line() == "/list/1/a: found this key twice, expected each key once");
    CHECK(list_text(3, [](std::size_t i) { return Json(i); }) == "[0,1,2]");
    CHECK(list_text(0, [](std::size_t) { return Json(); }) == "[]");
}
