#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/two_kinds.hpp"
#include "support.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

/// Each taster's right answers of `of`, at one spot, or at as many as `right` has columns.
PlainTable table_of(const std::vector<std::vector<std::int64_t>>& right, std::int64_t of, bool with_spots) {
    PlainTable table{.columns = {"taster", "correct"}, .rows = {}};
    if (with_spots) table.columns.emplace_back("spot");
    for (std::size_t taster = 0; taster < right.size(); ++taster)
        for (std::size_t spot = 0; spot < right[taster].size(); ++spot)
            for (std::int64_t i = 0; i < of; ++i) {
                std::vector<std::string> cells{"t" + std::to_string(taster), i < right[taster][spot] ? "1" : "no"};
                if (with_spots) cells.push_back("s" + std::to_string(spot));
                table.rows.push_back({table.rows.size() + 2, std::move(cells)});
            }
    return table;
}

Findings weighed(std::string_view id, const PlainTable& table, std::string_view flags = "{}") {
    const Method& asked = method(id);
    const auto found = asked.weigh(asked, table, settings(asked.weigh_settings, flags));
    INFO((found.ok() ? "" : found.faults()[0].line()));
    REQUIRE(found.ok());
    return *found;
}

bool is_null(const Findings& findings, std::string_view key) {
    const Value* value = findings.find(key);
    REQUIRE(value != nullptr);
    return std::holds_alternative<std::monostate>(*value);
}

}   // namespace

TEST_CASE("a table with one answer each is weighed as the count") {
    const Findings table = weighed("triangle", table_of(std::vector<std::vector<std::int64_t>>{{1}, {1}, {0}, {1}, {1}, {0}, {1}}, 1, false), R"({"detect_d":1})");
    const Findings counted = count("triangle", R"({"correct":5,"of":7,"detect_d":1})");
    for (const char* key : {"p_value", "p_value_similar", "proportion_correct.lower", "proportion_correct.upper", "d_prime.estimate"})
        CHECK(number(table, key) == number(counted, key));
    CHECK(table.verdict == counted.verdict);
    CHECK(number(table, "tasters") == 7);
    CHECK(number(table, "answers") == 7);
    CHECK(is_null(table, "overdispersion.gamma"));
    CHECK(is_null(table, "overdispersion.p_value"));
    CHECK(is_null(table, "population.typical_taster"));
    CHECK(number(table, "population.d_prime.estimate") == Approx(number(counted, "d_prime.estimate")).epsilon(1e-4));
}

TEST_CASE("several answers a taster are weighed by tasters") {
    const std::vector<std::vector<std::int64_t>> right{{4}, {4}, {4}, {1}, {0}, {2}, {1}, {4}, {1}, {0}, {4}, {2}};
    const Findings found = weighed("triangle", table_of(right, 4, false), R"({"same_below_pd":0.7})");
    const stats::SetGroup everyone{12, 4};
    CHECK(number(found, "p_value") == stats::binomial_upper(27, 48, 1.0 / 3));
    CHECK(number(found, "p_value_similar") == stats::pooled_lower_tail(27, {&everyone, 1}, 1.0 / 3, 0.7));
    CHECK(number(found, "proportion_correct.lower") == stats::interval_by_tasters(27, {&everyone, 1}, 1.0 / 3, 0.9).lower);
    CHECK(number(found, "tasters") == 12);
    CHECK(number(found, "answers") == 48);
    CHECK(number(found, "overdispersion.gamma") > 0.5);
    CHECK(number(found, "overdispersion.p_value") < 0.01);
    CHECK(number(found, "population.d_prime.lower") < number(found, "population.d_prime.estimate"));
    CHECK(number(found, "population.d_prime.estimate") < number(found, "population.d_prime.upper"));
    // The population's d' is what everybody would need for its share right: near the plain one, if not the same.
    CHECK(number(found, "population.d_prime.estimate") == Approx(number(found, "d_prime.estimate")).margin(0.3));
    REQUIRE(found.lists.size() == 1);
    CHECK(found.lists[0].rows.size() == 12);
}

TEST_CASE("without a margin the table's similar p is null") {
    CHECK(is_null(weighed("two-afc", table_of({{3}, {4}, {2}}, 4, false)), "p_value_similar"));
}

