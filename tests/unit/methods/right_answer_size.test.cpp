// Panel sizes: published tables, worked numbers, and exact power summed term by term.
#include <cmath>
#include <string>

#include "unit/methods/support.hpp"

#include "oddplate/methods/questions.hpp"
#include "oddplate/stats/link.hpp"
#include "right_answer_oracle.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

std::string refusal(std::string_view text) {
    const Method& triangle = method("triangle");
    const auto found = triangle.size(triangle, settings(triangle.size_settings, text));
    REQUIRE_FALSE(found.ok());
    return found.faults()[0].line();
}

long double between(const Law& law, int first, int last) {
    long double sum = 0;
    for (int k = first; k <= last; ++k) sum += law.at(k);
    return sum;
}

}   // namespace

TEST_CASE("sizes of the standards' tables", "[size]") {
    // ISO 4120:2004 table A.3 (triangle) and ISO 5495:2005 table A.4 (one-sided paired), from memory of the tables; the
    // definition is computed. alpha .05; power .8, .9, .95.
    const auto tasters = [](const char* id, const char* pd, const char* power) {
        return number(size(id, std::string(R"({"detect_pd":)") + pd + R"(,"power":)" + power + "}"), "tasters");
    };
    CHECK(tasters("triangle", "0.5", "0.8") == 16);
    CHECK(tasters("triangle", "0.4", "0.8") == 23);
    CHECK(tasters("triangle", "0.4", "0.9") == 30);
    CHECK(tasters("triangle", "0.3", "0.95") == 66);
    CHECK(tasters("two-afc", "0.5", "0.8") == 23);
    CHECK(tasters("two-afc", "0.3", "0.9") == 93);
    CHECK(tasters("two-afc", "0.2", "0.95") == 268);
}

TEST_CASE("the planning table holds the standards' sizes in order", "[size]") {
    const auto rows = size_table(method("triangle"), {});
    REQUIRE(rows.ok());
    REQUIRE(rows->size() == 125);
    CHECK(rows->front().alpha == 0.2);
    CHECK(rows->front().discriminators == 0.5);
    for (const SizeRow& row : *rows) {
        if (row.alpha == 0.05 && row.power == 0.8 && row.discriminators == 0.4)
            CHECK(row.tasters == 23);   // ISO 4120:2004 table A.3
        if (row.alpha == 0.01 && row.power == 0.9 && row.discriminators == 0.3) CHECK(row.tasters == 82);
        CHECK(row.tasters <= row.tasters_safe);
    }
}

TEST_CASE("similarity: 206 tasters, most 74, at d' 1", "[size]") {
    const Findings found = size("triangle", R"({"detect_d":1,"aim":"similarity"})");
    CHECK(number(found, "tasters") == 206);
    CHECK(number(found, "most_correct") == 74);
    CHECK(found.find("least_correct") == nullptr);
    CHECK(std::abs(number(found, "power_actual") - 0.806) < 5e-4);
    CHECK(std::abs(number(found, "power_verdict") - 0.758) < 5e-4);
    const double p1 = number(found, "detect.proportion_correct");
    CHECK(number(found, "alpha_actual") == Approx(static_cast<double>(Law(206, p1).lower(74))).epsilon(1e-11));
    const Law nobody(206, 1.0L / 3);
    int below = -1;
    while (nobody.lower(below + 1) <= 0.05L) ++below;
    CHECK(number(found, "power_verdict") == Approx(static_cast<double>(between(nobody, below + 1, 74))).epsilon(1e-11));

    // At a quarter and half of the margin the same panel does less well.
    for (const auto& [d, actual, verdict] : {std::tuple{0.25, 0.755, 0.722}, std::tuple{0.5, 0.572, 0.562}}) {
        const Law truth(206, stats::proportion_correct(*method("triangle").link, d));
        CHECK(std::abs(static_cast<double>(truth.lower(74)) - actual) < 5e-4);
        CHECK(std::abs(static_cast<double>(between(truth, below + 1, 74)) - verdict) < 5e-4);
    }
}

TEST_CASE("two-afc counts both sides: 31 tasters, most 19", "[size]") {
    const Findings found = size("two-afc", R"({"detect_d":1,"aim":"similarity"})");
    CHECK(number(found, "tasters") == 31);
    CHECK(number(found, "most_correct") == 19);
    const Law margin(31, number(found, "detect.proportion_correct")), even(31, 0.5L);
    CHECK(number(found, "alpha_actual") == Approx(static_cast<double>(between(margin, 12, 19))).epsilon(1e-11));
    CHECK(number(found, "power_actual") == Approx(static_cast<double>(between(even, 12, 19))).epsilon(1e-11));
}

