#include "oddplate/stats/multinomial.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "oddplate/stats/binomial.hpp"

using namespace oddplate;

namespace {

double largest_z(const std::vector<std::int64_t>& picks, const std::vector<double>& cells, double n) {
    double z = -1e300;
    for (std::size_t j = 0; j < picks.size(); ++j) {
        if (cells[j] <= 0) continue;
        z = std::max(z, (static_cast<double>(picks[j]) - n * cells[j]) / std::sqrt(n * cells[j] * (1 - cells[j])));
    }
    return z;
}

// Oracle: every outcome.
double plain_p(const std::vector<std::int64_t>& picks, const std::vector<double>& cells) {
    std::int64_t n = 0;
    for (const auto picked : picks) n += picked;
    const double observed = largest_z(picks, cells, static_cast<double>(n));
    double p = 0;
    std::vector<std::int64_t> outcome(picks.size(), 0);
    const std::function<void(std::size_t, std::int64_t, double)> fill = [&](std::size_t at, std::int64_t left, double weight) {
        if (at + 1 == outcome.size()) {
            outcome[at] = left;
            if (left > 0 && cells[at] <= 0) return;
            if (cells[at] > 0)
                weight *= std::pow(cells[at], static_cast<double>(left)) / std::tgamma(static_cast<double>(left) + 1);
            if (largest_z(outcome, cells, static_cast<double>(n)) >= observed - 1e-9) p += weight;
            return;
        }
        for (std::int64_t here = 0; here <= left; ++here) {
            if (here > 0 && cells[at] <= 0) break;
            outcome[at] = here;
            fill(at + 1, left - here,
                 weight * std::pow(cells[at], static_cast<double>(here)) / std::tgamma(static_cast<double>(here) + 1));
        }
    };
    fill(0, n, std::tgamma(static_cast<double>(n) + 1));
    return p;
}

}   // namespace

TEST_CASE("most picked: p equals the sum over every outcome", "[stats][exhaustive]") {
    const double third = 1.0 / 3;
    for (std::int64_t n = 1; n <= 18; ++n) {
        for (std::int64_t a = 0; a <= n; ++a) {
            for (std::int64_t b = 0; a + b <= n; ++b) {
                const std::vector<std::int64_t> picks{a, b, n - a - b};
                for (const auto& cells : {std::vector<double>{third, third, third}, std::vector<double>{0.5, 0.25, 0.25}}) {
                    CAPTURE(a, b, n);
                    CHECK(stats::most_picked_test(picks, cells).p == Approx(plain_p(picks, cells)).epsilon(1e-10));
                }
            }
        }
    }
    const std::vector<double> five{0.2, 0.2, 0.2, 0.3, 0.1};
    CHECK(stats::most_picked_test(std::vector<std::int64_t>{3, 1, 0, 2, 4}, five).p ==
          Approx(plain_p({3, 1, 0, 2, 4}, five)).epsilon(1e-10));
}

TEST_CASE("most picked: two places are the two-sided sign test", "[stats]") {
    for (int k = 0; k <= 20; ++k) {
        const auto found = stats::most_picked_test(std::vector<std::int64_t>{k, 20 - k}, std::vector<double>{0.5, 0.5});
        CHECK(found.p == Approx(std::min(1.0, 2 * stats::binomial_upper(std::max(k, 20 - k), 20, 0.5))).epsilon(1e-10));
        if (k != 10) CHECK(found.position == (k > 10 ? 0u : 1u));
    }
}

TEST_CASE("most picked: names the place and keeps small p", "[stats]") {
    const double third = 1.0 / 3;
    const auto found = stats::most_picked_test(std::vector<std::int64_t>{5, 90, 5}, std::vector<double>{third, third, third});
    CHECK(found.position == 1);
    CHECK(found.z == Approx((90 - 100 * third) / std::sqrt(100 * third * (1 - third))).epsilon(1e-12));
    // So far out that two places cannot both stand out: three times one binomial tail.
    CHECK(found.p == Approx(3 * stats::binomial_upper(90, 100, third)).epsilon(1e-9));
}

TEST_CASE("most picked: no picks, an impossible place, thousands of picks", "[stats]") {
    CHECK(stats::most_picked_test(std::vector<std::int64_t>{0, 0}, std::vector<double>{0.5, 0.5}).p == 1.0);
    CHECK(stats::most_picked_test(std::vector<std::int64_t>{4, 0}, std::vector<double>{1.0, 0.0}).p == 1.0);
    const std::vector<double> cells{0.5, 0.5, 0.0};
    CHECK(stats::most_picked_test(std::vector<std::int64_t>{9, 3, 0}, cells).p ==
          Approx(2 * stats::binomial_upper(9, 12, 0.5)).epsilon(1e-10));
    const double third = 1.0 / 3;
    const auto large =
        stats::most_picked_test(std::vector<std::int64_t>{33900, 33000, 33100}, std::vector<double>{third, third, third});
    const double one = stats::binomial_upper(33900, 100000, third);
    CHECK(large.p <= 3 * one);
    CHECK(large.p >= 3 * one - 3 * one * one * 3);   // what pairs of places take away is of second order
}

TEST_CASE("even picks: the chance of an alarm is counted over every outcome", "[stats][exhaustive]") {
    for (const int places : {2, 3})
        for (std::int64_t n = 1; n <= 24; ++n) {
            const std::vector<double> cells(static_cast<std::size_t>(places), 1.0 / places);
            double alarms = 0;
            for (std::int64_t a = 0; a <= n; ++a)
                for (std::int64_t b = places == 2 ? n - a : 0; a + b <= n; ++b) {
                    std::vector<std::int64_t> picks{a, b, n - a - b};
                    picks.resize(static_cast<std::size_t>(places));
                    if (stats::most_picked_test(picks, cells).p > 0.05) continue;
                    double weight = std::pow(1.0 / places, static_cast<double>(n)) * std::tgamma(static_cast<double>(n) + 1);
                    for (const auto picked : picks) weight /= std::tgamma(static_cast<double>(picked) + 1);
                    alarms += weight;
                }
            CAPTURE(places, n);
            CHECK(stats::even_picks_alarm(n, places, 0.05) == Approx(alarms).margin(1e-12).epsilon(1e-9));
        }
    CHECK(stats::even_picks_alarm(0, 3, 0.05) == 0);
    CHECK(stats::even_picks_alarm(100'000, 3, 0.05) == 0.05);
}
