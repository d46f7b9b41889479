// Scores taken as words in an order beside repeats, sittings and pieces.
#include <cmath>

#include "../../../src/methods/ratings.hpp"
#include "unit/methods/support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

std::string letter(int s) { return std::string(1, static_cast<char>('a' + s)); }

core::Result<Findings> weighed(const std::vector<std::vector<std::string>>& rows, std::vector<std::string> columns = {"taster", "sample", "score"}) {
    PlainTable table{.columns = std::move(columns), .rows = {}};
    for (std::size_t i = 0; i < rows.size(); ++i) table.rows.push_back({i + 2, rows[i]});
    const Method& asked = method("rating");
    return asked.weigh(asked, table, settings(asked.weigh_settings, "{}"));
}

double of_pair(const Findings& findings, std::size_t row, std::string_view key) {
    for (const List& list : findings.lists)
        if (list.key == "pairs")
            for (const Field& field : list.rows.at(row))
                if (field.key == key) return std::get<double>(field.value);
    FAIL("no " << key);
    return 0;
}

std::string left_out(const Findings& findings) {
    const Value* const value = findings.find("ordered.leaves_out");
    return value == nullptr ? "" : std::get<std::string>(*value);
}

/// Ten people, three samples, steps of 1 to 9; `more` adds to a score and says what stands behind it in the row.
template <class More>
std::vector<std::vector<std::string>> steps(int times, const More& more) {
    std::vector<std::vector<std::string>> rows;
    for (int t = 0; t < 10; ++t)
        for (int s = 0; s < 3; ++s)
            for (int again = 0; again < times; ++again) {
                const auto [added, name] = more(t, s, again);
                rows.push_back({std::to_string(t), letter(s), std::to_string(3 + s + (t % 3 == 0) + (t * 7 + s * 5 + again * (t + 2 * s)) % 3 + added), name});
            }
    return rows;
}

}   // namespace

// Counts: Randall (1989), Biometrical Journal 31:781, by judge: two bottles each of cold and warm, without and with skins. Odds: R 4.2.2, optim and nlm on the
// likelihood with Gauss-Hermite quadrature of 60 points.
TEST_CASE("the bitterness of wines in five words: odds beside repeats, and no p", "[ratings]") {
    constexpr int k_words[9][4][2] = {{{2, 3}, {3, 4}, {4, 4}, {5, 5}},
                                      {{1, 2}, {1, 3}, {2, 3}, {5, 4}},
                                      {{2, 3}, {3, 2}, {5, 5}, {4, 4}},
                                      {{3, 2}, {3, 2}, {3, 2}, {5, 3}},
                                      {{2, 3}, {4, 3}, {3, 3}, {3, 3}},
                                      {{3, 2}, {3, 2}, {2, 4}, {5, 4}},
                                      {{1, 1}, {2, 2}, {2, 3}, {2, 3}},
                                      {{2, 2}, {2, 3}, {3, 3}, {3, 4}},
                                      {{1, 2}, {3, 2}, {3, 2}, {4, 4}}};
    const char* const k_wines[] = {"cold_no", "cold_yes", "warm_no", "warm_yes"};
    std::vector<std::vector<std::string>> rows;
    for (int judge = 0; judge < 9; ++judge)
        for (int wine = 0; wine < 4; ++wine)
            for (const int word : k_words[judge][wine]) rows.push_back({"j" + std::to_string(judge + 1), k_wines[wine], std::to_string(word)});
    const auto found = weighed(rows);
    REQUIRE(found);
    CHECK(of_pair(*found, 0, "odds_ratio") == Approx(0.179807648).epsilon(1e-5));
    CHECK(of_pair(*found, 1, "odds_ratio") == Approx(0.052586644).epsilon(1e-5));
    CHECK(of_pair(*found, 2, "odds_ratio") == Approx(0.007498570).epsilon(1e-5));
    CHECK(number(*found, "ordered.taster_deviation") == Approx(1.133230593).epsilon(1e-5));
    CHECK(left_out(*found) == "a person's own taste of a recipe");
    CHECK(is_null_with_why(*found, "ordered.p_value"));
    CHECK(said(method("rating"), found->words).find("put the samples in the same order. How sure that is isn't said, since that reckoning leaves out a person's own taste of a recipe") != std::string::npos);
}

