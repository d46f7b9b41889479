// With F logistic, log(F(a) - F(b)) = -log(1 + e^-a) - log(1 + e^b) + log(1 - e^(b - a)), exact at both ends; its derivative along a shift of both is
// 1 - F(a) - F(b), and the last part depends on the thresholds alone. e^-a and e^b are products of e^threshold, e^(x'b) and e^(node), so that a
// row at a node costs two divisions and no exponential. Tests: tests/unit/stats/cumulative_link.test.cpp

#include "cumulative_likelihood.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

// Nodes and weights for the law N(0, 1/2) times sqrt(pi) (Golub & Welsch 1969), as log weight + node^2: what multiplies the integrand itself.
void hermite(int points, std::vector<double>& nodes, std::vector<double>& log_weights) {
    Eigen::MatrixXd jacobi = Eigen::MatrixXd::Zero(points, points);
    for (int i = 1; i < points; ++i) jacobi(i, i - 1) = jacobi(i - 1, i) = std::sqrt(i / 2.0);
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> axes(jacobi);
    for (int i = 0; i < points; ++i) {
        nodes.push_back(axes.eigenvalues()(i));
        const double first = axes.eigenvectors()(0, i);
        log_weights.push_back(std::log(std::sqrt(std::acos(-1.0)) * first * first) + nodes.back() * nodes.back());
    }
}

}   // namespace

struct CumulativeLikelihood::Work {
    std::vector<double> up, down;   // e^-threshold above, e^threshold below, by rank
    std::vector<double> log_gap, odds_gap;   // log(1 - e^-gap) and e^-gap / (1 - e^-gap), by rank
    std::vector<double> shift;      // e^(offset + x'b), by row
    double deviation{0.0};
    double log_likelihood{0.0};
    std::vector<double> gradient;
    // of one taster
    std::vector<double> node, weight, each;
};

CumulativeLikelihood::CumulativeLikelihood(const OrderedData& data, int points) : m_columns(data.columns), m_has_tasters(!data.taster.empty()) {
    const std::size_t rows = data.y.size();
    promise(rows > 0 && data.x.size() == rows * data.columns && points >= 1 && (data.taster.empty() || data.taster.size() == rows) &&
            (data.offset.empty() || data.offset.size() == rows));
    std::vector<std::int32_t> used = data.y;
    std::sort(used.begin(), used.end());
    used.erase(std::unique(used.begin(), used.end()), used.end());
    m_ranks = used.size();
    m_order.resize(rows);
    std::iota(m_order.begin(), m_order.end(), std::size_t{0});
    if (m_has_tasters) std::stable_sort(m_order.begin(), m_order.end(), [&](std::size_t a, std::size_t b) { return data.taster[a] < data.taster[b]; });
    std::vector<std::int32_t> ranks;
    for (const std::int32_t y : data.y) ranks.push_back(static_cast<std::int32_t>(std::lower_bound(used.begin(), used.end(), y) - used.begin()));
    for (std::size_t i = 0; i < rows; ++i) {
        const std::size_t row = m_order[i];
        m_x.insert(m_x.end(), data.x.begin() + static_cast<std::ptrdiff_t>(row * m_columns), data.x.begin() + static_cast<std::ptrdiff_t>((row + 1) * m_columns));
        m_offset.push_back(data.offset.empty() ? 0.0 : data.offset[row]);
        if (i == 0 || !m_has_tasters || data.taster[row] != data.taster[m_order[i - 1]]) m_starts.push_back(i);
    }
    m_starts.push_back(rows);
    m_counts.assign(m_ranks, 0.0);
    for (std::size_t i = 0; i < rows; ++i) {
        m_rank.push_back(ranks[m_order[i]]);
        m_counts[static_cast<std::size_t>(m_rank.back())] += 1.0;
    }
    if (m_has_tasters) hermite(points, m_nodes, m_log_weights);
}

