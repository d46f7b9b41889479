#include "oddplate/stats/score_flip.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"

using namespace oddplate;
using namespace oddplate::stats;

namespace {

// Oracle: all 2^n patterns.
double plain_p(const std::vector<double>& x, double centre) {
    double observed = 0, reached = 0;
    for (const double v : x) observed += v - centre;
    for (unsigned flips = 0; flips < 1U << x.size(); ++flips) {
        double sum = 0;
        for (std::size_t i = 0; i < x.size(); ++i) sum += (flips >> i & 1U) != 0 ? centre - x[i] : x[i] - centre;
        reached += sum >= observed - 1e-9;
    }
    return reached / std::exp2(static_cast<double>(x.size()));
}

}   // namespace

TEST_CASE("scores' flips, every pattern counted") {
    const std::vector<std::vector<double>> panels{{1, 2, -1, 3, 0, 0.5, 2},
                                                  {6.5, -2.25, 1, 1, 1},
                                                  {-1, -2},
                                                  {0, 0, 0},
                                                  {3},
                                                  {1.0 / 3, 2, -0.5, 1.0 / 7, 0.25, 1.75},
                                                  {std::sqrt(2.0), 1, -0.3, std::exp(1.0)}};
    for (const auto& x : panels)
        for (const double centre : {0.0, 1.0, 0.37})
            CHECK(score_flip_p(x, centre, 1).p == Approx(plain_p(x, centre)).epsilon(1e-10));
    CHECK(score_flip_p(std::vector<double>{}, 0, 1).p == 1);
}

TEST_CASE("Darwin's maize: Fisher's own flips") {
    // Fisher (1935), The Design of Experiments, section 21: Darwin's 15 pairs, in eighths of an inch; sum 314, and 863 of 32,768
    // patterns reach it, half of the two-sided 1,726 (he prints 5.267 % two-sided).
    const std::vector<double> darwin{49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48};
    CHECK(score_flip_p(darwin, 0, 1).p == Approx(863.0 / 32768).epsilon(1e-12));
}

TEST_CASE("the interval of the mean inverts the flips") {
    const std::vector<double> x{1, 2, -1, 3, 0, 0.5, 2, 4, -0.5, 1.5};
    const ShareInterval found = score_flip_interval(x, 0.9, 1);
    REQUIRE(found.interval);
    std::vector<double> negative;
    for (const double v : x) negative.push_back(-v);
    const double lower = found.interval->lower, upper = found.interval->upper;
    CHECK(score_flip_p(x, lower - 0.01, 1).p <= 0.05);
    CHECK(score_flip_p(x, lower + 0.01, 1).p > 0.05);
    CHECK(score_flip_p(negative, -upper - 0.01, 1).p <= 0.05);
    CHECK(score_flip_p(negative, -upper + 0.01, 1).p > 0.05);
    CHECK_FALSE(score_flip_interval(std::vector<double>{1, 2}, 0.9, 1).interval);
    CHECK(score_flip_interval(std::vector<double>(8, 1.0), 0.9, 1).why == NoInterval::all_alike);
    CHECK_FALSE(score_flip_interval(std::vector<double>{}, 0.9, 1).interval);
}

TEST_CASE("sizes for scores, and what the flips really have there") {
    // n = 27 for a paired t test at d = .5, one-sided .05, power .8 (Cohen 1988, from memory; noncentral t)
    CHECK(*size_scores(0.5, 0.05, 0.8) == 27);
    CHECK(score_power(27, 0.5, 0.05) >= 0.8);
    CHECK(score_power(26, 0.5, 0.05) < 0.8);
    for (const auto& [n, alpha] : {std::pair{4, 0.05}, {5, 0.05}, {6, 0.01}, {7, 0.01}}) {   // the smallest p of n sign flips is 2^-n (Fisher 1935)
        CHECK((score_power(n, 10, alpha) > 0.5) == (std::ldexp(1.0, -n) <= alpha));
    }
    CHECK(*size_scores(10, 0.05, 0.8) == 5);
    constexpr int k_panels = 1500;
    for (const auto& [n, effect] : {std::pair{12, 0.8}, {27, 0.5}}) {
        int found = 0;
        for (int panel = 0; panel < k_panels; ++panel) {
            core::PhiloxStream stream(11, static_cast<std::uint64_t>(panel));
            std::vector<double> x;
            for (int i = 0; i < n; ++i)   // differences of whole-number scores
                x.push_back(
                    std::round(2.5 * (effect + normal_quantile((static_cast<double>(stream.next()) + 0.5) / 4294967296.0))));
            found += score_flip_p(x, 0, 1).p <= 0.05;
        }
        const double power = static_cast<double>(found) / k_panels;
        INFO(n << " tasters: " << power);
        CHECK(std::abs(power - score_power(n, effect, 0.05)) < 0.06);   // Monte Carlo error .011
    }
}

TEST_CASE("spots' scores are exchanged within tasters") {
    // Two tasters, two spots: 4 arrangements; sums at spot 0 of 3 + 1, 3 + 0, 2 + 1, 2 + 0 against the rest of 6: squares about the
    // middle are 1, 0, 0, 1, so p is 1/2 for the observed 4 and 2.
    const std::vector<SpotScore> two{{0, 0, 3}, {0, 1, 2}, {1, 0, 1}, {1, 1, 0}};
    const auto p = score_spots_p(two, 1);
    REQUIRE(p);
    CHECK(std::abs(p->p - 0.5) < 0.025);   // five Monte Carlo errors
    CHECK(score_spots_p(std::vector<SpotScore>{{0, 0, 1}, {1, 1, 3}}, 1)->p == 1);   // one difference each: people are exchanged
    CHECK_FALSE(score_spots_p(std::vector<SpotScore>{{0, 0, 1}, {0, 0, 2}, {1, 1, 3}, {1, 1, 5}}, 1));   // several each, nobody at two spots
    CHECK_FALSE(score_spots_p(std::vector<SpotScore>{{0, 0, 1}, {0, 1, 1}}, 1));
    CHECK_FALSE(score_spots_p(std::vector<SpotScore>{}, 1));
}
