// Small questions about text.
#include "oddplate/core/text.hpp"

#include <catch2/catch.hpp>

#include <climits>

using namespace oddplate::core;

TEST_CASE("nearest: finds one edit of each kind and leaves far words alone", "[core][text]") {
    const std::vector<std::string> words{"triangle", "tetrad", "ranking", "rating"};
    CHECK(nearest("triangel", words) == "triangle");    // swap of neighbours
    CHECK(nearest("trangle", words) == "triangle");     // left out
    CHECK(nearest("triaangle", words) == "triangle");   // one too many
    CHECK(nearest("trixngle", words) == "triangle");    // replaced
    CHECK(nearest("rakning", words) == "ranking");
    CHECK(nearest("tetrads", words) == "tetrad");
    CHECK(nearest("soup", words).empty());
    CHECK(nearest("", words).empty());
    CHECK(nearest("triangle", {}).empty());
}

TEST_CASE("nearest: an exact word wins over a near one, and of equals the first is taken", "[core][text]") {
    CHECK(nearest("rating", std::vector<std::string>{"ratine", "rating"}) == "rating");
    CHECK(nearest("abcx", std::vector<std::string>{"abcd", "abce"}) == "abcd");
}

TEST_CASE("nearest: a third of the longer word's letters may differ, and one in short words", "[core][text]") {
    CHECK(nearest("abcdef", std::vector<std::string>{"abcdxy"}) == "abcdxy");   // 2 of 6
    CHECK(nearest("abcdef", std::vector<std::string>{"abcxyz"}).empty());       // 3 of 6
    CHECK(nearest("ab", std::vector<std::string>{"ax"}) == "ax");
    CHECK(nearest("ab", std::vector<std::string>{"xy"}).empty());
}

TEST_CASE("nearest: a word of a million letters is answered at once", "[core][text]") {
    CHECK(nearest(std::string(1'000'000, 'x'), std::vector<std::string>{"triangle", "tetrad"}).empty());
}

TEST_CASE("is_utf8: overlong forms, surrogates, cut letters and codes above 10FFFF are faults with their offset",
          "[core][text]") {
    const auto bad_at = [](std::string_view bytes) {
        std::size_t at = 9999;
        return is_utf8(bytes, &at) ? std::size_t{9999} : at;
    };
    CHECK(is_utf8(""));
    CHECK(is_utf8("plain text longer than eight bytes"));
    CHECK(is_utf8("cr\xC3\xA8me \xE2\x82\xAC \xF0\x9F\x8D\xB2 \xF4\x8F\xBF\xBF \xED\x9F\xBF \xEE\x80\x80"));
    CHECK(bad_at("abc\x80") == 3);
    CHECK(bad_at("\xC0\x80") == 0);   // overlong NUL
    CHECK(bad_at("a\xC1\xBF") == 1);
    CHECK(bad_at("\xE0\x9F\xBF") == 0);       // overlong three
    CHECK(bad_at("\xF0\x8F\xBF\xBF") == 0);   // overlong four
    CHECK(bad_at("\xED\xA0\x80") == 0);       // surrogate
    CHECK(bad_at("\xF4\x90\x80\x80") == 0);   // above 10FFFF
    CHECK(bad_at("\xF5\x80\x80\x80") == 0);
    CHECK(bad_at("123456789\xE2\x82") == 9);   // cut off
    CHECK(bad_at("12345678\xE2\x28\xA1") == 8);
    CHECK(bad_at("\xFF\xFE") == 0);
}

TEST_CASE("split and joined: n separators make n + 1 parts and joining them gives the text back", "[core][text]") {
    for (const std::string text : {"", "a", ",", "a,b", ",a,,b,"}) {
        const auto parts = split(text, ',');
        CHECK(parts.size() == static_cast<std::size_t>(std::count(text.begin(), text.end(), ',')) + 1);
        CHECK(joined(parts, ",") == text);
    }
    CHECK(joined({}, ", ").empty());
}

TEST_CASE("trimmed and lower_ascii: spaces inside and letters beyond ASCII stay", "[core][text]") {
    CHECK(trimmed(" \t a b \r\n") == "a b");
    CHECK(trimmed("   ").empty());
    CHECK(trimmed("").empty());
    CHECK(lower_ascii("ABZ\xC3\x84z@[") == "abz\xC3\x84z@[");
}

TEST_CASE("quoted: nothing that moves a cursor or ends a line gets through", "[core][text]") {
    CHECK(quoted("a\nb\tc\x1b[31m\x7f") == "a b c [31m ");
    CHECK(quoted("a\xC2\x9B"
                 "b\xE2\x80\xAE"
                 "c\xE2\x80\xA8") == "a b c ");   // C1 control, right-to-left override, line separator
    CHECK(quoted("a\xFF"
                 "b\xC3") == "a?b?");
    CHECK(quoted(std::string_view("a\0b", 3)) == "a b");
}

TEST_CASE("quoted: long text is cut to the number of letters asked for, dots included, and never inside a letter",
          "[core][text]") {
    CHECK(quoted("12345", 5) == "12345");
    CHECK(quoted("123456", 5) == "12...");
    CHECK(quoted("\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9", 5) == "\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9");
    CHECK(quoted("\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9", 5) == "\xC3\xA9\xC3\xA9...");
    CHECK(quoted("123456", 3) == "...");
    CHECK(quoted("123456", 2) == "12");
    CHECK(quoted("123456", 0).empty());
}

TEST_CASE("with_commas: groups of three from the right, also for the smallest number", "[core][text]") {
    CHECK(with_commas(0) == "0");
    CHECK(with_commas(999) == "999");
    CHECK(with_commas(1000) == "1,000");
    CHECK(with_commas(1234567) == "1,234,567");
    CHECK(with_commas(-1000) == "-1,000");
    CHECK(with_commas(LLONG_MIN) == "-9,223,372,036,854,775,808");
}
