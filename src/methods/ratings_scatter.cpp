// Whether one sample's scores scatter far more than another's: the model takes one scatter for all, and then errs about that sample.

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "oddplate/stats/test_laws.hpp"
#include "ratings.hpp"

namespace oddplate::methods::ratings {
namespace {

constexpr double k_clear = 0.01;   // of the test; below it a word of warning is worth its place
constexpr double k_wide = 1.75;    // residuals differ less than scores: a taster's level follows the widest sample in part
constexpr std::size_t k_fewest = 8, k_fewest_samples = 3;   // of two samples the residuals mirror each other

double mean_of(const std::vector<double>& values) {
    double sum = 0;
    for (const double value : values) sum += value;
    return sum / static_cast<double>(values.size());
}

double deviation_of(const std::vector<double>& values) {
    const double mean = mean_of(values);
    double squares = 0;
    for (const double value : values) squares += (value - mean) * (value - mean);
    return std::sqrt(squares / static_cast<double>(values.size() - 1));
}

double median_of(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    const std::size_t half = values.size() / 2;
    return values.size() % 2 == 1 ? values[half] : (values[half - 1] + values[half]) / 2;
}

/// One residual a taster and sample: what repeats leave over goes together.
std::vector<std::vector<double>> left_over(const Scoring& scoring, const stats::RatingModel& model) {
    std::map<std::pair<std::int32_t, std::int32_t>, std::vector<double>> cells;   // sample, taster
    for (std::size_t i = 0; i < scoring.ratings.size(); ++i) cells[{scoring.ratings[i].sample, scoring.ratings[i].taster}].push_back(model.residuals[i]);
    std::vector<std::vector<double>> by_sample(scoring.samples.size());
    for (const auto& [cell, residuals] : cells) by_sample[static_cast<std::size_t>(cell.first)].push_back(mean_of(residuals));
    return by_sample;
}

/// Brown & Forsythe (1974), JASA 69:364: analysis of variance of the distances from each sample's median.
double p_of_one_scatter(std::vector<std::vector<double>> groups) {
    std::vector<double> all;
    for (std::vector<double>& group : groups) {
        const double middle = median_of(group);
        for (double& value : group) all.push_back(value = std::abs(value - middle));
    }
    const double grand = mean_of(all), between = static_cast<double>(groups.size() - 1), within = static_cast<double>(all.size() - groups.size());
    double among = 0, inside = 0;
    for (const std::vector<double>& group : groups) {
        const double mean = mean_of(group);
        among += static_cast<double>(group.size()) * (mean - grand) * (mean - grand);
        for (const double value : group) inside += (value - mean) * (value - mean);
    }
    return inside > 0 ? stats::f_upper(among / between / (inside / within), between, within) : 1.0;
}

}   // namespace

std::optional<UnequalScatter> unequal_scatter(const Scoring& scoring, const stats::RatingModel& model) {
    const std::vector<std::vector<double>> groups = left_over(scoring, model);
    if (groups.size() < k_fewest_samples || std::any_of(groups.begin(), groups.end(), [](const auto& group) { return group.size() < k_fewest; })) return std::nullopt;
    std::vector<double> deviations;
    for (const std::vector<double>& group : groups) deviations.push_back(deviation_of(group));
    const auto [least, most] = std::minmax_element(deviations.begin(), deviations.end());
    if (!(*most > k_wide * *least) || !(p_of_one_scatter(groups) <= k_clear)) return std::nullopt;
    return UnequalScatter{static_cast<std::size_t>(most - deviations.begin()), static_cast<std::size_t>(least - deviations.begin())};
}

}   // namespace oddplate::methods::ratings
