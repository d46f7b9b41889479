#include <catch2/catch.hpp>

#include "../../../src/report/list_tables.hpp"
#include "../../../src/report/number_rows.hpp"

using namespace oddplate;
using methods::Field;
using methods::List;

namespace {

core::Words english() { return core::Words::english(); }

}   // namespace

TEST_CASE("lists as tables: numbers to the right, rows without numbers left out", "[report]") {
    methods::Findings findings;
    List list{"drops", {}};
    list.rows.push_back({{"attribute", std::string("salt")}, {"people", std::int64_t{12}}, {"drop", 0.5}, {"lower", 0.1}, {"upper", 0.9}, {"p_value", 0.01}});
    list.rows.push_back({{"attribute", std::string("smoke")}, {"people", std::int64_t{3}}, Field{"drop", {}, "few"}, Field{"lower", {}, "few"}, Field{"upper", {}, "few"}, Field{"p_value", {}, "few"}});
    findings.lists.push_back(list);
    findings.lists.push_back({"empty", {}});
    const auto tables = report::list_tables(findings, english());
    REQUIRE(tables.size() == 1);
    CHECK(tables[0].rows() == 2);   // the header and one row
    CHECK(tables[0].left_out == 1);
    CHECK(tables[0].columns[0][1] == "salt");
    CHECK(tables[0].is_number == std::vector<bool>{false, true, true, true, true, true});
}

TEST_CASE("lists as tables: who leads is shown where somebody doesn't", "[report]") {
    const auto columns = [](bool second) {
        methods::Findings findings;
        findings.lists.push_back({"samples", {{{"name", std::string("a")}, {"leads", true}}, {{"name", std::string("b")}, {"leads", second}}}});
        return report::list_tables(findings, english()).at(0).columns.size();
    };
    CHECK(columns(false) == 2);
    CHECK(columns(true) == 1);
}

TEST_CASE("lists as tables: a table too wide goes on below, every piece with the names of its rows", "[report]") {
    report::ListTable table;
    table.columns = {{"a"}, {"b"}, {"x"}, {"y"}, {"z"}};
    table.is_number = {false, false, true, true, true};
    CHECK(report::pieces_of(table, {10, 10, 30, 30, 30}, 80) == std::vector<std::vector<std::size_t>>{{0, 1, 2, 3}, {0, 1, 4}});
    CHECK(report::pieces_of(table, {10, 10, 100, 30, 30}, 80) == std::vector<std::vector<std::size_t>>{{0, 1, 2}, {0, 1, 3, 4}});   // wider than the page is not lost
    CHECK(report::pieces_of(table, {10, 10, 10, 10, 10}, 80).size() == 1);
    CHECK(report::pieces_of(table, {30, 30, 20, 20, 20}, 80)[0] == std::vector<std::size_t>{0, 1, 2});   // names take half of the room at most
}

TEST_CASE("lists as tables: a row that lacks a key has a dash there, wherever the key stands", "[report]") {
    methods::Findings findings;
    findings.lists.push_back({"words_ticked", {{{"word", std::string("salty")}, {"statistic", 2.5}, {"pieces_p_value", 0.25}, {"p_adjusted", 0.5}}, {{"word", std::string("dry")}, {"p_adjusted", 1.0}, {"p_value", 0.75}}}});
    const auto table = report::list_tables(findings, english()).at(0);
    REQUIRE(table.columns.size() == 5);
    for (const auto& column : table.columns) CHECK(column.size() == 3);
    const std::string dash = report::value_text({}, {}, english());
    CHECK(table.columns[1][2] == dash);
    CHECK(table.columns[2][2] == dash);
    CHECK(table.columns[3][2] == "1");
    CHECK(table.columns[4][1] == dash);
}
