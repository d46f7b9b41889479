#include "oddplate/stats/sign_flip.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/preference.hpp"

using namespace oddplate;
using stats::Votes;

namespace {

using Panel = std::vector<Votes>;

// Oracle: every one of the 2^n ways to flip.
double plain_p(const Panel& panel) {
    long long observed = 0;
    for (const Votes& v : panel) observed += v.for_new - v.for_current;
    long long hits = 0;
    for (unsigned flips = 0; flips < 1u << panel.size(); ++flips) {
        long long sum = 0;
        for (std::size_t i = 0; i < panel.size(); ++i) {
            const long long net = panel[i].for_new - panel[i].for_current;
            sum += (flips >> i & 1u) != 0 ? -net : net;
        }
        if (std::llabs(sum) >= std::llabs(observed)) ++hits;
    }
    return static_cast<double>(hits) / std::exp2(static_cast<double>(panel.size()));
}

// One-sided p of the share s by its definition: flipping F makes the sum of a_i - s m_i no smaller.
double plain_share_p(const Panel& panel, double s, bool from_above) {
    long long hits = 0;
    for (unsigned flips = 0; flips < 1u << panel.size(); ++flips) {
        double flipped = 0;
        for (std::size_t i = 0; i < panel.size(); ++i) {
            const double votes = static_cast<double>(panel[i].for_new + panel[i].for_current);
            if ((flips >> i & 1u) != 0) flipped += static_cast<double>(panel[i].for_new) - s * votes;
        }
        if (from_above ? flipped >= -1e-12 : flipped <= 1e-12) ++hits;
    }
    return static_cast<double>(hits) / std::exp2(static_cast<double>(panel.size()));
}

Panel random_panel(int tasters, int most_votes, std::uint64_t seed) {
    core::PhiloxStream stream(seed, 0);
    Panel panel;
    for (int i = 0; i < tasters; ++i) {
        const auto votes = 1 + stream.below(static_cast<std::uint32_t>(most_votes));
        const auto for_new = stream.below(votes + 1);
        panel.push_back({for_new, votes - for_new});
    }
    return panel;
}

}   // namespace

TEST_CASE("sign flip: p equals all 2^n flips", "[stats][exhaustive]") {
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        const Panel panel = random_panel(2 + static_cast<int>(seed % 12), 1 + static_cast<int>(seed % 5), seed);
        CAPTURE(seed);
        CHECK(stats::sign_flip_p(panel) == Approx(plain_p(panel)).epsilon(1e-13));
    }
}

TEST_CASE("sign flip: one vote a taster is the sign test", "[stats][exhaustive]") {
    for (int a = 0; a <= 12; ++a) {
        for (int b = 0; b <= 12; ++b) {
            Panel panel;
            for (int i = 0; i < a; ++i) panel.push_back({1, 0});
            for (int i = 0; i < b; ++i) panel.push_back({0, 1});
            CHECK(stats::sign_flip_p(panel) == Approx(stats::preference_p(a, b)).epsilon(1e-13));
        }
    }
}

TEST_CASE("sign flip: no votes, or votes that cancel, say nothing", "[stats]") {
    CHECK(stats::sign_flip_p(Panel{}) == 1.0);
    CHECK(stats::sign_flip_p(Panel{{2, 2}, {0, 0}}) == 1.0);
    CHECK(stats::sign_flip_p(Panel{{4, 0}}) == 1.0);   // one taster, however many votes
}

// 24 tasters x 4 votes, half of them always for one side: pooled votes alarm at .31 for .05, the flipped sums keep their level.
TEST_CASE("sign flip: keeps its level when tasters are steady", "[stats][exhaustive]") {
    double pooled = 0;
    double by_tasters = 0;
    for (int for_new = 0; for_new <= 24; ++for_new) {
        const double weight = stats::binomial_pmf(for_new, 24, 0.5);   // all tasters steady: the harshest case
        Panel panel;
        for (int i = 0; i < 24; ++i) panel.push_back(i < for_new ? Votes{4, 0} : Votes{0, 4});
        if (stats::significant(stats::preference_p(4 * for_new, 96 - 4 * for_new), 0.05)) pooled += weight;
        if (stats::significant(stats::sign_flip_p(panel), 0.05)) by_tasters += weight;
    }
    CHECK(pooled > 0.3);
    CHECK(by_tasters <= 0.05);
}

