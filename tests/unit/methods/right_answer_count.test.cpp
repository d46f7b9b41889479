// One count: the worked numbers, the edges, and every count to n = 60 against sums taken term by term.
#include <cmath>

#include "unit/methods/support.hpp"

#include "oddplate/stats/link.hpp"
#include "right_answer_oracle.hpp"

using namespace oddplate;
using namespace oddplate::methods;
using namespace oddplate::methods::testing;

namespace {

std::string flags(int correct, int of, const std::string& more = {}) {
    return R"({"correct":)" + std::to_string(correct) + R"(,"of":)" + std::to_string(of) + more + "}";
}

bool passes(long double p, double alpha) {
    return p <= static_cast<long double>(alpha) * (1 + 1e-12L);
}

/// Every count of n under one method, margin and alpha.
void enumerate(std::string_view id, int n, double pd, double alpha) {
    const Method& asked = method(id);
    const double chance = asked.link->chance;
    const double margin = stats::proportion_from_discriminators(chance, pd);
    const bool both_ways = asked.link->is_signed;
    const Law at_chance(n, chance), at_margin(n, margin), other_way(n, 1 - margin);
    long double false_different = 0, false_similar = 0, false_similar_other_way = 0;
    int most = -1;
    while (most < n && passes(at_margin.lower(most + 1), alpha)) ++most;
    for (int k = 0; k <= n; ++k) {
        INFO(id << " " << k << " of " << n << ", pd " << pd << ", alpha " << alpha);
        const Findings found =
            count(id, flags(k, n, R"(,"detect_pd":)" + core::shortest(pd) + R"(,"alpha":)" + core::shortest(alpha)));
        const bool different = found.verdict == "different" || found.verdict == "slight";
        const bool similar = found.verdict == "close-enough" || found.verdict == "slight";
        CHECK(number(found, "p_value") == Approx(static_cast<double>(at_chance.upper(k))).epsilon(1e-11));

        // The verdict, from sums taken term by term.
        CHECK(different == passes(at_chance.upper(k), alpha));
        const bool below = passes(at_chance.lower(k), alpha);
        const bool tail = passes(at_margin.lower(k), alpha) && (!both_ways || passes(other_way.upper(k), alpha));
        const bool guarded = tail && most >= n * chance * (1 - 1e-12) && !below;
        CHECK(similar == guarded);
        CHECK((std::count(found.warnings.begin(), found.warnings.end(), "below_chance") == 1) == below);
        if (below) CHECK(found.verdict == "unsettled");

        // The interval never says the opposite.
        const double lower = number(found, "proportion_correct.lower"), upper = number(found, "proportion_correct.upper");
        CHECK(different == (lower >= chance));
        if (similar) CHECK(upper <= margin);
        if (similar && both_ways) CHECK(lower >= (1 - margin) * (1 - 1e-12));
        if (passes(at_margin.lower(k), alpha)) CHECK(upper <= margin * (1 + 1e-12));

        if (different) false_different += at_chance.at(k);
        if (similar) false_similar += at_margin.at(k);
        if (similar) false_similar_other_way += other_way.at(k);
        CHECK(said(asked, found.words).find('[') == std::string::npos);
    }
    CHECK(passes(false_different, alpha));
    CHECK(passes(false_similar, alpha));
    if (both_ways) CHECK(passes(false_similar_other_way, alpha));
}

}   // namespace

TEST_CASE("every verdict to n = 60 errs within alpha and agrees with its interval", "[count][enumeration]") {
    for (const std::string_view id : {"triangle", "two-afc"})
        for (const auto& [pd, alpha] : {std::pair{0.4, 0.05}, std::pair{0.25, 0.1}, std::pair{0.6, 0.01}})
            for (int n = 1; n <= 60; n += n < 20 ? 1 : 4) enumerate(id, n, pd, alpha);
}

TEST_CASE("the worked tasting: 13 of 24, 9 of 24, together 22 of 48", "[count]") {
    // Exact binomial sums at 1/3.
    CHECK(number(count("triangle", flags(13, 24)), "p_value") == Approx(0.028441128095468792).epsilon(1e-12));
    CHECK(number(count("triangle", flags(9, 24)), "p_value") ==
          Approx(static_cast<double>(Law(24, 1.0L / 3).upper(9))).epsilon(1e-12));
    CHECK(std::abs(number(count("triangle", flags(22, 48)), "p_value") - 0.0485) < 5e-5);
    const Findings edge = count("triangle", flags(13, 24, R"(,"detect_pd":0.4)"));
    CHECK(edge.verdict == "different");
    CHECK(number(edge, "discriminators.estimate") == 0.3125);
    CHECK(std::abs(number(edge, "discriminators.lower") - 0.04) < 0.005);
    CHECK(std::abs(number(edge, "discriminators.upper") - 0.58) < 0.005);
    CHECK(said(method("triangle"), edge.words).find("One right answer fewer would have made it \"can't say yet\".") !=
          std::string::npos);
}

TEST_CASE("few enough with a limit of 74 of 206 at d' 1", "[count]") {
    // Exact: P(X <= 74) at .41805 is .0496, P(X <= 75) is above .05.
    const Findings at = count("triangle", flags(74, 206, R"(,"detect_d":1,"aim":"similarity")"));
    CHECK(at.verdict == "close-enough");
    CHECK(number(at, "most_correct") == 74);
    CHECK(at.find("least_correct") == nullptr);
    CHECK(number(at, "p_value") == Approx(0.0495818631384507).epsilon(1e-10));
    CHECK(count("triangle", flags(75, 206, R"(,"detect_d":1,"aim":"similarity")")).verdict == "unsettled");
}

