// Reading tables.
#include "oddplate/core/csv.hpp"

#include <catch2/catch.hpp>

#include "oddplate/core/philox.hpp"
#include "oddplate/core/text.hpp"

using namespace oddplate::core;

namespace {

using Cells = std::vector<std::string>;

CsvTable read(std::string_view bytes) {
    const auto table = parse_csv(bytes);
    if (!table) FAIL(table.faults()[0].line());
    return *table;
}

std::string refusal(std::string_view bytes) {
    const auto table = parse_csv(bytes);
    if (table) return "taken";
    REQUIRE(table.faults().size() == 1);
    CHECK(table.faults()[0].kind == ErrorKind::bad_file);
    return table.faults()[0].line();
}

/// Plain letters as UTF-16.
std::string utf16(std::string_view text, bool big, bool mark) {
    std::string bytes = !mark ? "" : big ? "\xFE\xFF" : "\xFF\xFE";
    for (const char c : text) bytes += big ? std::string{'\0', c} : std::string{c, '\0'};
    return bytes;
}

}   // namespace

TEST_CASE("parse_csv: header in lower case, cells trimmed, and each row knows its line", "[core][csv]") {
    const CsvTable table = read("Ballot, SET ,answer\nb1, 1 ,417\n\n  b2,2,  \"862 \"  \n");
    CHECK(table.header == Cells{"ballot", "set", "answer"});
    CHECK(table.separator == ',');
    REQUIRE(table.rows.size() == 2);
    CHECK(table.rows[0].line == 2);
    CHECK(table.rows[0].cells == Cells{"b1", "1", "417"});
    CHECK(table.rows[1].line == 4);
    CHECK(table.rows[1].cells == Cells{"b2", "2", "862 "});
    CHECK(table.column("set") == 1);
    CHECK(table.column("note") == -1);
}

TEST_CASE("parse_csv: quoted cells keep separators, doubled quotes and line ends", "[core][csv]") {
    const CsvTable table = read("a,b\n\"x, \"\"y\"\"\",\"one\r\ntwo\nthree\"\nlast,5\" pan\n\"\",\"\"\"\"\n");
    REQUIRE(table.rows.size() == 3);
    CHECK(table.rows[0].cells == Cells{"x, \"y\"", "one\r\ntwo\nthree"});
    CHECK(table.rows[1].line == 5);
    CHECK(table.rows[1].cells == Cells{"last", "5\" pan"});
    CHECK(table.rows[2].cells == Cells{"", "\""});
}

TEST_CASE("parse_csv: every kind of line end gives the same table, mixed too, with or without the last one", "[core][csv]") {
    for (const char* text : {"a,b\n1,2\n3,4\n", "a,b\r\n1,2\r\n3,4\r\n", "a,b\r1,2\r3,4\r", "a,b\r\n1,2\n3,4",
                             "a,b\r1,2\n3,4\r\n", "a,b\n1,2\r\n3,4\r"}) {
        CAPTURE(text);
        const CsvTable table = read(text);
        REQUIRE(table.rows.size() == 2);
        CHECK(table.rows[0].cells == Cells{"1", "2"});
        CHECK(table.rows[1].cells == Cells{"3", "4"});
        CHECK(table.rows[1].line == 3);
    }
}

TEST_CASE("parse_csv: a byte-order mark does not become part of the first name", "[core][csv]") {
    CHECK(read("\xEF\xBB\xBF"
               "a,b\n1,2\n")
              .header == Cells{"a", "b"});
    CHECK(read("\xEF\xBB\xBF\"a\",b\n1,2\n").header == Cells{"a", "b"});
}

TEST_CASE("parse_csv: UTF-16 of either order is read, with its mark and without", "[core][csv]") {
    for (const bool big : {false, true}) {
        for (const bool mark : {false, true}) {
            CAPTURE(big, mark);
            const CsvTable table = read(utf16("ballot\tset\r\nb1\t2\r\n", big, mark));
            CHECK(table.header == Cells{"ballot", "set"});
            CHECK(table.separator == '\t');
            CHECK(table.rows.at(0).cells == Cells{"b1", "2"});
        }
    }
}

TEST_CASE("parse_csv: UTF-16 letters beyond ASCII and surrogate pairs become UTF-8", "[core][csv]") {
    std::string bytes = utf16("a\n", false, true);
    bytes += std::string("\xE9\x00\xAC\x20\x3C\xD8\x72\xDF", 8);   // e acute, euro sign, a pot of food
    CHECK(read(bytes).rows.at(0).cells == Cells{"\xC3\xA9\xE2\x82\xAC\xF0\x9F\x8D\xB2"});
}

TEST_CASE("parse_csv: broken UTF-16 is refused with its place", "[core][csv]") {
    CHECK(refusal(utf16("a\nbc", false, true) + "x").starts_with("line 2, column 3: found half a letter at the end"));
    for (const std::string& half : {std::string("\x3C\xD8", 2), std::string("\x72\xDF", 2), std::string("\x3C\xD8x\0", 4)}) {
        CHECK(refusal(utf16("a\nb", false, true) + half).starts_with("line 2, column 2: found half of a pair"));
    }
    CHECK(refusal(utf16("a\nb", true, true) + std::string(2, '\0')).starts_with("line 2, column 2: found a NUL byte"));
}

TEST_CASE("parse_csv: the separator is the one that the header has most of", "[core][csv]") {
    CHECK(read("a;b;c\n1,5;2;3\n").rows.at(0).cells == Cells{"1,5", "2", "3"});
    CHECK(read("a\tb\n1,5\t2;3\n").rows.at(0).cells == Cells{"1,5", "2;3"});
    CHECK(read("\"a,x,y\";b\n1;2\n").header == Cells{"a,x,y", "b"});
    CHECK(read("\n\na;b\n1;2\n").separator == ';');
    CHECK(read("5\" pan;b\n1,2;3\n").header == Cells{"5\" pan", "b"});
    CHECK(read("\"a \"\",,\";b\n1;2\n").header == Cells{"a \",,", "b"});
    CHECK(read("one\n1;2\n").separator == ',');
    CHECK(read("one\n1;2\n").rows.at(0).cells == Cells{"1;2"});
}

