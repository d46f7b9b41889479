// Plain tables of ratings.
#include "../../../src/methods/ratings.hpp"
#include <cmath>

#include "unit/methods/support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

core::Result<Findings> weighed(const std::vector<std::vector<std::string>>& rows, std::string_view settings_text = "{}", std::vector<std::string> columns = {"taster", "sample", "score"}) {
    PlainTable table{.columns = std::move(columns), .rows = {}};
    for (std::size_t i = 0; i < rows.size(); ++i) table.rows.push_back({i + 2, rows[i]});
    const Method& asked = method("rating");
    return asked.weigh(asked, table, settings(asked.weigh_settings, settings_text));
}

/// 9 judges x 8 bottles (1, 2: cold without skins; 3, 4: cold with; 5, 6: warm without; 7, 8: warm with), bitterness on a line of 100: Randall (1989),
/// Biometrical Journal 31:781.
std::vector<std::vector<std::string>> wine() {
    constexpr int k_scores[9][8] = {{36, 48, 47, 67, 77, 60, 83, 90}, {17, 22, 14, 50, 30, 51, 90, 70}, {36, 50, 42, 23, 80, 81, 73, 62},
                                    {46, 27, 48, 32, 57, 37, 84, 58}, {26, 45, 61, 41, 48, 41, 58, 55}, {46, 30, 54, 37, 32, 60, 88, 73},
                                    {13, 19, 31, 29, 22, 43, 32, 49}, {25, 32, 39, 40, 51, 45, 42, 67}, {12, 29, 47, 28, 47, 38, 72, 65}};
    std::vector<std::vector<std::string>> rows;
    for (int judge = 0; judge < 9; ++judge)
        for (int bottle = 0; bottle < 8; ++bottle) rows.push_back({"judge " + std::to_string(judge + 1), std::to_string(bottle + 1), std::to_string(k_scores[judge][bottle])});
    return rows;
}

const std::vector<Field>& row_of(const Findings& findings, std::string_view list, std::size_t row) {
    for (const List& one : findings.lists)
        if (one.key == list) return one.rows.at(row);
    FAIL("no list " << list);
    return findings.lists.front().rows.front();
}

double value(const std::vector<Field>& row, std::string_view key) {
    for (const Field& field : row)
        if (field.key == key) {
            if (const auto* real = std::get_if<double>(&field.value)) return *real;
            if (const auto* yes = std::get_if<bool>(&field.value)) return *yes ? 1 : 0;
            return std::nan("");
        }
    FAIL("no " << key);
    return 0;
}

std::string words_of(const Findings& findings) { return said(method("rating"), findings.words); }

}   // namespace

// R 4.2.2: aov(score ~ judge + bottle), TukeyHSD.
TEST_CASE("the bitterness of wines: F, Tukey's pairs, and who leads", "[ratings]") {
    const auto found = weighed(wine());
    REQUIRE(found);
    CHECK(number(*found, "test.f") == Approx(11.845).margin(5e-4));
    CHECK(number(*found, "test.df1") == 7);
    CHECK(number(*found, "test.df2") == Approx(56).epsilon(1e-8));
    CHECK(number(*found, "variance.taster") == Approx(8.51699398 * 8.51699398).epsilon(1e-5));
    const auto& pair = row_of(*found, "pairs", 5);   // bottles 1 and 7
    CHECK(value(pair, "difference") == Approx(-40.555555556).epsilon(1e-9));
    CHECK(value(pair, "lower") == Approx(-59.23593020).epsilon(1e-6));
    CHECK(value(pair, "p_adjusted") == Approx(1.774174718e-07).margin(1e-10));
    CHECK(found->verdict == "some-lead");   // 7 at 69.1, 8 at 65.4; 6 at 50.7 is not shown to be lower than 7 (TukeyHSD .055), 5 at 49.3 is (.031)
    CHECK(value(row_of(*found, "samples", 6), "leads") == 1);
    CHECK(value(row_of(*found, "samples", 7), "leads") == 1);
    CHECK(value(row_of(*found, "samples", 5), "leads") == 1);
    CHECK(value(row_of(*found, "samples", 4), "leads") == 0);
    CHECK(is_null_with_why(*found, "ordered"));   // a line is no few words
    CHECK(words_of(*found).find("lead and can't be told apart: 7") != std::string::npos);
}