TEST_CASE("sign-flip interval: holds exactly the shares that its one-sided tests leave", "[stats][exhaustive]") {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        const Panel panel = random_panel(9 + static_cast<int>(seed % 5), 4, 1000 + seed);
        const double confidence = seed % 2 == 0 ? 0.9 : 0.95;
        const double side = (1 - confidence) / 2 * (1 + 1e-12);
        const auto found = stats::sign_flip_interval(panel, confidence, 1);
        REQUIRE(found.interval);
        CHECK(found.found == stats::Found::exact);
        const auto [lower, upper] = *found.interval;
        CAPTURE(seed, lower, upper);
        CHECK(plain_share_p(panel, lower, false) > side);
        CHECK(plain_share_p(panel, upper, true) > side);
        if (lower > 0) CHECK(plain_share_p(panel, lower - 1e-6, false) <= side);
        if (upper < 1) CHECK(plain_share_p(panel, upper + 1e-6, true) <= side);
    }
}

TEST_CASE("sign-flip interval: leaves out one half exactly when the test is significant", "[stats][exhaustive]") {
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        Panel panel = random_panel(12, 4, 5000 + seed);
        for (std::size_t i = 0; i < panel.size() && seed % 3 != 0; i += 2)
            panel[i] = {panel[i].for_new + panel[i].for_current, 0};
        const auto found = stats::sign_flip_interval(panel, 0.95, 1);
        if (!found.interval) continue;
        const bool outside = found.interval->lower > 0.5 || found.interval->upper < 0.5;
        CAPTURE(seed);
        CHECK(outside == stats::significant(stats::sign_flip_p(panel), 0.05));
    }
}

// How often it holds the truth where each person always votes one way, counted over all panels: what the header promises, and no more.
TEST_CASE("sign-flip interval: holds a share less often where a handful chose otherwise", "[stats][exhaustive]") {
    const auto coverage = [](int people, double share) {
        double held = 0, none = 0;
        for (int for_new = 0; for_new <= people; ++for_new) {
            Panel panel;
            for (int i = 0; i < people; ++i) panel.push_back(i < for_new ? stats::Votes{2, 0} : stats::Votes{0, 2});
            const double weight = std::exp(std::lgamma(people + 1.0) - std::lgamma(for_new + 1.0) - std::lgamma(people - for_new + 1.0)) * std::pow(share, for_new) * std::pow(1 - share, people - for_new);
            const auto found = stats::sign_flip_interval(panel, 0.95, 1);
            if (!found.interval) none += weight;
            else if (found.interval->lower <= share && share <= found.interval->upper) held += weight;
        }
        return held / (1 - none);
    };
    CHECK(coverage(30, 0.9) == Approx(0.850).margin(5e-4));
    CHECK(coverage(60, 0.95) == Approx(0.845).margin(5e-4));
    for (const int people : {12, 24, 30, 60})
        for (const double share : {0.5, 0.6, 0.7, 0.8}) {
            CAPTURE(people, share);
            CHECK(coverage(people, share) > 0.915);
        }
}

TEST_CASE("sign-flip interval: says why there is none", "[stats]") {
    const auto few = stats::sign_flip_interval(Panel{{3, 1}, {4, 0}, {1, 3}}, 0.95, 1);
    CHECK_FALSE(few.interval);
    CHECK(few.why == stats::NoInterval::too_few_tasters);
    const auto alike = stats::sign_flip_interval(Panel(12, Votes{4, 0}), 0.95, 1);
    CHECK_FALSE(alike.interval);
    CHECK(alike.why == stats::NoInterval::all_alike);
    const auto none = stats::sign_flip_interval(Panel{}, 0.95, 1);
    CHECK_FALSE(none.interval);
}

TEST_CASE("sign-flip interval: seeded subsets come near the exact limits and repeat", "[stats]") {
    Panel panel = random_panel(400, 4, 77);
    const auto sampled = stats::sign_flip_interval(panel, 0.95, 3);
    REQUIRE(sampled.interval);
    CHECK(sampled.found == stats::Found::monte_carlo);
    CHECK(stats::sign_flip_interval(panel, 0.95, 3).interval->lower == sampled.interval->lower);
    // Normal limits of the same permutation law: share +- 1.96 sqrt(Sum (a - s m)^2) / Sum m, good to a few thousandths at 400
    // tasters.
    double a = 0, m = 0, squares = 0;
    for (const Votes& v : panel) {
        a += static_cast<double>(v.for_new);
        m += static_cast<double>(v.for_new + v.for_current);
    }
    for (const Votes& v : panel)
        squares += std::pow(static_cast<double>(v.for_new) - a / m * static_cast<double>(v.for_new + v.for_current), 2);
    const double half = 1.959964 * std::sqrt(squares) / m;
    CHECK(sampled.interval->lower == Approx(a / m - half).margin(0.004));
    CHECK(sampled.interval->upper == Approx(a / m + half).margin(0.004));
}
