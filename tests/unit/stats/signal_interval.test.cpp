// The exact limits of d: known values, and their coverage counted over every outcome.

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/signal.hpp"

using namespace oddplate::stats;

namespace {

constexpr auto yes_no = SignalRule::yes_no, pairs = SignalRule::same_different;

/// The least chance, over distances and criteria on a grid, that the limits hold the truth.
double least_coverage(SignalRule rule, std::int64_t signals, std::int64_t noises, double confidence) {
    std::vector<SignalEstimate> limits;
    for (std::int64_t h = 0; h <= signals; ++h)
        for (std::int64_t f = 0; f <= noises; ++f) limits.push_back(signal_limits(rule, {h, signals, f, noises}, confidence));
    double least = 1;
    const double low = rule == yes_no ? -1.5 : 0.3, high = rule == yes_no ? 1.5 : 4;
    for (double d = rule == yes_no ? -1.0 : 0.0; d <= 4.01; d += 0.2)
        for (double c = low; c <= high; c += 0.15) {
            const SignalRates rates = signal_rates(rule, d, c);
            double held = 0;
            for (std::int64_t h = 0; h <= signals; ++h)
                for (std::int64_t f = 0; f <= noises; ++f) {
                    const SignalEstimate& at = limits[static_cast<std::size_t>(h * (noises + 1) + f)];
                    if ((at.lower && *at.lower > d + 1e-9) || (at.upper && *at.upper < d - 1e-9)) continue;
                    held += binomial_pmf(h, signals, rates.hit) * binomial_pmf(f, noises, rates.false_alarm);
                }
            least = std::min(least, held);
        }
    return least;
}

}   // namespace

TEST_CASE("exact limits: perfect separation has the distance at which it has its share of the error") {
    for (const std::int64_t n : {6, 12, 30}) {
        const SignalEstimate clean = signal_limits(yes_no, {n, n, 0, n}, 0.9);
        REQUIRE(clean.lower);
        CHECK(*clean.lower == Approx(2 * normal_quantile(std::pow(0.05, 1.0 / (2.0 * static_cast<double>(n))))).margin(2e-6));
        CHECK_FALSE(clean.upper);
        const SignalEstimate turned = signal_limits(yes_no, {0, n, n, n}, 0.9);
        CHECK_FALSE(turned.lower);
        CHECK(*turned.upper == Approx(-*clean.lower).margin(3e-6));
    }
    CHECK(*signal_limits(yes_no, {12, 12, 0, 12}, 0.9).lower == Approx(2.377).margin(5e-4));   // the profile's is 3.20
    // Unequal numbers, three hits of three and no false alarm of twenty: no criterion gives that a larger chance than .05.
    const double d = *signal_limits(yes_no, {3, 3, 0, 20}, 0.9).lower;
    double most = 0;
    for (double c = -4; c < 4; c += 0.001) {
        const SignalRates rates = signal_rates(yes_no, d, c);
        most = std::max(most, std::pow(rates.hit, 3) * std::pow(rates.rejection, 20));
    }
    CHECK(most == Approx(0.05).epsilon(1e-4));
}

TEST_CASE("exact limits: one word alone says nothing") {
    for (const SignalCounts& counts : {SignalCounts{0, 12, 0, 12}, SignalCounts{12, 12, 12, 12}}) {
        CHECK_FALSE(signal_limits(yes_no, counts, 0.9).lower);
        CHECK_FALSE(signal_limits(yes_no, counts, 0.9).upper);
        CHECK(*signal_limits(pairs, counts, 0.9).lower == 0);
        CHECK_FALSE(signal_limits(pairs, counts, 0.9).upper);
    }
    CHECK(*signal_limits(pairs, {3, 12, 6, 12}, 0.9).lower == 0);
}

TEST_CASE("exact limits: the upper one is where few enough begins to be shown") {
    for (const SignalRule rule : {yes_no, pairs}) {
        const SignalCounts counts{21, 30, 9, 28};
        const SignalEstimate limits = signal_limits(rule, counts, 0.9);
        CHECK(signal_p_similar(rule, counts, *limits.upper + 1e-4) < 0.05);
        CHECK(signal_p_similar(rule, counts, *limits.upper - 1e-3) > 0.05);
    }
}

TEST_CASE("exact limits hold their level, counted over every outcome", "[exhaustive]") {
    for (const SignalRule rule : {yes_no, pairs})
        for (const auto& [signals, noises] : {std::pair{6, 6}, {12, 12}, {16, 5}, {5, 16}}) {
            CAPTURE(signals, noises);
            CHECK(least_coverage(rule, signals, noises, 0.9) >= 0.9 - 1e-3);   // the maximum over criteria is looked for on a grid
        }
}