TEST_CASE("a control is held against every other sample", "[ratings]") {
    const auto found = weighed(wine(), R"({"control":"1"})");
    REQUIRE(found);
    CHECK(value(row_of(*found, "against", 0), "difference") == Approx(5).epsilon(1e-9));   // bottle 2
    CHECK(value(row_of(*found, "against", 5), "p_adjusted") < 1e-6);
    CHECK(words_of(*found).find("7 against 1") != std::string::npos);
    const auto unknown = weighed(wine(), R"({"control":"nine"})");
    REQUIRE_FALSE(unknown);
    CHECK(unknown.faults()[0].line().find("--control: found nine, expected one of 1, 2") == 0);
}

TEST_CASE("a constant moves the means alone, other names and another order of lines change nothing", "[ratings]") {
    auto rows = wine();
    const auto before = weighed(rows);
    for (auto& row : rows) row = {row[0] + "x", "bottle " + row[1], std::to_string(std::stoi(row[2]) + 500)};
    std::reverse(rows.begin(), rows.end());
    const auto after = weighed(rows);
    REQUIRE((before && after));
    CHECK(number(*after, "test.f") == Approx(number(*before, "test.f")).epsilon(1e-9));
    CHECK(value(row_of(*after, "samples", 0), "mean") == Approx(value(row_of(*before, "samples", 7), "mean") + 500).epsilon(1e-12));
    CHECK(after->verdict == before->verdict);
}

TEST_CASE("few whole-number steps are read as ordered words too", "[ratings]") {
    std::vector<std::vector<std::string>> rows;
    for (int t = 0; t < 12; ++t)
        for (int s = 0; s < 3; ++s) rows.push_back({std::to_string(t), std::string(1, static_cast<char>('a' + s)), std::to_string(1 + (t % 3) + (s == 2 ? 2 - t % 2 : (t * s) % 2))});
    const auto found = weighed(rows);
    REQUIRE(found);
    CHECK(number(*found, "ordered.df") == 2);
    CHECK(number(*found, "ordered.p_value") > 0);
    CHECK(number(*found, "ordered.p_value") <= 1);
    const auto& pair = row_of(*found, "pairs", 1);
    CHECK(value(pair, "odds_ratio") < 1);   // a against c
    CHECK(value(pair, "odds_ratio_lower") <= value(pair, "odds_ratio"));
    CHECK(words_of(*found).find("Taken as words in an order") != std::string::npos);
}

TEST_CASE("repeats bring tasters' own likings and a table of tasters", "[ratings]") {
    std::vector<std::vector<std::string>> rows;
    for (int t = 0; t < 8; ++t)
        for (int s = 0; s < 3; ++s)
            for (int r = 0; r < 2; ++r) rows.push_back({std::to_string(t), std::to_string(s), std::to_string(4 + s + ((t * 5 + s * 3) % 4) + 0.5 * ((t * 7 + s * 5 + r * 11 + t * s * r) % 5)), std::to_string(r + 1), std::to_string((t + s + r) % 3 + 1)});
    const auto found = weighed(rows, "{}", {"taster", "sample", "score", "sitting", "position"});
    REQUIRE(found);
    CHECK(number(*found, "variance.taster_by_sample") >= 0);
    CHECK(number(*found, "variance.sitting") >= 0);
    CHECK(number(*found, "position.df1") == 2);
    CHECK(value(row_of(*found, "per_taster", 0), "repeatability") > 0);
    CHECK(is_null_with_why(*found, "ordered"));
}

TEST_CASE("tables that say little get means, nulls and a reason", "[ratings]") {
    const auto reason = [](const std::vector<std::vector<std::string>>& rows) {
        const auto found = weighed(rows);
        REQUIRE(found);
        CHECK(is_null_with_why(*found, "test"));
        CHECK(is_null_with_why(*found, "pairs"));
        CHECK(is_null_with_why(*found, "variance"));
        CHECK(found->verdict == "no-clear-order");
        return words_of(*found);
    };
    CHECK(reason({{"ann", "a", "5"}, {"ann", "b", "6"}}).find("only one taster") != std::string::npos);
    CHECK(reason({{"ann", "a", "5"}, {"bo", "a", "6"}}).find("only one sample") != std::string::npos);
    CHECK(reason({{"ann", "a", "5"}, {"ann", "b", "5"}, {"bo", "a", "5"}, {"bo", "b", "5"}}).find("no spread") != std::string::npos);
    CHECK(reason({{"ann", "a", "5"}, {"bo", "a", "6"}, {"bo", "b", ""}}).find("no score at all") != std::string::npos);
    CHECK(reason({}).find("o answers") != std::string::npos);
}