TEST_CASE("the words of a similarity size claim the verdict's own chance, at the difference taken for true", "[size][words]") {
    // The usual count is 80.6 in 100, the verdict's own 75.8: luck below chance is no closeness.
    const std::string nobody = said(method("triangle"), size("triangle", R"({"detect_d":1,"aim":"similarity"})").words);
    CHECK(nobody.find("If nobody can tell, such a panel can say that few enough notice with a chance of 76 in 100") !=
          std::string::npos);
    CHECK(nobody.find("The usual count gives 81 in 100") != std::string::npos);
    const std::string some =
        said(method("triangle"), size("triangle", R"({"detect_d":1,"aim":"similarity","true_d":0.5})").words);
    CHECK(some.find("If 3.4 in 100 can tell, such a panel") != std::string::npos);
    CHECK(some.find("nobody") == std::string::npos);
}

TEST_CASE("power at a true difference of its own", "[size]") {
    const Findings found = size("triangle", R"({"detect_d":1.5,"aim":"similarity","true_d":0.5})");
    CHECK(number(found, "true_d") == 0.5);
    CHECK(number(found, "power_actual") >= 0.8);
    CHECK(number(found, "tasters") > number(size("triangle", R"({"detect_d":1.5,"aim":"similarity"})"), "tasters"));
}

TEST_CASE("people and answers over several spots", "[size][spots]") {
    // Triangle, d' 1.5, power .8: one spot 53; all of four, taken as independent, 87; any of four, one differing, 80.
    CHECK(number(size("triangle", R"({"detect_d":1.5})"), "tasters") == 53);
    const Findings each = size("triangle", R"({"detect_d":1.5,"spots":4,"decide_on":"each-spot"})");
    CHECK(number(each, "tasters") == 87);
    CHECK(number(each, "answers") == 4 * 87);
    CHECK(number(size("triangle", R"({"detect_d":1.5,"spots":4,"decide_on":"any-spot"})"), "tasters") == 80);
    const Findings pooled = size("triangle", R"({"detect_d":1.5,"spots":4,"decide_on":"overall"})");
    CHECK(number(pooled, "tasters") < 53);
    CHECK(number(pooled, "answers") == 4 * number(pooled, "tasters"));
    CHECK(number(size("triangle", R"({"detect_d":1.5,"spots":4,"decide_on":"overall","gamma":0.5})"), "tasters") >=
          number(pooled, "tasters"));
    const Findings few = size("triangle", R"({"detect_d":1.5,"aim":"similarity","spots":2})");
    CHECK(std::get<std::string>(*few.find("decide_on")) == "any-spot");   // few enough has to hold at every spot
    CHECK(few.find("power_verdict") != nullptr);
}

TEST_CASE("sizes that make no sense are refused", "[size]") {
    CHECK(refusal("{}").starts_with("say which difference matters: --detect-pd P"));
    CHECK(refusal(R"({"detect_d":1,"detect_pd":0.4})").starts_with("--detect-pd: found --detect-d as well"));
    CHECK(refusal(R"({"detect_d":1,"aim":"similarity","true_d":1})")
              .starts_with("--true-d: found 1, expected a true difference below"));
    CHECK(refusal(R"({"detect_pd":0.00000001})").find("no panel that can be counted") != std::string::npos);
    CHECK(refusal(R"({"detect_pd":1e-300})").find("too small") != std::string::npos);
}

TEST_CASE("few enough over several spots: the size is found on the chance of the verdict", "[size][spots]") {
    const Findings overall = size("triangle", R"({"detect_d":1.5,"aim":"similarity","spots":2,"decide_on":"overall"})");
    CHECK(number(overall, "power_verdict") >= 0.8);
    CHECK(number(overall, "power_actual") > number(overall, "power_verdict"));   // the usual count knows no guards
    const Findings every = size("triangle", R"({"detect_d":1.5,"aim":"similarity","spots":4})");
    CHECK(number(every, "power_verdict") >= 0.8);
    CHECK(said(method("triangle"), every.words).find("The usual count gives") == std::string::npos);
    // Below chance comes up to 5 in 100 at each of four spots: no panel gets to .9, so the usual count's size is given, and said to be that.
    const Findings beyond = size("triangle", R"({"detect_d":1.5,"aim":"similarity","spots":4,"power":0.9})");
    CHECK(number(beyond, "power_verdict") < 0.9);
    CHECK(number(beyond, "power_actual") >= 0.9);
    CHECK(said(method("triangle"), beyond.words).starts_with("No panel is sure of a chance of 90 in 100"));
    CHECK(said(method("triangle"), beyond.words).find("enough. ") == std::string::npos);
    CHECK(said(method("triangle"), beyond.words).find("The usual count gives") != std::string::npos);
}