TEST_CASE("parse_csv: a tab between cells is no space to be trimmed", "[core][csv]") {
    CHECK(read("a\tb\tc\n\t\t3\n").rows.at(0).cells == Cells{"", "", "3"});
    CHECK(read("a\tb\n 1 \t \"2\" \n").rows.at(0).cells == Cells{"1", "2"});
}

TEST_CASE("parse_csv: cells missing at a row's end are empty, more than the header has are refused", "[core][csv]") {
    CHECK(read("a,b,c\n1\n1,2\n").rows.at(0).cells == Cells{"1", "", ""});
    CHECK(refusal("a,b\n1,2\n3,4,5\n") == "line 3, column 5: found 3 cells, expected at most the 2 of the header");
    CHECK(refusal("a,b\n1,2,\n") == "line 2, column 5: found 3 cells, expected at most the 2 of the header");
}

TEST_CASE("parse_csv: columns without name or content at the right end, and lines of separators only, are left out",
          "[core][csv]") {
    const CsvTable table = read("a,b,,\n1,2,,\n,,,\n3,4\n");
    CHECK(table.header == Cells{"a", "b"});
    REQUIRE(table.rows.size() == 2);
    CHECK(table.rows[1].cells == Cells{"3", "4"});
    CHECK(refusal("a,b,,\n1,2,x,\n") == "line 2, column 5: found 4 cells, expected at most the 2 of the header");
}

TEST_CASE("parse_csv: NUL and invalid UTF-8 are refused with line and column", "[core][csv]") {
    CHECK(refusal(std::string_view("a,b\n1,\0\n", 8)).starts_with("line 2, column 3: found a NUL byte"));
    CHECK(refusal("a,b\ncr\xE8me,1\n") ==
          "line 2, column 3: found a byte that is no UTF-8, expected text in UTF-8 (save the table as CSV UTF-8)");
    CHECK(refusal("a,b\n\xC3\xA8,\xC3\n").starts_with("line 2, column 3: "));
    CHECK(refusal("a\n\xED\xA0\x80\n").starts_with("line 2, column 1: "));
}

TEST_CASE("parse_csv: a quote that never ends and text after a quote are refused at their place", "[core][csv]") {
    CHECK(refusal("a,b\n1,\"2\n3,4\n").starts_with("line 2, column 3: found a quote that never ends"));
    CHECK(refusal("a,b\n1,\"2\" x\n").starts_with("line 2, column 7: found text after a closing quote"));
    CHECK(refusal("a,b\n1,\"two\nlines\"x\n").starts_with("line 3, column 7: found text after a closing quote"));
    CHECK(refusal("\"").starts_with("line 1, column 1: found a quote that never ends"));
}

TEST_CASE("parse_csv: an empty file and a header with two columns of one name are refused", "[core][csv]") {
    for (const char* text : {"", "\n", "\r\n \r\n", "\xEF\xBB\xBF", ",,\n,\n", "\xFF\xFE"}) {
        CHECK(refusal(text) == "found an empty file, expected a header and rows");
    }
    CHECK(refusal("a,b,A\n1,2,3\n") == "line 1, column 5: found a second column \"a\", expected each column once");
    CHECK(refusal("x,,,y\n") == "line 1, column 4: found a second column \"\", expected each column once");
    CHECK(read("a,b\n").rows.empty());
}

TEST_CASE("parse_csv: what csv_cell writes is read back as it was, for two thousand random tables", "[core][csv][exhaustive]") {
    PhiloxStream chance(4, 4);
    const std::string letters = "ab ,;\"\n\r\t'1\xC3\xA9";
    for (int i = 0; i < 2000; ++i) {
        Cells cells;
        std::string text = "first,second,third,end\n";
        for (int j = 0; j < 3; ++j) {
            std::string cell;
            for (std::uint32_t n = chance.below(6); n > 0; --n) cell += letters.substr(chance.below(11), 1);
            if (!cell.empty() && (cell[0] == '\t' || cell[0] == '\r')) cell[0] = 'x';   // these would get a ' in front
            cells.push_back(cell);
            text += csv_cell(cell) + ",";
        }
        cells.emplace_back("z");
        CAPTURE(text);
        CHECK(read(text + "z\n").rows.at(0).cells == cells);
    }
}

TEST_CASE("parse_csv: ten thousand damaged tables are read whole or refused in one clean line", "[core][csv][exhaustive]") {
    PhiloxStream chance(5, 5);
    const std::string good = "ballot;set;answer\r\nb1;1;\"417\"\r\nb2;2;\"a \"\"b\"\"\"\r\n";
    int refused = 0;
    for (int i = 0; i < 10'000; ++i) {
        std::string text = good;
        for (std::uint32_t hits = 1 + chance.below(4); hits > 0; --hits) {
            const std::uint32_t at = chance.below(static_cast<std::uint32_t>(text.size()));
            text[at] = "\"\";,\n\r\t \xE9\xC3\x00xyz"[chance.below(14)];
        }
        const auto table = parse_csv(text);
        if (table) {
            for (const CsvRow& row : table->rows) CHECK(row.cells.size() == table->header.size());
            continue;
        }
        ++refused;
        const std::string line = table.faults()[0].line();
        CHECK(quoted(line, 1000) == line);
    }
    CHECK(refused > 1000);
}
