// Writing JSON, and reading it back.
#include "oddplate/core/json.hpp"

#include <catch2/catch.hpp>

#include <bit>
#include <cstring>
#include <limits>

#include "oddplate/core/philox.hpp"
#include "oddplate/core/text.hpp"

using namespace oddplate::core;

namespace {

/// Any value, made from a stream of chance.
Json any_value(PhiloxStream& chance, int depth) {
    const std::uint32_t kind = chance.below(depth > 0 ? 7 : 5);
    if (kind == 0) return {};
    if (kind == 1) return chance.below(2) == 1;
    if (kind == 2) return static_cast<std::int64_t>(std::uint64_t{chance.next()} << 32 | chance.next());
    if (kind == 3) return chance.uniform() - 0.5;
    if (kind == 4) {
        std::string text;
        for (std::uint32_t i = chance.below(8); i > 0; --i) text += static_cast<char>(1 + chance.below(127));
        return text + (chance.below(2) == 1 ? "\xE2\x82\xAC" : "");
    }
    Json many = kind == 5 ? Json::array() : Json::object();
    for (std::uint32_t i = chance.below(5); i > 0; --i) {
        if (kind == 5) {
            many.push(any_value(chance, depth - 1));
        } else {
            many.set("key " + std::to_string(i), any_value(chance, depth - 1));
        }
    }
    return many;
}

}   // namespace

TEST_CASE("to_text: one line without spaces, and canonical text has its keys sorted by bytes at every level", "[core][json]") {
    Json json = Json::object();
    json.set("b", Json::Array{1, 0.5, true, nullptr})
        .set("\xC3\xA9", "x")
        .set("Z", Json::object().set("y", 1).set("a", 2))
        .set("a", "");
    CHECK(to_text(json) == "{\"b\":[1,0.5,true,null],\"\xC3\xA9\":\"x\",\"Z\":{\"y\":1,\"a\":2},\"a\":\"\"}");
    CHECK(to_canonical_text(json) == "{\"Z\":{\"a\":2,\"y\":1},\"a\":\"\",\"b\":[1,0.5,true,null],\"\xC3\xA9\":\"x\"}");
}

TEST_CASE("to_pretty_text: two spaces a level, empty lists and objects on one line, a newline at the end", "[core][json]") {
    Json json = Json::object();
    json.set("a", Json::Array{1, Json::object().set("b", 2)}).set("c", Json::array()).set("d", Json::object());
    CHECK(to_pretty_text(json) == "{\n  \"a\": [\n    1,\n    {\n      \"b\": 2\n    }\n  ],\n  \"c\": [],\n  \"d\": {}\n}\n");
    CHECK(to_pretty_text(7) == "7\n");
}

TEST_CASE("to_text: control characters, quotes and backslashes are escaped and other letters stay as they are", "[core][json]") {
    CHECK(to_text("a\"b\\c\n\r\t\x01\x1f/\x7f\xC3\xA9") == "\"a\\\"b\\\\c\\n\\r\\t\\u0001\\u001f/\x7f\xC3\xA9\"");
    CHECK(to_text(std::string("\0", 1)) == "\"\\u0000\"");
}

TEST_CASE("to_text: text that is no UTF-8 still makes JSON that can be read", "[core][json]") {
    const std::string text =
        to_text(Json::Array{"a\xFF"
                            "b\xC3"});
    CHECK(text ==
          "[\"a\xEF\xBF\xBD"
          "b\xEF\xBF\xBD\"]");
    CHECK(parse_json(text));
}

TEST_CASE("shortest: the fewest digits, without padding in the exponent", "[core][json]") {
    CHECK(shortest(0.05) == "0.05");
    CHECK(shortest(1e-12) == "1e-12");
    CHECK(shortest(1e-5) == "1e-5");
    CHECK(shortest(1e20) == "1e20");
    CHECK(shortest(0.1 + 0.2) == "0.30000000000000004");
    CHECK(shortest(24) == "24");
    CHECK(shortest(-1.5) == "-1.5");
    CHECK(shortest(5e-324) == "5e-324");
    CHECK(shortest(std::numeric_limits<double>::max()) == "1.7976931348623157e308");
}