TEST_CASE("a table with spots tells them apart and takes them together") {
    std::vector<std::vector<std::int64_t>> right;
    for (int i = 0; i < 12; ++i) right.push_back({2, i % 2, i % 3 == 0});
    const Findings found = weighed("triangle", table_of(right, 2, true), R"({"detect_d":1})");
    CHECK(number(found, "heterogeneity.p_value") < 0.001);
    const auto& spots = found.lists[0];
    REQUIRE(spots.key == "spots");
    REQUIRE(spots.rows.size() == 3);
    const auto cell = [&](std::size_t row, std::string_view key) {
        for (const Field& field : spots.rows[row])
            if (field.key == key) return std::get<double>(field.value);
        FAIL("no key " << key);
        return 0.0;
    };
    for (std::size_t spot = 0; spot < 3; ++spot) CHECK(cell(spot, "p_closed") >= cell(spot, "p_value"));
    const double clear = stats::binomial_upper(24, 24, 1.0 / 3);
    CHECK(cell(0, "p_adjusted") == Approx(3 * clear));
    CHECK(number(found, "p_value_anywhere") >= clear);
    CHECK(number(found, "p_value_anywhere") <= cell(0, "p_adjusted"));
    CHECK(cell(0, "simultaneous_lower") < 1);
    CHECK(number(found, "mean_over_spots.estimate") == Approx((24 + 6 + 4) / 72.0));
}

// All right: a panel of two kinds of taster with the share pd of those who always tell comes out all right with (pd + (1 - pd) chance^k)^n, which an exact
// limit sets to its share of alpha (elementary; k answers each, n tasters).
TEST_CASE("all answers right bound those who can tell by tasters, exactly") {
    for (const auto& [id, chance] : {std::pair{"triangle", 1.0 / 3}, {"two-afc", 0.5}}) {
        const Findings found = weighed(id, table_of(std::vector<std::vector<std::int64_t>>(5, {4}), 4, false));
        const double all = std::pow(0.05, 1.0 / 5), luck = std::pow(chance, 4);
        CHECK(number(found, "population.discriminators.lower") == Approx((all - luck) / (1 - luck)).epsilon(1e-6));
        CHECK(number(found, "population.discriminators.upper") == 1);
        CHECK(number(found, "discriminators.lower") == Approx(number(found, "population.discriminators.lower")).epsilon(1e-6));
    }
}

TEST_CASE("half of the pairs right is d' 0 to the last digit, and one answer at a spot has no scatter") {
    const Findings pairs = weighed("two-afc", table_of({{2}, {1}, {3}}, 4, false));
    CHECK(number(pairs, "population.d_prime.estimate") == 0);
    PlainTable table = table_of({{1, 0}, {0, 1}, {1, 1}}, 1, true);
    table.rows.push_back({99, {"t0", "1", "s2"}});
    CHECK(is_null_with_why(weighed("triangle", table), "mean_over_spots.standard_error"));
    table.rows.push_back({100, {"t1", "0", "s2"}});
    CHECK_FALSE(is_null_with_why(weighed("triangle", table), "mean_over_spots.standard_error"));
}

TEST_CASE("a table of one person says that it tells of one person") {
    const auto says_so = [](const Findings& found) {
        return std::any_of(found.words.begin(), found.words.end(), [](const core::Sentence& one) { return one.id == "right.weigh.one_taster"; });
    };
    CHECK(says_so(weighed("triangle", table_of({{9}}, 12, false))));
    CHECK_FALSE(says_so(weighed("triangle", table_of({{9}, {3}}, 12, false))));
}

TEST_CASE("tables at the ends are weighed or refused in a sentence") {
    const std::vector<std::vector<std::int64_t>> all_right(10, {4}), all_wrong(10, {0}), one{{3}};
    CHECK(is_null(weighed("triangle", table_of(all_right, 4, false)), "population.d_prime.estimate"));
    CHECK(number(weighed("triangle", table_of(all_wrong, 4, false)), "population.d_prime.estimate") == 0);
    CHECK(is_null(weighed("two-afc", table_of(all_wrong, 4, false)), "population.d_prime.estimate"));
    CHECK(is_null(weighed("triangle", table_of(one, 4, false)), "overdispersion.p_value"));
    CHECK_NOTHROW(weighed("triangle", table_of(one, 1, false)));
    CHECK_NOTHROW(weighed("triangle", table_of(all_right, 4, false), R"({"alpha":0.49})"));
    const Method& asked = method("triangle");
    const auto fault = [&](std::vector<PlainTable::Row> rows) {
        const auto found = asked.weigh(asked, {{"taster", "correct"}, std::move(rows)}, {});
        REQUIRE_FALSE(found.ok());
        return found.faults()[0].line();
    };
    CHECK(fault({}) == "found a header alone, expected one answer a line");
    CHECK(fault({{2, {"a", "1"}}, {3, {"b", "maybe"}}}) == "line 3: found correct \"maybe\", expected 1 or 0 (yes or no)");
    CHECK(fault({{2, {"", "1"}}}) == "line 2: found no taster, expected a name or a number");
}

