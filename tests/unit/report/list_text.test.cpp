// Lists as small tables: columns stand under their headers and no line is too long.

#include "../../../src/report/list_text.hpp"

#include <catch2/catch.hpp>

#include <sstream>

using namespace oddplate;

TEST_CASE("a list is a table whose columns stand under their headers", "[report]") {
    methods::Findings findings;
    findings.lists.push_back({"each_taster", {{{"taster", std::string("Ann")}, {"correct", std::int64_t{3}}, {"tells", 0.25}},
                                              {{"taster", std::string("Béatrice")}, {"correct", std::int64_t{12}}, {"tells", {}}}}});
    CHECK(report::lists_text(findings, core::Words::english(), "  ") ==
          "\n"
          "  each taster\n"
          "    taster    correct  tells\n"
          "    Ann             3   0.25\n"
          "    Béatrice       12      -\n");
}

TEST_CASE("a wide list goes on below its first column, a long one says how much more there is", "[report]") {
    methods::List list{.key = "spots", .rows = {}};
    for (int i = 0; i < 60; ++i) {
        std::vector<methods::Field> row{{"spot", "spot " + std::to_string(i)}};
        for (int j = 0; j < 12; ++j) row.push_back({"number_" + std::to_string(j), 0.125 * j});
        list.rows.push_back(row);
    }
    methods::Findings findings;
    findings.lists.push_back(list);
    const std::string text = report::lists_text(findings, core::Words::english(), "  ");
    std::istringstream lines(text);
    std::size_t with_spot = 0;
    for (std::string line; std::getline(lines, line);) {
        CHECK(line.size() <= 82);
        with_spot += line.starts_with("    spot 7 ");
    }
    CHECK(with_spot == 2);   // 12 columns of ten or so take two tables
    CHECK(text.find("20") != std::string::npos);
    CHECK(text.find("spot 40") == std::string::npos);
}