TEST_CASE("sittings that differ make each tray a block of the words, and there is no p", "[ratings]") {
    const auto found = weighed(steps(2, [](int, int, int again) { return std::pair{3 * again, std::to_string(again)}; }), {"taster", "sample", "score", "sitting"});
    REQUIRE(found);
    CHECK(left_out(*found).find("trays have in common") != std::string::npos);
    CHECK(is_null_with_why(*found, "ordered.p_value"));
    CHECK(of_pair(*found, 1, "odds_ratio") < 1);
}

TEST_CASE("a whole piece a sample leaves odds and no test", "[ratings]") {
    const auto found = weighed(steps(1, [](int, int, int) { return std::pair{0, std::string("1")}; }), {"taster", "sample", "score", "piece"});
    REQUIRE(found);
    CHECK(is_null_with_why(*found, "test"));
    CHECK(left_out(*found) == "pieces");
    CHECK(of_pair(*found, 1, "odds_ratio") < 1);
    CHECK(is_null_with_why(*found, "ordered.p_value"));
}

TEST_CASE("repeats that are all alike are words said once", "[ratings]") {
    const auto once = weighed(steps(1, [](int, int, int) { return std::pair{0, std::string("1")}; }), {"taster", "sample", "score", "sitting"});
    auto rows = steps(1, [](int, int, int) { return std::pair{0, std::string("1")}; });
    for (std::size_t i = 0; i < 30; ++i) rows.push_back(std::vector(rows[i]));
    const auto twice = weighed(rows, {"taster", "sample", "score", "sitting"});
    REQUIRE((once && twice));
    CHECK(number(*twice, "ordered.p_value") == number(*once, "ordered.p_value"));
    CHECK(of_pair(*twice, 1, "odds_ratio") == of_pair(*once, 1, "odds_ratio"));
}

TEST_CASE("large tables draw fewer tables of words, so that a report stays quick", "[ratings]") {
    const auto drawn = [](int people) {
        std::vector<std::vector<std::string>> rows;
        for (int t = 0; t < people; ++t)
            for (int s = 0; s < 3; ++s) rows.push_back({std::to_string(t), letter(s), std::to_string(3 + s + (t % 3 == 0) + (t * 7 + s * 5) % 3)});
        const auto found = weighed(rows);
        REQUIRE(found);
        const Value* const value = found->find("ordered.tables_drawn");
        REQUIRE(value != nullptr);
        return std::get<std::int64_t>(*value);
    };
    CHECK(drawn(100) == 999);
    CHECK(drawn(101) == 199);
}

// Each person gives one score, so that pieces within samples are what samples stand on. R 4.2.2: aov(score ~ sample + Error(piece)): mean squares 27.84028 on 2,
// 7.520833 on 6, 1.701389 on 27.
TEST_CASE("a column of pieces gives a table the scatter of pieces", "[ratings]") {
    constexpr int k_piece[3][3] = {{1, -1, 0}, {0, 2, -2}, {1, 0, -1}}, k_sample[3] = {0, 1, 3};
    constexpr double k_person[4] = {0, 1, -1, 0.5};
    std::vector<std::vector<std::string>> rows;
    for (int s = 0; s < 3; ++s)
        for (int p = 0; p < 3; ++p)
            for (int n = 0; n < 4; ++n) rows.push_back({"t" + std::to_string(rows.size()), letter(s), std::to_string(5 + k_sample[s] + k_piece[s][p] + k_person[n] * (1 + (p + s) % 2)), std::to_string(p + 1)});
    const auto found = weighed(rows, {"taster", "sample", "score", "piece"});   // pieces 1 to 3 of each sample: nine
    REQUIRE(found);
    CHECK(number(*found, "test.f") == Approx(3.701754386).epsilon(1e-6));
    CHECK(number(*found, "test.df2") == Approx(6).epsilon(1e-6));
    CHECK(number(*found, "test.p_value") == Approx(0.08970119783).epsilon(1e-6));
    CHECK(number(*found, "variance.piece") == Approx(1.454861111).epsilon(1e-5));
    rows[4][3] = "";
    const auto unnamed = weighed(rows, {"taster", "sample", "score", "piece"});
    REQUIRE_FALSE(unnamed);
    CHECK(unnamed.faults()[0].line().find("line 6 piece: found nothing") == 0);
}
