#include "oddplate/stats/overdispersion.hpp"

#include <catch2/catch.hpp>

#include <cmath>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/binomial.hpp"

using namespace oddplate;
using namespace oddplate::stats;

namespace {

// P(Sum k^2 >= observed | Sum k), every panel of three tasters of n answers counted out.
double by_enumeration(const std::vector<std::int64_t>& seen, std::int64_t n) {
    const auto ways = [&](std::int64_t k) { return binomial_pmf(k, n, 0.5); };   // up to a factor
    const std::int64_t sum = seen[0] + seen[1] + seen[2];
    const std::int64_t squares = seen[0] * seen[0] + seen[1] * seen[1] + seen[2] * seen[2];
    double all = 0, far = 0;
    for (std::int64_t a = 0; a <= n; ++a)
        for (std::int64_t b = 0; b <= n; ++b) {
            const std::int64_t c = sum - a - b;
            if (c < 0 || c > n) continue;
            const double weight = ways(a) * ways(b) * ways(c);
            all += weight;
            if (a * a + b * b + c * c >= squares) far += weight;
        }
    return far / all;
}

}   // namespace

TEST_CASE("overdispersion of a small panel is exact") {
    for (const std::vector<std::int64_t>& seen : {std::vector<std::int64_t>{6, 1, 4}, {5, 5, 2}, {6, 6, 0}, {3, 4, 4}}) {
        std::vector<TasterCount> tasters;
        for (const std::int64_t k : seen) tasters.push_back({k, 6});
        const auto counts = alike_counts(tasters);
        const Overdispersion found = tasters_differ(1.0 / 3, counts, 1);
        REQUIRE(found.p_value);
        CHECK(found.p_value->found == Found::exact);
        CHECK(found.p_value->p == Approx(by_enumeration(seen, 6)).epsilon(1e-12));
    }
}

TEST_CASE("overdispersion by simulation agrees with the exact test and says its error") {
    // 21 tasters x 4 are few enough for the exact law; one more taster with two answers is not of the same n.
    std::vector<AlikeCounts> counts{{0, 4, 2}, {1, 4, 4}, {2, 4, 6}, {3, 4, 5}, {4, 4, 4}};
    const Overdispersion exact = tasters_differ(1.0 / 3, counts, 5);
    counts.insert(counts.begin(), {1, 2, 1});
    const Overdispersion simulated = tasters_differ(1.0 / 3, counts, 5);
    REQUIRE(exact.p_value->found == Found::exact);
    REQUIRE(simulated.p_value->found == Found::monte_carlo);
    CHECK(simulated.p_value->error > 0);
    CHECK(simulated.p_value->p == Approx(exact.p_value->p).margin(4 * simulated.p_value->error + 0.02));
    CHECK(tasters_differ(1.0 / 3, counts, 5).p_value->p == simulated.p_value->p);
}

// Tasters alike (d' of pd = .4), 50 tasters of 2 to 5 answers: the test at .05 alarms .05 of the time, up to 4 standard errors of 600
// panels (.036); and it sees gamma = 1 with 30 x 5 nearly always.
TEST_CASE("overdispersion keeps its level and has power") {
    int alarms = 0, seen = 0;
    for (int panel = 0; panel < 600; ++panel) {
        core::PhiloxStream stream(77, static_cast<std::uint64_t>(panel));
        std::vector<TasterCount> tasters;
        for (int i = 0; i < 50; ++i) {
            TasterCount taster{0, 2 + i % 4};
            for (int set = 0; set < taster.of; ++set) taster.correct += stream.uniform() < 0.6;
            tasters.push_back(taster);
        }
        const auto found = tasters_differ(1.0 / 3, alike_counts(tasters), 3);
        alarms += found.p_value && significant(found.p_value->p, 0.05);
    }
    CHECK(alarms / 600.0 == Approx(0.05).margin(0.036));
    for (int panel = 0; panel < 50; ++panel) {
        core::PhiloxStream stream(78, static_cast<std::uint64_t>(panel));
        std::vector<TasterCount> tasters;
        for (int i = 0; i < 30; ++i) {
            TasterCount taster{0, 5};
            const bool tells = stream.uniform() < 0.5;
            for (int set = 0; set < 5; ++set) taster.correct += tells || stream.uniform() < 1.0 / 3;
            tasters.push_back(taster);
        }
        const auto found = tasters_differ(1.0 / 3, alike_counts(tasters), 3);
        seen += found.p_value && significant(found.p_value->p, 0.05);
    }
    CHECK(seen >= 45);
}

TEST_CASE("overdispersion says why there is none") {
    const auto why = [](std::initializer_list<AlikeCounts> counts) { return tasters_differ(1.0 / 3, {counts.begin(), counts.size()}, 1).why; };
    CHECK(why({{3, 4, 1}}) == NoSpread::one_taster);
    CHECK(why({{0, 1, 10}, {1, 1, 20}}) == NoSpread::one_answer_each);
    CHECK(why({{4, 4, 10}}) == NoSpread::all_right);
    CHECK(why({{1, 3, 10}}) == NoSpread::not_above_chance);
    CHECK(why({{2, 3, 2}}) == NoSpread::has_one);
}