TEST_CASE("a true difference goes with similarity only", "[size]") {
    CHECK(refusal(R"({"detect_d":1,"true_d":0.5})").starts_with("--true-d goes with --aim similarity"));
}

namespace {

/// The list's number in the row whose first cell is `at`.
double row_of(const Findings& findings, double at, std::string_view key) {
    REQUIRE(findings.lists.size() == 1);
    for (const auto& row : findings.lists[0].rows)
        if (std::abs(std::get<double>(row[0].value) - at) < 1e-12)
            for (const Field& field : row)
                if (field.key == key) return std::get<double>(field.value);
    FAIL("no row " << at);
    return 0;
}

}   // namespace

// Numbers by base R 4.2: pbinom with uniroot; Fisher's exact test by phyper over all 31 x 31 outcomes; the noncentral t by pt.
TEST_CASE("a panel already fixed: the least difference that it finds, and its power") {
    const Findings triangle = size("triangle", R"({"tasters":24})");
    CHECK(number(triangle, "least_correct") == 13);
    CHECK(row_of(triangle, 0.3, "power") == Approx(0.550475132489).epsilon(1e-10));
    CHECK(number(triangle, "visible.discriminators") == Approx(0.406706286085).epsilon(1e-10));
    CHECK(number(size("paired-preference", R"({"tasters":24})"), "visible.share") == Approx(0.796871455525).epsilon(1e-9));
    CHECK(number(size("difference-from-control", R"({"tasters":24,"spread":2.5})"), "visible.score") == Approx(1.307939).epsilon(1e-6));
    CHECK(row_of(size("a-not-a", R"({"tasters":60})"), 1, "power") == Approx(0.8671442292).epsilon(1e-9));
    CHECK(is_null_with_why(size("triangle", R"({"tasters":2})"), "visible"));   // 1/9 is above .05
}

TEST_CASE("a panel already fixed finds what it was sized for") {
    for (const char* id : {"triangle", "duo-trio", "two-afc", "three-afc", "tetrad", "two-out-of-five", "a-not-a", "same-different"})
        for (const char* aim : {"difference", "similarity"}) {
            INFO(id << " " << aim);
            const std::string asked = std::string(R"("aim":")") + aim + R"(","power":0.7)";
            const Findings sized = size(id, "{\"detect_d\":1.5," + asked + "}");
            const auto n = static_cast<std::int64_t>(number(sized, "tasters"));
            const Findings there = size(id, "{\"detect_d\":1.5,\"tasters\":" + std::to_string(n) + "," + asked + "}");
            const char* const power = sized.number("power_verdict") ? "power_verdict" : "power_actual";   // guards included, where there are any
            CHECK(number(there, "power_actual") == Approx(number(sized, power)).epsilon(1e-12));
            if (number(sized, power) >= 0.7) CHECK(number(there, "visible.d_prime") <= 1.5 * (1 + 1e-5));
            double last = -1;
            for (const auto& row : there.lists.at(0).rows) {
                const double at = std::get<double>(row.back().value);
                if (id != std::string_view("same-different")) CHECK(at >= last - 1e-12);   // a line drawn for a very large gap sees no small one
                last = at;
            }
        }
}

TEST_CASE("a panel already fixed is asked of one answer a person") {
    const Method& asked = method("triangle");
    const auto refused = asked.size(asked, settings(asked.size_settings, R"({"tasters":24,"spots":2})"));
    REQUIRE_FALSE(refused.ok());
    CHECK(refused.faults()[0].line().find("one answer a person") != std::string::npos);
    const Method& words = method("a-not-a");
    CHECK_FALSE(words.size(words, settings(words.size_settings, R"({"tasters":401,"aim":"similarity"})")).ok());
}
