// What stands in tables.
#include "oddplate/core/csv.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace oddplate::core;

TEST_CASE("csv_number: point and comma before the decimals, signs and exponents are read", "[core][csv]") {
    CHECK(*csv_number("1.5", "x") == 1.5);
    CHECK(*csv_number("1,5", "x") == 1.5);
    CHECK(*csv_number(" -0,25 ", "x") == -0.25);
    CHECK(*csv_number("+7", "x") == 7.0);
    CHECK(*csv_number("1E-05", "x") == 1e-5);
    CHECK(*csv_number(".5", "x") == 0.5);
    CHECK(*csv_number("0", "x") == 0.0);
}

TEST_CASE("csv_number: thousands marks, words, NaN, infinities and rests are refused with their place", "[core][csv]") {
    for (const char* text :
         {"",     " ",    "1,234.5", "1.234,5", "1,234,567", "1 000", "1'000", "abc", "nan", "inf", "-inf", "1e400",
          "0x10", "1.5x", "1..5",    "--1",     "+-1",       "+",     "-",     ".",   ",",   "e5",  "5 %"}) {
        CAPTURE(text);
        const auto number = csv_number(text, "line 3");
        REQUIRE_FALSE(number);
        CHECK(number.faults()[0].where == "line 3");
        CHECK(exit_code(number.faults()) == 2);
    }
    CHECK(csv_number("x", "line 3").faults()[0].line() == "line 3: found \"x\", expected a number such as 1.5");
    CHECK(csv_number("", "line 3").faults()[0].line() == "line 3: found an empty cell, expected a number such as 1.5");
}

TEST_CASE("csv_cell: quotes only where needed, doubled inside", "[core][csv]") {
    CHECK(csv_cell("plain text") == "plain text");
    CHECK(csv_cell("").empty());
    CHECK(csv_cell("a,b") == "\"a,b\"");
    CHECK(csv_cell("a;b") == "\"a;b\"");
    CHECK(csv_cell("say \"hm\"") == "\"say \"\"hm\"\"\"");
    CHECK(csv_cell("two\nlines") == "\"two\nlines\"");
    CHECK(csv_cell(" edge") == "\" edge\"");
}

TEST_CASE("csv_cell: text that a spreadsheet would run gets a mark in front, numbers do not", "[core][csv]") {
    for (const std::string text : {"=1+1", "+1+1", "-1+1", "@sum", "-", "=", "+49 30"}) CHECK(csv_cell(text) == "'" + text);
    CHECK(csv_cell("\tx") == "\"'\tx\"");
    CHECK(csv_cell("\rx") == "\"'\rx\"");
    CHECK(csv_cell("=a,b") == "\"'=a,b\"");
    CHECK(csv_cell("-1.5") == "-1.5");
    CHECK(csv_cell("+2") == "+2");
    CHECK(csv_cell("417+862") == "417+862");
}

TEST_CASE("expect_columns: an unknown column names the nearest known one, and that one is not called missing as well",
          "[core][csv]") {
    const auto lines = [](const CsvTable& table) {
        std::vector<std::string> all;
        const Status status = expect_columns(table, {"ballot", "set", "answer"}, {"taster", "note"});
        if (!status) {
            for (const Error& error : status.faults()) all.push_back(error.line());
        }
        return all;
    };
    const std::string known = "ballot, set, answer, taster, note";
    CHECK(lines({{"ballot", "set", "answer"}, {}, ','}).empty());
    CHECK(lines({{"note", "answer", "set", "ballot", "taster"}, {}, ','}).empty());
    CHECK(lines({{"ballot", "set", "anwser"}, {}, ','}) ==
          std::vector<std::string>{"header: found a column \"anwser\", expected only " + known + " (did you mean \"answer\"?)"});
    CHECK(lines({{"ballot", "set", "answer", "colour"}, {}, ','}) ==
          std::vector<std::string>{"header: found a column \"colour\", expected only " + known});
    CHECK(lines({{"ballot", "answer"}, {}, ','}) ==
          std::vector<std::string>{"header: found no column \"set\", expected " + known});
    CHECK(lines({{"x"}, {}, ','}).size() == 4);
}
