// The two pictures behind a model of scores. What is left over is taken from the additive table of people and samples by least squares, as it stands in any
// text (Scheffe 1959, The Analysis of Variance, section 4.1): means taken off in turn until nothing moves. Quantiles are Blom's (1958, Statistical
// Estimates and Transformed Beta-Variables). Tests: tests/unit/methods/ratings.test.cpp

#include <algorithm>
#include <cmath>

#include "oddplate/stats/normal.hpp"
#include "ratings.hpp"

namespace oddplate::methods::ratings {
namespace {

constexpr std::size_t k_fewest = 8, k_points = 60;
constexpr int k_rounds = 500;

/// Takes the mean of each group off; answers how far the largest one was from nought.
double take_off(std::vector<double>& left, const std::vector<std::size_t>& group, std::size_t groups) {
    std::vector<double> sums(groups, 0);
    std::vector<int> counts(groups, 0);
    for (std::size_t i = 0; i < left.size(); ++i) {
        sums[group[i]] += left[i];
        ++counts[group[i]];
    }
    double moved = 0;
    for (std::size_t g = 0; g < groups; ++g) {
        if (counts[g] > 0) sums[g] /= counts[g];
        moved = std::max(moved, std::abs(sums[g]));
    }
    for (std::size_t i = 0; i < left.size(); ++i) left[i] -= sums[group[i]];
    return moved;
}

std::size_t used(const std::vector<std::size_t>& group) {
    std::vector<std::size_t> seen = group;
    std::sort(seen.begin(), seen.end());
    return static_cast<std::size_t>(std::unique(seen.begin(), seen.end()) - seen.begin());
}

}   // namespace

std::optional<ScoreLooks> looks_of(const Scoring& scoring) {
    if (scoring.ratings.size() < k_fewest) return std::nullopt;
    ScoreLooks looks{.use = {}, .left_over = {}, .scores = static_cast<std::int64_t>(scoring.ratings.size())};
    std::vector<std::vector<double>> by_taster(scoring.tasters.size());
    std::vector<double> left;
    std::vector<std::size_t> tasters, samples;
    for (const stats::Rating& rating : scoring.ratings) {
        tasters.push_back(static_cast<std::size_t>(rating.taster));
        samples.push_back(static_cast<std::size_t>(rating.sample));
        left.push_back(rating.score);
        by_taster[tasters.back()].push_back(rating.score);
    }
    for (const std::vector<double>& mine : by_taster) {
        if (mine.empty()) continue;
        const auto [low, high] = std::minmax_element(mine.begin(), mine.end());
        double sum = 0;
        for (const double score : mine) sum += score;
        looks.use.push_back({*low, sum / static_cast<double>(mine.size()), *high});
    }
    std::sort(looks.use.begin(), looks.use.end(), [](const auto& a, const auto& b) { return a.mean < b.mean; });

    for (int round = 0; round < k_rounds; ++round) {
        const double moved = take_off(left, tasters, scoring.tasters.size());
        if (std::max(round == 0 ? 1.0 : moved, take_off(left, samples, scoring.samples.size())) < 1e-10) break;
    }
    const auto parameters = used(tasters) + used(samples) - 1;
    double squares = 0;
    for (const double value : left) squares += value * value;
    if (left.size() <= parameters || squares < 1e-12) return looks;
    const double spread = std::sqrt(squares / static_cast<double>(left.size() - parameters));
    std::sort(left.begin(), left.end());
    const std::size_t points = std::min(left.size(), k_points);
    for (std::size_t i = 0; i < points; ++i) {
        const std::size_t at = points == 1 ? 0 : i * (left.size() - 1) / (points - 1);
        looks.left_over.emplace_back(stats::normal_quantile((static_cast<double>(at) + 1 - 0.375) / (static_cast<double>(left.size()) + 0.25)), left[at] / spread);
    }
    return looks;
}

}   // namespace oddplate::methods::ratings