TEST_CASE("below chance is no closeness", "[count]") {
    for (const char* id : {"triangle", "two-afc"}) {
        const Findings found = count(id, flags(3, 30, R"(,"detect_pd":0.4)"));
        CHECK(found.verdict == "unsettled");
        CHECK(found.warnings == std::vector<std::string>{"below_chance"});
        CHECK(number(found, "discriminators.upper") == 0);
        CHECK(number(found, "d_prime.estimate") == 0);
    }
    // Two-afc looks both ways: 12 of 31 is as even as 19 of 31, 11 of 31 is not.
    CHECK(count("two-afc", flags(12, 31, R"(,"detect_d":1)")).verdict == "close-enough");
    CHECK(count("two-afc", flags(19, 31, R"(,"detect_d":1)")).verdict == "close-enough");
    CHECK(count("two-afc", flags(11, 31, R"(,"detect_d":1)")).verdict == "unsettled");
}

TEST_CASE("eight people", "[count]") {
    const auto at = [](int k) { return count("triangle", flags(k, 8, R"(,"detect_pd":0.5)")); };
    for (int k : {6, 7, 8}) CHECK(at(k).verdict == "different");
    for (int k : {1, 2, 3, 4, 5}) CHECK(at(k).verdict == "unsettled");
    CHECK(std::abs(number(at(6), "p_value") - 0.02) < 0.005);
    CHECK(std::abs(number(at(5), "p_value") - 0.09) < 0.005);
    CHECK(at(0).warnings == std::vector<std::string>{"below_chance"});
    CHECK(at(1).warnings.empty());
    CHECK(said(method("triangle"), at(3).words).find("8 answers can't show that few can tell") != std::string::npos);
}

TEST_CASE("what does not exist is null and says why", "[count]") {
    const Findings all_right = count("triangle", flags(8, 8));
    CHECK(is_null_with_why(all_right, "d_prime.estimate"));
    CHECK(is_null_with_why(all_right, "d_prime.standard_error"));
    CHECK(is_null_with_why(all_right, "d_prime.upper"));
    CHECK(number(all_right, "proportion_correct.upper") == 1);
    CHECK(is_null_with_why(all_right, "p_value_similar"));
    CHECK(is_null_with_why(count("triangle", flags(1, 2)), "least_correct"));
    CHECK(is_null_with_why(count("triangle", flags(8, 24, R"(,"aim":"similarity")")), "p_value"));
    CHECK(is_null_with_why(count("triangle", flags(8, 24, R"(,"aim":"similarity")")), "most_correct"));
    CHECK(is_null_with_why(count("triangle", flags(8, 24)), "d_prime.standard_error"));
}

TEST_CASE("the same dish is noticed by a small panel and noticed by few in a large one", "[count]") {
    CHECK(count("triangle", flags(100, 200, R"(,"detect_pd":0.4)")).verdict == "slight");
    CHECK(count("triangle", flags(20, 40, R"(,"detect_pd":0.4)")).verdict == "different");
}

TEST_CASE("the margin may be said apart from the difference to detect", "[count]") {
    const Findings found = count("triangle", flags(30, 90, R"(,"detect_pd":0.4,"same_below_d":1.5)"));
    CHECK(number(found, "same_below.d_prime") == 1.5);
    CHECK(number(found, "same_below.proportion_correct") == Approx(0.50645609725919).epsilon(1e-13));   // Ennis (1993): .506456
}

TEST_CASE("what contradicts itself is refused", "[count]") {
    const Method& triangle = method("triangle");
    const auto refused = [&](const std::string& text) {
        const auto found = triangle.count(triangle, settings(triangle.count_settings, text));
        REQUIRE_FALSE(found.ok());
        return found.faults()[0].line();
    };
    CHECK(refused(flags(25, 24)) == "--correct: found 25, expected a whole number from 0 to 24 (of 24 answers)");
    CHECK(refused(flags(5, 24, R"(,"detect_d":1,"detect_pd":0.4)")) ==
          "--detect-pd: found --detect-d as well, expected one of the two");
    CHECK(refused(flags(5, 24, R"(,"same_below_d":1,"same_below_pd":0.4)")).starts_with("--same-below-pd: "));
    CHECK(refused(R"({"correct":5})").starts_with("--of: "));
    CHECK(refused(R"({"of":5})").starts_with("--correct: "));
}

TEST_CASE("an estimate lies within its interval, whichever interval it is", "[count]") {
    for (const char* id : {"triangle", "two-afc", "duo-trio"})
        for (const char* kind : {"clopper-pearson", "mid-p", "wilson", "likelihood"})
            for (int k = 0; k <= 12; ++k) {
                const Findings found = count(id, flags(k, 12, std::string(R"(,"interval":")") + kind + "\""));
                INFO(id << " " << kind << " " << k);
                for (const std::string key : {"proportion_correct", "discriminators"}) {
                    CHECK(number(found, key + ".lower") <= number(found, key + ".estimate") + 1e-12);
                    CHECK(number(found, key + ".estimate") <= number(found, key + ".upper") + 1e-12);
                }
            }
}

TEST_CASE("which way small enough is meant stands beside the margin", "[count]") {
    const auto sides = [](const char* id) {
        const Findings found = count(id, flags(10, 24, R"(,"detect_d":1)"));
        const Value* const value = found.find("same_below.sides");
        return value == nullptr ? std::string() : std::get<std::string>(*value).substr(0, 3);
    };
    CHECK(sides("two-afc") == "two");
    CHECK(sides("three-afc") == "one");
    CHECK(sides("triangle").empty());
}
