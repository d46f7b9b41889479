#include "oddplate/stats/spots_agree.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <cstdint>
#include <vector>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/cochran.hpp"
#include "oddplate/stats/p_value.hpp"

using namespace oddplate;

namespace {

// Every table of right and wrong answers, a set each, judged by the test itself: P(agree | low <= right <= high).
double by_tables(int people, int spots, double p, int low, int high, double alpha) {
    const int cells = people * spots;
    const std::vector<std::int64_t> sets(static_cast<std::size_t>(cells), 1);
    std::vector<std::int64_t> right(static_cast<std::size_t>(cells));
    double agree = 0, all = 0;
    for (unsigned table = 0; table < 1u << cells; ++table) {
        int total = 0;
        for (int i = 0; i < cells; ++i) total += static_cast<int>(right[static_cast<std::size_t>(i)] = table >> i & 1u);
        if (total < low || total > high) continue;
        const double weight = std::pow(p, total) * std::pow(1 - p, cells - total);
        const auto test = stats::spots_differ({static_cast<std::size_t>(spots), sets, right}, 1);
        all += weight;
        if (!test.p_value || !stats::significant(test.p_value->p, alpha)) agree += weight;
    }
    return agree / all;
}

std::vector<double> totals(int each, double p) {
    std::vector<double> law;
    for (int k = 0; k <= each; ++k) law.push_back(stats::binomial_pmf(k, each, p));
    return law;
}

}   // namespace

TEST_CASE("spots agree: two spots, every table judged", "[stats][exhaustive]") {
    for (const double alpha : {0.05, 0.2})
        for (const auto& [low, high] : {std::pair{0, 16}, std::pair{3, 7}})
            CHECK(stats::chance_spots_agree({8, 2, 1}, totals(2, 0.4), low, high, alpha) ==
                  Approx(by_tables(8, 2, 0.4, low, high, alpha)).epsilon(1e-10));
}

TEST_CASE("spots agree: three and four spots, every table judged", "[stats][exhaustive]") {
    // 32 panels of which each gives its own exact size: the error is that of a mean of 32 such sizes, each within 0 .. alpha.
    CHECK(std::abs(stats::chance_spots_agree({5, 3, 1}, totals(3, 0.4), 2, 8, 0.1) - by_tables(5, 3, 0.4, 2, 8, 0.1)) < 0.02);
    CHECK(std::abs(stats::chance_spots_agree({4, 4, 1}, totals(4, 0.4), 3, 9, 0.2) - by_tables(4, 4, 0.4, 3, 9, 0.2)) < 0.04);
}

TEST_CASE("spots agree: a panel of tens by seeded simulation", "[stats]") {
    const int people = 40;
    const double p = 1.0 / 3;
    const std::vector<std::int64_t> sets(2 * people, 1);
    int agree = 0, tries = 0;
    for (std::uint64_t replicate = 0; replicate < 4000; ++replicate) {
        core::PhiloxStream stream(7, replicate);
        std::vector<std::int64_t> right;
        std::int64_t sum = 0;
        for (int i = 0; i < 2 * people; ++i) sum += right.emplace_back(stream.uniform() < p ? 1 : 0);
        if (sum < 20 || sum > 30) continue;
        ++tries;
        const auto test = stats::spots_differ({2, sets, right}, 1);
        if (!test.p_value || !stats::significant(test.p_value->p, 0.05)) ++agree;
    }
    const double share = static_cast<double>(agree) / tries;
    const double error = std::sqrt(share * (1 - share) / tries);
    CHECK(std::abs(stats::chance_spots_agree({people, 2, 1}, totals(2, p), 20, 30, 0.05) - share) < 4 * error);
}

TEST_CASE("spots agree: never below 1 - alpha, and near it where there are many people", "[stats]") {
    for (const int spots : {2, 3, 4})
        for (const int people : {2, 10, 30, 200}) {
            const double agree = stats::chance_spots_agree({people, spots, 1}, totals(spots, 0.4), 0, people * spots, 0.05);
            CHECK(agree >= 0.95 - 1e-12);
            CHECK(agree <= 1);
        }
    CHECK(stats::chance_spots_agree({200, 4, 1}, totals(4, 0.4), 0, 800, 0.05) == Approx(0.95));
    CHECK(stats::chance_spots_agree({10, 2, 1}, totals(2, 0.4), 5, 4, 0.05) == 1);
}