TEST_CASE("a sitting a sample leaves no test of samples", "[ratings]") {
    std::vector<std::vector<std::string>> rows;
    for (int t = 0; t < 6; ++t)
        for (int s = 0; s < 2; ++s) rows.push_back({std::to_string(t), s == 0 ? "a" : "b", std::to_string(3 + s + (t * (s + 2)) % 4), s == 0 ? "Monday" : "Friday"});
    const auto found = weighed(rows, "{}", {"taster", "sample", "score", "sitting"});
    REQUIRE(found);
    CHECK(is_null_with_why(*found, "test"));
    CHECK(found->verdict == "no-clear-order");
    CHECK(words_of(*found).find("in one sitting only") != std::string::npos);
}

TEST_CASE("cells that are no score, place or name are refused with their line", "[ratings]") {
    const auto first = [](const std::vector<std::vector<std::string>>& rows, std::vector<std::string> columns = {"taster", "sample", "score"}) {
        const auto found = weighed(rows, "{}", std::move(columns));
        REQUIRE_FALSE(found);
        return found.faults()[0].line();
    };
    CHECK(first({{"ann", "a", "five"}}) == "line 2 score: found five, expected a number from -1,000,000 to 1,000,000, or nothing where none was given");
    CHECK(first({{"", "a", "5"}}).find("line 2 taster: found nothing") == 0);
    CHECK(first({{"ann", "", "5"}}).find("line 2 sample: found nothing") == 0);
    CHECK(first({{"ann", "a", "5"}, {"Ann", "b", "6"}}).find("line 3 taster: found Ann, expected ann as before") == 0);
    CHECK(first({{"ann", "a", "5", "0"}}, {"taster", "sample", "score", "position"}).find("line 2 position: found 0, expected a whole number from 1 to 100") == 0);
    std::vector<std::vector<std::string>> many;
    for (int s = 0; s < 31; ++s) many.push_back({"ann", std::to_string(s), "5"});
    CHECK(first(many) == "sample: found 31 samples, expected at most 30");
}

// warpbreaks-like small table by hand: rows 1 2 6 | 2 4 6 | 3 3 9 leave, rows and columns taken off, the residuals below (additive table, any text on two-way layouts).
TEST_CASE("what levels and means leave over is the additive table's", "[ratings]") {
    ratings::Scoring scoring{.samples = {"a", "b", "c"}, .tasters = {"1", "2", "3"}, .ratings = {}, .control = {}};
    const double scores[3][3] = {{1, 2, 6}, {2, 4, 6}, {3, 3, 9}};
    for (int t = 0; t < 3; ++t)
        for (int s = 0; s < 3; ++s) scoring.ratings.push_back({.taster = t, .sample = s, .score = scores[t][s]});
    const auto looks = ratings::looks_of(scoring);
    REQUIRE(looks);
    REQUIRE(looks->use.size() == 3);
    CHECK(looks->use[0].mean == 3);
    CHECK(looks->use[2].low == 3);
    CHECK(looks->use[2].high == 9);
    // Row means 3 4 5, column means 2 3 7, grand mean 4: residuals 0 0 0 | 0 1 -1 | 0 -1 1; their squares sum to 4 on 4 degrees of freedom.
    REQUIRE(looks->left_over.size() == 9);
    CHECK(looks->left_over.front().second == Approx(-1));
    CHECK(looks->left_over.back().second == Approx(1));
    CHECK(looks->left_over[4].second == Approx(0).margin(1e-9));
    CHECK(looks->left_over[4].first == Approx(0).margin(1e-12));
    CHECK(looks->left_over.back().first == Approx(1.4941549).epsilon(1e-3));   // Blom's score of the largest of nine (R: qnorm((9 - 3/8) / 9.25))
}
