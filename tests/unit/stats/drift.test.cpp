#include "oddplate/stats/drift.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <functional>
#include <map>
#include <vector>

#include "oddplate/core/philox.hpp"

using namespace oddplate;
using stats::PlacedAnswer;

namespace {

using Answers = std::vector<PlacedAnswer>;

struct Tails {
    double two_sided, falling;
};

// Oracle: every way to deal each taster's right answers over his own places.
Tails plain_tails(const Answers& answers) {
    std::map<int, double> sum, count;
    for (const auto& a : answers) {
        sum[a.spot] += a.position;
        count[a.spot] += 1;
    }
    std::map<int, std::vector<double>> weights;
    std::map<int, int> right;
    double observed = 0;
    for (const auto& a : answers) {
        const double w = a.position - sum[a.spot] / count[a.spot];
        weights[a.taster].push_back(w);
        if (!a.correct) continue;
        ++right[a.taster];
        observed += w;
    }
    std::vector<double> totals{0.0};
    for (const auto& [taster, own] : weights) {
        std::vector<double> next;
        for (unsigned chosen = 0; chosen < 1u << own.size(); ++chosen) {
            int picked = 0;
            double w = 0;
            for (std::size_t i = 0; i < own.size(); ++i) {
                if ((chosen >> i & 1u) == 0) continue;
                ++picked;
                w += own[i];
            }
            if (picked != right[taster]) continue;
            for (const double t : totals) next.push_back(t + w);
        }
        totals = next;
    }
    double mean = 0;
    for (const double t : totals) mean += t / static_cast<double>(totals.size());
    Tails tails{0, 0};
    for (const double t : totals) {
        if (std::abs(t - mean) >= std::abs(observed - mean) - 1e-9) tails.two_sided += 1.0 / static_cast<double>(totals.size());
        if (t <= observed + 1e-9) tails.falling += 1.0 / static_cast<double>(totals.size());
    }
    return tails;
}

// Tasters who sat at all spots in an order of their own; `per_step` is added to the chance of a right answer per position.
Answers sitting(int tasters, int spots, double per_step, std::uint64_t seed) {
    core::PhiloxStream stream(seed, 0);
    Answers answers;
    for (int i = 0; i < tasters; ++i) {
        std::vector<int> order;
        for (int j = 0; j < spots; ++j) order.push_back(j);
        for (std::size_t j = order.size(); j > 1; --j)
            std::swap(order[j - 1], order[stream.below(static_cast<std::uint32_t>(j))]);
        for (int j = 0; j < spots; ++j) {
            const bool correct = stream.uniform() < 0.5 + per_step * (j - (spots - 1) / 2.0);
            answers.push_back({i, order[static_cast<std::size_t>(j)], j, correct});
        }
    }
    return answers;
}

}   // namespace

TEST_CASE("drift: both p-values equal every way to deal the answers", "[stats][exhaustive]") {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        Answers answers = sitting(4 + static_cast<int>(seed % 3), 3 + static_cast<int>(seed % 2), -0.1, seed);
        if (seed % 4 == 3) answers.pop_back();   // a set that was not served
        const auto found = stats::drift(answers, 1);
        if (!found.two_sided) continue;
        const Tails tails = plain_tails(answers);
        CAPTURE(seed);
        CHECK(found.two_sided->found == stats::Found::exact);
        CHECK(found.two_sided->p == Approx(tails.two_sided).epsilon(1e-11));
        CHECK(found.falling->p == Approx(tails.falling).epsilon(1e-11));
    }
}

TEST_CASE("drift: right first and wrong later is falling", "[stats]") {
    Answers answers;
    for (int i = 0; i < 10; ++i) {
        const int shift = i % 2;
        answers.push_back({i, shift, 0, true});
        answers.push_back({i, 1 - shift, 1, false});
    }
    const auto found = stats::drift(answers, 1);
    REQUIRE(found.falling);
    CHECK(found.slope == Approx(-1.0).epsilon(1e-12));
    CHECK(found.falling->p == Approx(std::exp2(-10)).epsilon(1e-12));
    CHECK(found.two_sided->p == Approx(std::exp2(-9)).epsilon(1e-12));
}

TEST_CASE("drift: an easy spot served late is not taken for learning", "[stats]") {
    Answers answers;   // spot 1 is always right and mostly late; within each spot position does not matter
    for (int i = 0; i < 12; ++i) {
        const bool early = i < 3;
        answers.push_back({i, 1, early ? 0 : 1, true});
        answers.push_back({i, 0, early ? 1 : 0, false});
    }
    const auto found = stats::drift(answers, 1);
    CHECK(found.slope == Approx(0.0).margin(1e-12));
    REQUIRE(found.two_sided);
    CHECK(found.two_sided->p > 0.5);
}

