// Subsets counted by size and sum; people drawn again with a counter-based generator. Tests: tests/unit/stats/two_groups.test.cpp

#include "oddplate/stats/two_groups.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

#include "oddplate/stats/promise.hpp"
#include "sampling.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_most_steps = 5e7;
constexpr int k_redraws = 1999;
constexpr int k_most_tries = 20 * k_redraws;   // of redrawn tables that may be of no use

/// All numbers as whole steps above the smallest; empty where they lie on no grid.
std::vector<std::int64_t> on_grid(const std::vector<double>& numbers) {
    const double least = *std::min_element(numbers.begin(), numbers.end());
    for (const double steps : {1.0, 2.0, 10.0, 100.0}) {
        std::vector<std::int64_t> whole;
        for (const double number : numbers) {
            const double scaled = (number - least) * steps, nearest = std::round(scaled);
            if (std::fabs(scaled - nearest) > 1e-7 || nearest > 1e9) break;
            whole.push_back(static_cast<std::int64_t>(nearest));
        }
        if (whole.size() == numbers.size()) return whole;
    }
    return {};
}

/// How many subsets of `size` have each sum.
std::vector<double> subsets_by_sum(const std::vector<std::int64_t>& numbers, std::size_t size) {
    std::vector<std::int64_t> sorted = numbers;
    std::sort(sorted.rbegin(), sorted.rend());
    const std::int64_t most = std::accumulate(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(size), std::int64_t{0});
    const auto width = static_cast<std::size_t>(most) + 1;
    std::vector<std::vector<double>> counts(size + 1, std::vector<double>(width, 0.0));
    counts[0][0] = 1;
    for (std::size_t i = 0; i < numbers.size(); ++i)
        for (std::size_t k = std::min(size, i + 1); k >= 1; --k)
            for (std::size_t sum = static_cast<std::size_t>(numbers[i]); sum < width; ++sum) counts[k][sum] += counts[k - 1][sum - static_cast<std::size_t>(numbers[i])];
    return counts[size];
}

PValue counted_p(const std::vector<std::int64_t>& numbers, std::size_t size) {
    const auto n = static_cast<std::int64_t>(numbers.size()), m = static_cast<std::int64_t>(size);
    const std::int64_t all = std::accumulate(numbers.begin(), numbers.end(), std::int64_t{0});
    const std::int64_t own = std::accumulate(numbers.begin(), numbers.begin() + m, std::int64_t{0});
    const std::int64_t reached = std::abs(n * own - m * all);
    const std::vector<double> counts = subsets_by_sum(numbers, size);
    double hits = 0, total = 0;
    for (std::size_t sum = 0; sum < counts.size(); ++sum) {
        total += counts[sum];
        if (std::abs(n * static_cast<std::int64_t>(sum) - m * all) >= reached) hits += counts[sum];
    }
    return {hits / total, Found::exact, 0.0, 0};
}

PValue drawn_p(std::vector<double> numbers, std::size_t size, std::uint64_t seed) {
    const double mean = std::accumulate(numbers.begin(), numbers.end(), 0.0) / static_cast<double>(numbers.size());
    const auto off_centre = [&] { return std::fabs(std::accumulate(numbers.begin(), numbers.begin() + static_cast<std::ptrdiff_t>(size), 0.0) / static_cast<double>(size) - mean); };
    const double reached = off_centre() * (1 - 1e-12);
    const std::int64_t draws = draws_within_budget(static_cast<double>(size));
    std::int64_t hits = 0;
    for (std::int64_t draw = 0; draw < draws; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        for (std::size_t i = 0; i < size; ++i) std::swap(numbers[i], numbers[i + stream.below(static_cast<std::uint32_t>(numbers.size() - i))]);
        hits += off_centre() >= reached;
    }
    return monte_carlo_p(hits, draws);
}

/// Sums of one group, for its mean and the square of that mean's standard error.
struct Sums {
    double n{0}, sum{0}, square{0};

    void add(double x) { n += 1, sum += x, square += x * x; }
    [[nodiscard]] double mean() const { return sum / n; }
    [[nodiscard]] double error_square() const { return std::max(0.0, (square - sum * sum / n) / (n - 1) / n); }
};

struct Difference {
    double mean{0}, error{0};
};

std::optional<Difference> difference_of(const Sums& first, const Sums& second) {
    if (first.n < 2 || second.n < 2) return std::nullopt;
    const double square = first.error_square() + second.error_square();
    // Rounding leaves about 1e-16 of the squares of the numbers themselves.
    if (square <= 1e-13 * (first.square / first.n + second.square / second.n)) return std::nullopt;
    return Difference{first.mean() - second.mean(), std::sqrt(square)};
}

}   // namespace

PValue two_groups_p(std::span<const double> first, std::span<const double> second, std::uint64_t seed) {
    promise(!first.empty() && !second.empty());
    const bool turn = first.size() > second.size();   // the smaller group is counted
    std::vector<double> numbers(turn ? second.begin() : first.begin(), turn ? second.end() : first.end());
    const std::size_t size = numbers.size();
    numbers.insert(numbers.end(), turn ? first.begin() : second.begin(), turn ? first.end() : second.end());
    const std::vector<std::int64_t> whole = on_grid(numbers);
    if (!whole.empty()) {
        const auto top = static_cast<double>(*std::max_element(whole.begin(), whole.end())), k = static_cast<double>(size);
        if (static_cast<double>(whole.size()) * k * (k * top + 1) < k_most_steps) return counted_p(whole, size);
    }
    return drawn_p(std::move(numbers), size, seed);
}

std::optional<Interval> two_groups_interval(std::span<const double> first, std::span<const double> second, double confidence, std::uint64_t seed) {
    promise(0.0 < confidence && confidence < 1.0);
    Sums a, b;
    for (const double x : first) a.add(x);
    for (const double x : second) b.add(x);
    const auto observed = difference_of(a, b);
    if (!observed) return std::nullopt;
    const std::size_t n = first.size() + second.size();
    std::vector<double> ratios;
    for (int attempt = 0; attempt < k_most_tries && ratios.size() < k_redraws; ++attempt) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(attempt));
        Sums one, other;
        for (std::size_t i = 0; i < n; ++i) {
            const std::size_t at = stream.below(static_cast<std::uint32_t>(n));
            if (at < first.size()) one.add(first[at]);
            else other.add(second[at - first.size()]);
        }
        if (const auto redrawn = difference_of(one, other)) ratios.push_back((redrawn->mean - observed->mean) / redrawn->error);
    }
    if (ratios.size() < k_redraws) return std::nullopt;
    std::sort(ratios.begin(), ratios.end());
    const auto tail = static_cast<std::size_t>((1 - confidence) / 2 * (k_redraws + 1));
    const std::size_t low = tail == 0 ? 0 : tail - 1;
    return Interval{observed->mean - ratios[k_redraws - 1 - low] * observed->error, observed->mean - ratios[low] * observed->error};
}

}   // namespace oddplate::stats
