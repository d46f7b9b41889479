// How good a design is. Tests: tests/unit/stats/blocks.test.cpp

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

#include "oddplate/stats/blocks.hpp"

namespace oddplate::stats {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

int spread(const std::vector<int>& counts) {
    const auto [low, high] = std::minmax_element(counts.begin(), counts.end());
    return counts.empty() ? 0 : *high - *low;
}

void count_in(const Design& rows, int things, DesignReport& report) {
    const std::size_t v = at(things), size = rows.front().size();
    std::vector<int> single(v, 0), pairs(v * v, 0), places(v * size, 0), followers(v * v, 0);
    for (const std::vector<int>& row : rows)
        for (std::size_t i = 0; i < size; ++i) {
            ++single[at(row[i])];
            ++places[at(row[i]) * size + i];
            if (i > 0) ++followers[at(row[i - 1]) * v + at(row[i])];
            for (std::size_t j = 0; j < i; ++j) ++pairs[at(std::min(row[i], row[j])) * v + at(std::max(row[i], row[j]))];
        }
    const auto off_diagonal = [&](const std::vector<int>& table, bool both) {
        std::vector<int> counts;
        for (std::size_t a = 0; a < v; ++a)
            for (std::size_t b = 0; b < v; ++b)
                if (a < b || (both && a > b)) counts.push_back(table[a * v + b]);
        return counts;
    };
    const std::vector<int> together = off_diagonal(pairs, false);
    report.pairs_apart = static_cast<int>(std::count(together.begin(), together.end(), 0));
    report.replications_spread = spread(single);
    report.places_spread = spread(places);
    report.pairs_spread = spread(together);
    report.followers_spread = spread(off_diagonal(followers, true));
}

}   // namespace

DesignReport design_report(const Design& rows, int things) {
    DesignReport report;
    if (rows.empty() || rows.front().size() < 2) {
        report.connected = false;
        return report;
    }
    count_in(rows, things, report);
    const auto size = static_cast<double>(rows.front().size());
    report.bound = things * (size - 1) / ((things - 1) * size);
    Eigen::VectorXd replications = Eigen::VectorXd::Zero(things);
    Eigen::MatrixXd together = Eigen::MatrixXd::Zero(things, things);
    for (const std::vector<int>& row : rows)
        for (const int a : row) {
            ++replications[a];
            for (const int b : row) together(a, b) += 1 / size;
        }
    if (replications.minCoeff() == 0) {
        report.connected = false;
        return report;
    }
    const Eigen::VectorXd scale = replications.array().rsqrt();
    const Eigen::MatrixXd information = scale.asDiagonal() * (Eigen::MatrixXd(replications.asDiagonal()) - together) * scale.asDiagonal();
    const Eigen::VectorXd factors = Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(information).eigenvalues().tail(things - 1);   // ascending; the first is 0
    report.connected = factors.minCoeff() > 1e-9;
    if (!report.connected) return report;
    report.a_efficiency = (things - 1) / factors.cwiseInverse().sum();
    report.d_efficiency = std::exp(factors.array().log().mean());
    return report;
}

double first_efficiency(const Design& rows, int things) {
    const int others = things - 1;
    const auto size = static_cast<double>(rows.front().size()), count = static_cast<double>(rows.size());
    // Thing 0's effect set to 0, the inverse of what is left holds the variances of the comparisons with it.
    Eigen::MatrixXd information = Eigen::MatrixXd::Zero(others, others);
    for (const std::vector<int>& row : rows)
        for (const int a : row)
            for (const int b : row)
                if (a > 0 && b > 0) information(a - 1, b - 1) += (a == b ? 1.0 : 0.0) - 1 / size;
    if (information.diagonal().minCoeff() <= 0) return 0;
    const double beside_first = count * (size - 1) / others, beside_another = others == 1 ? 0 : beside_first * (size - 2) / (others - 1);
    const double least = size * (beside_first + beside_another) / (beside_first * (beside_first + others * beside_another));
    return others * least / information.inverse().trace();
}

}   // namespace oddplate::stats
