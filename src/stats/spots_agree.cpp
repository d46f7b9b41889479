// The true size of the permutation test between spots, averaged over what people's totals may be.
// Tests: tests/unit/stats/spots_agree.test.cpp

#include "oddplate/stats/spots_agree.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <optional>
#include <vector>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/p_value.hpp"
#include "oddplate/stats/promise.hpp"
#include "sampling.hpp"
#include "spot_law.hpp"

namespace oddplate::stats {
namespace {

constexpr int k_panels = 32;
constexpr int k_most_tries = 20'000;   // of panels whose count falls outside the range
constexpr double k_most_steps = 5e4;
constexpr std::size_t k_most_falls = 256;
constexpr double k_negligible = 1e-15;

// Two spots, one set each: only those right at one spot and wrong at the other speak, each for either spot with chance 1/2.
double mcnemar_size(std::int64_t speaking, double alpha) {
    const auto cut = most_correct(speaking, 0.5, alpha / 2.0);
    return cut ? 2.0 * binomial_lower(*cut, speaking, 0.5) : 0.0;
}

double two_spots(std::int64_t people, std::span<const double> totals, std::int64_t low, std::int64_t high, double alpha) {
    const double others = totals[0] + totals[2];
    const double both = others > 0.0 ? totals[2] / others : 0.0;
    double agree = 0.0;
    double all = 0.0;
    const double mean = static_cast<double>(people) * totals[1], far = 10.0 * std::sqrt(mean) + 30.0;
    const auto first = static_cast<std::int64_t>(std::max(0.0, mean - far));
    const auto last = std::min(people, static_cast<std::int64_t>(mean + far));
    for (std::int64_t speaking = first; speaking <= last; ++speaking) {
        const double weight = binomial_pmf(speaking, people, totals[1]);
        if (weight < k_negligible) continue;
        // Right answers: those speaking and twice those who were right at both.
        const std::int64_t most = std::min(people - speaking, high - speaking < 0 ? -1 : (high - speaking) / 2);
        const std::int64_t least = std::max<std::int64_t>(0, (low - speaking + 1) / 2);
        if (most < least) continue;
        const double inside =
            weight * (binomial_lower(most, people - speaking, both) - binomial_lower(least - 1, people - speaking, both));
        all += inside;
        agree += inside * (1.0 - mcnemar_size(speaking, alpha));
    }
    return all > 0.0 ? agree / all : 1.0;
}

// How many people have each total: a multinomial draw as a chain of binomials.
std::vector<std::int64_t> draw_panel(core::PhiloxStream& stream, std::int64_t people, std::span<const double> totals) {
    std::vector<std::int64_t> with(totals.size(), 0);
    double left = 1.0;
    for (std::size_t k = 0; k < totals.size() && people > 0; ++k) {
        const double share = k + 1 == totals.size() || left <= 0.0 ? 1.0 : std::min(1.0, totals[k] / left);
        with[k] = binomial_draw(stream, people, share);
        people -= with[k];
        left -= totals[k];
    }
    return with;
}

// The test's size given everybody's total; none where its law is too long.
std::optional<double> size_given(const PooledPanel& panel, std::span<const std::int64_t> with, double alpha) {
    const auto spots = static_cast<std::size_t>(panel.spots);
    const std::vector<std::int64_t> sets(spots, panel.sets);
    std::vector<SpotGroup> groups;
    for (std::size_t k = 1; k + 1 < with.size(); ++k) {
        const auto right = static_cast<std::int64_t>(k);
        if (with[k] > 0) groups.push_back({sets, right, with[k], all_falls(sets, right, k_most_falls)});
    }
    if (groups.empty()) return 0.0;
    const std::vector<std::int64_t> fixed(spots, 0), most(spots, panel.people * panel.sets);
    const auto law = exact_spot_law(groups, fixed, most, true, k_most_steps);
    if (!law) return std::nullopt;
    // People all right add the same to every spot, so the sums of squares keep their order without them.
    std::map<std::int64_t, double, std::greater<>> by_squares;
    for (const WeightedTotals& one : *law) {
        std::int64_t squares = 0;
        for (const std::int64_t total : one.totals) squares += total * total;
        by_squares[squares] += one.weight;
    }
    double tail = 0.0;
    for (const auto& [squares, weight] : by_squares) {
        if (!significant(tail + weight, alpha)) break;
        tail += weight;
    }
    return tail;
}

}   // namespace

double chance_spots_agree(const PooledPanel& panel, std::span<const double> totals, std::int64_t low, std::int64_t high,
                          double alpha) {
    promise(panel.people >= 1 && panel.spots >= 2 && panel.sets >= 1);
    promise(totals.size() == static_cast<std::size_t>(panel.spots) * static_cast<std::size_t>(panel.sets) + 1);
    if (low > high) return 1.0;
    if (totals.size() == 3) return two_spots(panel.people, totals, low, high, alpha);
    core::PhiloxStream stream(0x73706f7473u, static_cast<std::uint64_t>(panel.people));
    double sizes = 0.0;
    int panels = 0;
    for (int i = 0; i < k_most_tries && panels < k_panels; ++i) {
        const std::vector<std::int64_t> with = draw_panel(stream, panel.people, totals);
        std::int64_t right = 0;
        for (std::size_t k = 0; k < with.size(); ++k) right += with[k] * static_cast<std::int64_t>(k);
        if (right < low || right > high) continue;
        const auto size = size_given(panel, with, alpha);
        if (!size) return 1.0 - alpha;
        sizes += *size;
        ++panels;
    }
    return panels > 0 ? 1.0 - sizes / panels : 1.0 - alpha;
}

}   // namespace oddplate::stats