TEST_CASE("drift: says why there is no test", "[stats]") {
    CHECK(stats::drift(Answers{{0, 0, 0, true}, {1, 0, 1, false}}, 1).why == stats::NoDrift::one_position);
    CHECK(stats::drift(Answers{{0, 0, 0, true}, {0, 1, 1, false}, {1, 0, 0, true}, {1, 1, 1, false}}, 1).why ==
          stats::NoDrift::confounded);
    CHECK(stats::drift(Answers{{0, 0, 0, true}, {0, 0, 1, true}, {1, 0, 0, false}, {1, 0, 1, false}}, 1).why ==
          stats::NoDrift::nothing_varies);
    CHECK(stats::drift(Answers{}, 1).why == stats::NoDrift::one_position);
    CHECK_FALSE(stats::drift(Answers{}, 1).two_sided);
}

// Tasters of two more spots, one answer each: they change nobody's weights and nothing in the law, but their numbers (primes)
// make the common multiple too large for the exact way.
Answers beyond_exact(Answers answers) {
    for (int i = 0; i < 1009 + 1013; ++i) answers.push_back({1'000'000 + i, i < 1009 ? 100 : 101, 0, i % 2 == 0});
    return answers;
}

TEST_CASE("drift: permutations come near the exact p, repeat, and say their error", "[stats]") {
    const Answers answers = sitting(40, 4, -0.04, 5);
    const auto exact = stats::drift(answers, 1);
    const auto drawn = stats::drift(beyond_exact(answers), 1);
    REQUIRE(exact.two_sided);
    REQUIRE(drawn.two_sided);
    CHECK(exact.two_sided->found == stats::Found::exact);
    CHECK(drawn.two_sided->found == stats::Found::monte_carlo);
    CHECK(std::abs(drawn.two_sided->p - exact.two_sided->p) < 4 * drawn.two_sided->error + 1e-3);
    CHECK(std::abs(drawn.falling->p - exact.falling->p) < 4 * drawn.falling->error + 1e-3);
    CHECK(stats::drift(beyond_exact(answers), 1).two_sided->p == drawn.two_sided->p);
}

// A taster with very many places: his sums are drawn one place after the other.
TEST_CASE("drift: one taster with many places", "[stats]") {
    Answers answers;
    for (int i = 0; i < 80; ++i) answers.push_back({0, 0, i, i < 40 ? i % 4 != 3 : i % 4 == 3});
    const auto found = stats::drift(answers, 2);
    REQUIRE(found.falling);
    CHECK(found.falling->found == stats::Found::monte_carlo);
    // 40 right of 80, mostly early: z = (w - 40 * 39.5)/sd, sd^2 = 40 * 40/79 * (80^2 - 1)/12, far below -3.
    CHECK(found.falling->p < 0.002);
}

TEST_CASE("drift: the normal law lies within its bound of the exact p", "[stats]") {
    core::PhiloxStream stream(8, 0);
    Answers answers;   // two spots, each taster right at exactly one of them
    for (int i = 0; i < 15100; ++i) {
        const int first = i % 2;
        const bool early = stream.uniform() < 0.505;
        answers.push_back({i, first, 0, early});
        answers.push_back({i, 1 - first, 1, !early});
    }
    const auto exact = stats::drift(answers, 1);
    const auto normal = stats::drift(beyond_exact(answers), 1);
    REQUIRE(exact.falling);
    REQUIRE(normal.falling);
    CHECK(exact.falling->found == stats::Found::exact);
    CHECK(normal.falling->found == stats::Found::normal);
    CHECK(normal.falling->error < 0.01);
    CHECK(std::abs(normal.falling->p - exact.falling->p) <= normal.falling->error);
    CHECK(std::abs(normal.two_sided->p - exact.two_sided->p) <= normal.two_sided->error);
}

// Over many fixed seeds without drift p <= .1 must come up at most about one time in ten.
TEST_CASE("drift: false alarms come as often as they may", "[stats]") {
    int alarms = 0;
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        if (stats::drift(sitting(20, 4, 0, 900 + seed), 1).two_sided->p <= 0.1) ++alarms;
    }
    CHECK(alarms <= 36);   // 200 x .1 and 3.8 standard deviations
    CHECK(alarms >= 5);
}