TEST_CASE("shortest: hundred thousand doubles of every size read back bit for bit", "[core][json][exhaustive]") {
    PhiloxStream chance(1, 1);
    for (int i = 0; i < 100'000; ++i) {
        const std::uint64_t bits = std::uint64_t{chance.next()} << 32 | chance.next();
        const auto value = std::bit_cast<double>(bits);
        if (!std::isfinite(value)) continue;
        const auto read = parse_json(to_text(value));
        REQUIRE(read);
        const double back = read->as_number();
        CHECK(std::memcmp(&back, &value, sizeof value) == 0);
    }
}

TEST_CASE("to_text: both noughts and both ends of the doubles read back bit for bit", "[core][json]") {
    using Limits = std::numeric_limits<double>;
    for (const double value :
         {0.0, -0.0, Limits::max(), Limits::lowest(), Limits::min(), Limits::denorm_min(), 9007199254740993.0, 1e22, 1e23}) {
        const double back = parse_json(to_text(value))->as_number();
        CHECK(std::memcmp(&back, &value, sizeof value) == 0);
    }
}

TEST_CASE("to_text: a thousand random values read back equal from all three layouts", "[core][json][exhaustive]") {
    PhiloxStream chance(2, 2);
    for (int i = 0; i < 1000; ++i) {
        const Json value = any_value(chance, 4);
        for (const std::string& text : {to_text(value), to_pretty_text(value)}) {
            const auto back = parse_json(text);
            REQUIRE(back);
            CHECK(*back == value);
        }
        const auto back = parse_json(to_canonical_text(value));
        REQUIRE(back);
        CHECK(to_canonical_text(*back) == to_canonical_text(value));
    }
}

TEST_CASE("parse_json: ten thousand damaged documents are read or refused in one clean line", "[core][json][exhaustive]") {
    PhiloxStream chance(3, 3);
    int refused = 0;
    for (int i = 0; i < 10'000; ++i) {
        std::string text = to_text(any_value(chance, 4));
        for (std::uint32_t hits = 1 + chance.below(3); hits > 0; --hits) {
            const auto byte = static_cast<char>(chance.below(256));
            const std::uint32_t at = chance.below(static_cast<std::uint32_t>(text.size()));
            chance.below(2) == 0 ? text[at] = byte : *text.insert(text.begin() + at, byte);
        }
        const auto read = parse_json(text);
        if (read) {
            CHECK(to_text(*parse_json(to_text(*read))) == to_text(*read));
            continue;
        }
        ++refused;
        const std::string line = read.faults()[0].line();
        CHECK(quoted(line, 1000) == line);   // no control characters, no broken UTF-8
        CHECK(line.size() < 300);
    }
    CHECK(refused > 3000);
}

TEST_CASE("Json: set replaces in place or adds at the end, and find answers nothing for other kinds", "[core][json]") {
    Json json = Json::object();
    json.set("a", 1).set("b", 2).set("a", "new");
    CHECK(to_text(json) == "{\"a\":\"new\",\"b\":2}");
    CHECK(json.find("c") == nullptr);
    CHECK(Json(3).find("a") == nullptr);
    CHECK(Json::array().find("a") == nullptr);
    CHECK(json.at("b").as_integer() == 2);
}

TEST_CASE("describe: at most forty letters, text in quotes, lists and objects by name", "[core][json]") {
    CHECK(describe(nullptr) == "null");
    CHECK(describe(true) == "true");
    CHECK(describe(5) == "5");
    CHECK(describe(0.05) == "0.05");
    CHECK(describe("soup") == "\"soup\"");
    CHECK(describe(Json::Array{1}) == "a list");
    CHECK(describe(Json::object()) == "an object");
    const std::string longest = describe(std::string(1000, 'x'));
    CHECK(longest.size() == 40);
    CHECK(longest.ends_with("...\""));
}