// The taster's integral over v, his shift in units of the deviation: about the mode of what his answers and the law of v say together.
void CumulativeLikelihood::add_taster(Work& work, std::size_t first, std::size_t end) const {
    const double tau = work.deviation;
    double v = 0.0, curvature = 1.0;
    if (tau != 0.0) {
        for (int round = 0; round < 50; ++round) {
            double slope = -v;
            curvature = 1.0;
            const double e = std::exp(tau * v);
            for (std::size_t i = first; i < end; ++i) {
                const auto j = static_cast<std::size_t>(m_rank[i]);
                const double a = 1.0 / (1.0 + work.up[j] * work.shift[i] * e), not_b = 1.0 / (1.0 + work.down[j] / (work.shift[i] * e));
                slope += tau * (a - not_b);   // F(a) + F(b) - 1
                curvature += tau * tau * (a * (1.0 - a) + not_b * (1.0 - not_b));
            }
            const double move = std::clamp(slope / curvature, -3.0 / std::max(1.0, std::fabs(tau)), 3.0 / std::max(1.0, std::fabs(tau)));
            v += move;
            if (std::fabs(move) < 1e-6) break;   // the points need no exact place
        }
    }
    const std::size_t nodes = tau != 0.0 ? m_nodes.size() : 1;
    const double width = std::sqrt(2.0 / curvature), constant = tau != 0.0 ? std::log(width) - 0.5 * std::log(2.0 * std::acos(-1.0)) : 0.0;
    double gaps = 0.0;
    for (std::size_t i = first; i < end; ++i) gaps += work.log_gap[static_cast<std::size_t>(m_rank[i])];
    double largest = -std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < nodes; ++k) {
        const double at = tau != 0.0 ? v + width * m_nodes[k] : 0.0, e = std::exp(tau * at);
        double log = gaps + (tau != 0.0 ? constant + m_log_weights[k] - at * at / 2.0 : 0.0), product = 1.0;
        for (std::size_t i = first; i < end; ++i) {
            const auto j = static_cast<std::size_t>(m_rank[i]);
            product *= (1.0 + work.up[j] * work.shift[i] * e) * (1.0 + work.down[j] / (work.shift[i] * e));
            if (product > 1e150) {
                log -= std::log(product);
                product = 1.0;
            }
        }
        work.node[k] = at;
        work.weight[k] = log - std::log(product);
        largest = std::max(largest, work.weight[k]);
    }
    double sum = 0.0;
    for (std::size_t k = 0; k < nodes; ++k) sum += work.weight[k] = std::exp(work.weight[k] - largest);
    work.log_likelihood += largest + std::log(sum);
    for (std::size_t k = 0; k < nodes; ++k) {
        const double share = work.weight[k] / sum, e = std::exp(tau * work.node[k]);
        if (share < 1e-18) continue;
        for (std::size_t i = first; i < end; ++i) {
            const auto j = static_cast<std::size_t>(m_rank[i]);
            const double a = 1.0 / (1.0 + work.up[j] * work.shift[i] * e), not_b = 1.0 / (1.0 + work.down[j] / (work.shift[i] * e));
            if (j + 1 < m_ranks) work.gradient[j] += share * (1.0 - a + work.odds_gap[j]);
            if (j > 0) work.gradient[j - 1] -= share * (1.0 - not_b + work.odds_gap[j]);
            const double along = share * (a - not_b);
            for (std::size_t c = 0; c < m_columns; ++c) work.gradient[m_ranks - 1 + c] += along * m_x[i * m_columns + c];
            if (m_has_tasters) work.gradient.back() += along * work.node[k];
        }
    }
}

Slope CumulativeLikelihood::operator()(const std::vector<double>& parameters) const {
    promise(parameters.size() == size());
    const std::size_t cuts = m_ranks - 1;
    Work work;
    work.gradient.assign(parameters.size(), 0.0);
    for (std::size_t j = 0; j < m_ranks; ++j) {
        work.up.push_back(j < cuts ? std::exp(-parameters[j]) : 0.0);
        work.down.push_back(j > 0 ? std::exp(parameters[j - 1]) : 0.0);
        const double gap = j > 0 && j < cuts ? parameters[j] - parameters[j - 1] : std::numeric_limits<double>::infinity();
        if (!(gap > 0.0)) return {std::numeric_limits<double>::infinity(), work.gradient};
        work.log_gap.push_back(std::isinf(gap) ? 0.0 : std::log(-std::expm1(-gap)));
        work.odds_gap.push_back(std::isinf(gap) ? 0.0 : 1.0 / std::expm1(gap));
    }
    for (std::size_t i = 0; i < m_rank.size(); ++i) {
        double eta = m_offset[i];
        for (std::size_t c = 0; c < m_columns; ++c) eta += m_x[i * m_columns + c] * parameters[cuts + c];
        work.shift.push_back(std::exp(std::clamp(eta, -300.0, 300.0)));
    }
    work.deviation = m_has_tasters ? parameters.back() : 0.0;
    work.node.resize(std::max<std::size_t>(1, m_nodes.size()));
    work.weight.resize(work.node.size());
    for (std::size_t t = 0; t + 1 < m_starts.size(); ++t) add_taster(work, m_starts[t], m_starts[t + 1]);
    for (double& part : work.gradient) part = -part;
    return {-work.log_likelihood, work.gradient};
}

}   // namespace oddplate::stats