TEST_CASE("a table of votes is weighed by net votes") {
    const Method& asked = method("paired-preference");
    PlainTable table{{"taster", "for"}, {}};
    const auto vote = [&](const char* taster, const char* choice) { table.rows.push_back({table.rows.size() + 2, {taster, choice}}); };
    for (const char* taster : {"a", "b", "c", "d", "e", "f"})
        for (int i = 0; i < 3; ++i) vote(taster, "new");
    vote("a", "none");
    const auto found = asked.weigh(asked, table, {});
    REQUIRE(found.ok());
    CHECK(number(*found, "p_value") == 2.0 / 64);   // six tasters, each of one mind: two of 2^6 ways of turning their signs
    CHECK(number(*found, "for_new") == 18);
    CHECK(number(*found, "no_preference") == 1);
    CHECK(number(*found, "tasters") == 6);
    CHECK(found->verdict == "new-preferred");
    vote("g", "neither");
    CHECK(asked.weigh(asked, table, {}).faults()[0].line() == "line 21: found a vote for \"neither\", expected new, current or none");
}

TEST_CASE("few enough is decided at each spot, as in a tasting, and the rule is said") {
    // 60 people a spot. 20 right at both: few enough at each. 34 at the first: of the 54 in 120 few enough on average, not there.
    const auto at = [](int first, int second) {
        std::vector<std::vector<std::int64_t>> right;
        for (int i = 0; i < 60; ++i) right.push_back({i < first ? 1 : 0, (i + 17) % 60 < second ? 1 : 0});
        return table_of(right, 1, true);
    };
    const Findings both = weighed("triangle", at(20, 20), R"({"same_below_pd":0.5,"aim":"similarity"})");
    CHECK(both.verdict == "close-enough");
    CHECK(std::get<std::string>(*both.find("decide_on")) == "any-spot");
    CHECK(said(method("triangle"), both.words).find("few enough has to be shown at every one of them") != std::string::npos);
    const Findings one = weighed("triangle", at(30, 15), R"({"same_below_pd":0.4,"aim":"similarity","alpha":0.01})");
    CHECK(number(one, "p_value_similar") < 0.01);   // of all together
    CHECK(one.verdict != "close-enough");
    const Findings difference = weighed("triangle", at(30, 15), R"({"same_below_pd":0.4})");
    CHECK(std::get<std::string>(*difference.find("decide_on")) == "overall");
}

TEST_CASE("an interval by answers is refused where people gave several") {
    const Method& triangle = method("triangle");
    const PlainTable several = table_of({{2}, {1}, {0}}, 2, false);
    const auto found = triangle.weigh(triangle, several, settings(triangle.weigh_settings, R"({"interval":"wilson"})"));
    REQUIRE_FALSE(found.ok());
    CHECK(found.faults()[0].line().starts_with("--interval: found wilson, expected no other interval than the one by tasters"));
    const PlainTable single = table_of({{1}, {1}, {0}}, 1, false);
    CHECK(triangle.weigh(triangle, single, settings(triangle.weigh_settings, R"({"interval":"wilson"})")).ok());
}

TEST_CASE("one or two answers are no table of one person") {
    const auto lists = [](const Findings& findings) {
        return std::count_if(findings.lists.begin(), findings.lists.end(), [](const List& list) { return list.key == "each_taster"; });
    };
    CHECK(lists(weighed("triangle", table_of(std::vector<std::vector<std::int64_t>>{{1}, {1}, {0}, {1}}, 1, false))) == 0);
    CHECK(lists(weighed("triangle", table_of(std::vector<std::vector<std::int64_t>>{{2}, {1}, {0}, {1}}, 2, false))) == 0);
    CHECK(lists(weighed("triangle", table_of(std::vector<std::vector<std::int64_t>>{{2}, {3}, {0}, {1}}, 3, false))) == 1);
}
