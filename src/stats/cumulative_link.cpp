// Minus the log-likelihood is minimised in the first threshold, the logs of the gaps, the coefficients and the deviation; Newton's steps on differences
// of the gradient in the thresholds themselves finish, and their curvature gives the errors. Tests: tests/unit/stats/cumulative_link.test.cpp

#include "oddplate/stats/cumulative_link.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

#include "chi_square.hpp"
#include "cumulative_likelihood.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/promise.hpp"
#include "oddplate/stats/test_laws.hpp"
#include "optimise.hpp"
#include "sampling.hpp"

namespace oddplate::stats {
namespace {

using core::ErrorKind;
using core::fault;
using Eigen::Index;

constexpr double k_rough = 1e-7;   // of the height, for drawn tables: their statistics need no more
constexpr double k_far = 20.0;   // log odds beyond which a coefficient runs away: all of a sample's answers lie at one end

// Thresholds from logs of gaps, and the gradient back.
std::vector<double> rising(std::vector<double> x, std::size_t cuts) {
    for (std::size_t j = 1; j < cuts; ++j) x[j] = x[j - 1] + std::exp(x[j]);
    return x;
}

Slope by_gaps(const CumulativeLikelihood& of, const std::vector<double>& x) {
    const std::size_t cuts = of.ranks() - 1;
    Slope out = of(rising(x, cuts));
    for (std::size_t j = cuts - 1; j-- > 0;) out.gradient[j] += out.gradient[j + 1];
    for (std::size_t j = 1; j < cuts; ++j) out.gradient[j] *= std::exp(x[j]);
    return out;
}

// Thresholds of the pooled answers.
std::vector<double> start(const CumulativeLikelihood& of) {
    std::vector<double> x(of.size(), 0.0);
    double all = 0.0, below = 0.0, last = 0.0;
    for (const double count : of.counts()) all += count;
    for (std::size_t j = 0; j + 1 < of.ranks(); ++j) {
        below += of.counts()[j];
        const double logit = std::log((below + 0.1) / (all - below + 0.1));
        x[j] = j == 0 ? logit : std::log(std::max(logit - last, 1e-3));
        last = logit;
    }
    if (of.has_tasters()) x.back() = 1.0;
    return x;
}

struct Top {
    std::vector<double> x;   // thresholds, coefficients, deviation
    Slope at;
    int steps{0};
};

// `near` is where to start, as thresholds; empty: from the pooled answers. Ends where less than `noise` of the height is still promised: the
// quadrature's value and gradient agree no better, and Newton's steps on the gradient can do the rest.
Top climb(const CumulativeLikelihood& of, const std::vector<double>& near = {}, double noise = 1e-11) {
    constexpr double flat = 1e-7;
    const std::size_t cuts = of.ranks() - 1;
    std::vector<double> from = near.empty() ? start(of) : near;
    if (!near.empty())
        for (std::size_t j = cuts - 1; j > 0; --j) from[j] = std::log(near[j] - near[j - 1]);
    const auto f = [&](const std::vector<double>& x) { return by_gaps(of, x); };
    Valley found = descend(f, std::move(from), flat, noise);
    if (of.has_tasters() && std::fabs(found.x.back()) < 0.1 && found.x.back() != 0.0) {
        std::vector<double> without = found.x;
        without.back() = 0.0;
        Valley zero = descend(f, without, flat, noise);   // the slope in a deviation of 0 is 0
        zero.steps += found.steps;
        if (zero.at.value <= found.at.value + 1e-7) found = std::move(zero);
    }
    Top top{rising(found.x, cuts), {}, found.steps};
    top.at = of(top.x);
    return top;
}

bool runs_away(const CumulativeLikelihood& of, const std::vector<double>& x) {
    for (std::size_t c = 0; c < of.columns(); ++c)
        if (std::fabs(x[of.ranks() - 1 + c]) > k_far) return true;
    return false;
}

// Second derivatives by central differences, of the parameters that can move.
Eigen::MatrixXd information(const CumulativeLikelihood& of, const std::vector<double>& x, std::size_t moving) {
    Eigen::MatrixXd out(static_cast<Index>(moving), static_cast<Index>(moving));
    for (std::size_t k = 0; k < moving; ++k) {
        std::vector<double> above = x, below = x;
        above[k] += 1e-4;
        below[k] -= 1e-4;
        const Slope up = of(above), down = of(below);
        for (std::size_t i = 0; i < moving; ++i) out(static_cast<Index>(i), static_cast<Index>(k)) = (up.gradient[i] - down.gradient[i]) / 2e-4;
    }
    return (out + out.transpose()) / 2.0;
}

core::Status sound(const OrderedData& data, const CumulativeLikelihood& of) {
    if (of.ranks() < 2) return fault(ErrorKind::bad_value, "one-word", "everybody gave the same answer, and nothing says how samples differ");
    if (data.columns == 0) return core::Done{};
    const auto rows = static_cast<Index>(data.y.size()), columns = static_cast<Index>(data.columns);
    Eigen::MatrixXd x(rows, columns + 1);   // the thresholds are a constant
    x.leftCols(columns) = Eigen::Map<const Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>>(data.x.data(), rows, columns);
    x.col(columns).setOnes();
    Eigen::ColPivHouseholderQR<Eigen::MatrixXd> pivots(x);
    pivots.setThreshold(1e-9);
    if (pivots.rank() < columns + 1) return fault(ErrorKind::bad_value, "not-estimable", "two parts of the comparison cannot be told apart in these answers");
    return core::Done{};
}

OrderedData without_columns(const OrderedData& data, std::size_t from, std::size_t many) {
    OrderedData out = data;
    out.columns -= many;
    out.x.clear();
    for (std::size_t i = 0; i < data.y.size(); ++i)
        for (std::size_t c = 0; c < data.columns; ++c)
            if (c < from || c >= from + many) out.x.push_back(data.x[i * data.columns + c]);
    return out;
}

// One table from the parameters, at the data's rows; ranks from 0.
std::vector<std::int32_t> drawn(const OrderedData& data, const std::vector<double>& x, std::size_t ranks, core::PhiloxStream& chance) {
    std::int32_t tasters = 0;
    for (const std::int32_t t : data.taster) tasters = std::max(tasters, t + 1);
    std::vector<double> shift;
    for (std::int32_t t = 0; t < tasters; ++t) shift.push_back(x.back() * normal_quantile(chance.uniform()));
    std::vector<std::int32_t> out;
    for (std::size_t i = 0; i < data.y.size(); ++i) {
        double eta = (data.taster.empty() ? 0.0 : shift[static_cast<std::size_t>(data.taster[i])]) + (data.offset.empty() ? 0.0 : data.offset[i]);
        for (std::size_t c = 0; c < data.columns; ++c) eta += data.x[i * data.columns + c] * x[ranks - 1 + c];
        const double u = chance.uniform(), at = std::log(u / (1.0 - u)) + eta;   // a logistic draw: its rank is how many thresholds lie below
        std::int32_t rank = 0;
        while (static_cast<std::size_t>(rank) + 1 < ranks && at > x[static_cast<std::size_t>(rank)]) ++rank;
        out.push_back(rank);
    }
    return out;
}

}   // namespace

double cumulative_log_likelihood(const OrderedData& data, std::span<const double> thresholds, std::span<const double> coefficients, double deviation, int points) {
    const CumulativeLikelihood of(data, points);
    std::vector<double> x(thresholds.begin(), thresholds.end());
    x.insert(x.end(), coefficients.begin(), coefficients.end());
    if (of.has_tasters()) x.push_back(deviation);
    return -of(x).value;
}

core::Result<OrderedFit> fit_cumulative_link(const OrderedData& data, int points) {
    const CumulativeLikelihood of(data, points);
    if (const core::Status status = sound(data, of); !status) return status.faults();
    Top top = climb(of);
    OrderedFit fit;
    fit.boundary = of.has_tasters() && top.x.back() == 0.0;
    const std::size_t moving = of.size() - (fit.boundary ? 1 : 0);
    Eigen::MatrixXd curved = information(of, top.x, moving);
    for (int round = 0; round < 4 && largest_of(top.at.gradient) > 1e-9; ++round) {
        const Eigen::VectorXd move = curved.ldlt().solve(Eigen::Map<const Eigen::VectorXd>(top.at.gradient.data(), static_cast<Index>(moving)));
        std::vector<double> x = top.x;
        for (std::size_t i = 0; i < moving; ++i) x[i] -= move(static_cast<Index>(i));
        Slope there = of(x);
        if (!std::isfinite(there.value) || !(largest_of(there.gradient) < largest_of(top.at.gradient))) break;
        top.x = std::move(x);
        top.at = std::move(there);
    }
    fit.least_curvature = Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(curved, Eigen::EigenvaluesOnly).eigenvalues()(0);
    const std::size_t cuts = of.ranks() - 1;
    fit.thresholds.assign(top.x.begin(), top.x.begin() + static_cast<std::ptrdiff_t>(cuts));
    fit.coefficients.assign(top.x.begin() + static_cast<std::ptrdiff_t>(cuts), top.x.begin() + static_cast<std::ptrdiff_t>(cuts + of.columns()));
    if (fit.least_curvature > 0.0) {
        const Eigen::MatrixXd covariance = curved.inverse();
        for (std::size_t i = 0; i < cuts + of.columns(); ++i) fit.errors.push_back(std::sqrt(covariance(static_cast<Index>(i), static_cast<Index>(i))));
    }
    fit.deviation = of.has_tasters() ? std::fabs(top.x.back()) : 0.0;
    fit.log_likelihood = -top.at.value;
    fit.gradient_norm = largest_of(top.at.gradient);
    fit.steps = top.steps;
    fit.converged = fit.gradient_norm < 1e-5 && fit.least_curvature > 1e-6 && !runs_away(of, top.x);
    return fit;
}

core::Result<OrderedTest> test_cumulative_link(const OrderedData& data, std::size_t from, std::size_t many, std::uint64_t seed, int draws) {
    promise(many > 0 && from + many <= data.columns && draws >= 1);
    constexpr int points = 9, enough = 20;   // the same points for all tables: what they leave out is shared
    const CumulativeLikelihood full(data, points);
    if (const core::Status status = sound(data, full); !status) return status.faults();
    const OrderedData less = without_columns(data, from, many);
    const CumulativeLikelihood small(less, points);
    const Top with = climb(full), without = climb(small);
    if (runs_away(full, with.x))
        return fault(ErrorKind::bad_value, "no-top", "all answers to one sample lie at one end of the scale, so that its difference from the others has no bound");
    OrderedTest out{2.0 * std::max(0.0, without.at.value - with.at.value), static_cast<double>(many), 1.0, {}};
    out.p_value = chi_square_upper(out.statistic, out.df);
    // A drawn table may leave ranks unused, and then has fewer thresholds; the likelihoods are built anew for it.
    std::int64_t hits = 0, made = 0;
    while (made < draws && hits < enough) {
        core::PhiloxStream chance(seed, static_cast<std::uint64_t>(made++));
        OrderedData table = data;
        table.y = drawn(less, without.x, small.ranks(), chance);
        OrderedData table_less = less;
        table_less.y = table.y;
        const CumulativeLikelihood of(table, points), of_less(table_less, points);
        if (of.ranks() < 2) continue;   // everybody alike: no difference at all
        const bool all_used = of.ranks() == small.ranks();
        const Top null = climb(of_less, all_used ? without.x : std::vector<double>{}, k_rough);
        std::vector<double> near = null.x;
        near.insert(near.begin() + static_cast<std::ptrdiff_t>(of.ranks() - 1 + from), many, 0.0);
        if (of.has_tasters() && near.back() == 0.0) near.back() = 0.3;   // a start at 0 would never leave it
        const double lost = 2.0 * (null.at.value - climb(of, near, k_rough).at.value);
        if (lost >= out.statistic - 1e-4) ++hits;
    }
    out.bootstrap = hits == enough ? stopped_early_p(hits, made) : monte_carlo_p(hits, made);
    return out;
}

Interval cumulative_interval(const OrderedData& data, const OrderedFit& fit, std::span<const double> c, double confidence) {
    promise(c.size() == data.columns && 0.0 < confidence && confidence < 1.0);
    // The coefficient with the largest weight is what c'b = value leaves to the others.
    std::size_t pivot = 0;
    double value = 0.0;
    for (std::size_t i = 0; i < c.size(); ++i) {
        if (std::fabs(c[i]) > std::fabs(c[pivot])) pivot = i;
        value += c[i] * fit.coefficients[i];
    }
    promise(c[pivot] != 0.0);
    const OrderedData wide = [&] {
        OrderedData moved = data;
        for (std::size_t i = 0; i < data.y.size(); ++i)
            for (std::size_t k = 0; k < c.size(); ++k)
                if (k != pivot) moved.x[i * c.size() + k] -= data.x[i * c.size() + pivot] * c[k] / c[pivot];
        return without_columns(moved, pivot, 1);
    }();
    const double floor = fit.log_likelihood - profile_fall(confidence);
    const auto above = [&](double held) {
        OrderedData at = wide;
        at.offset.assign(data.y.size(), 0.0);
        for (std::size_t i = 0; i < data.y.size(); ++i)
            at.offset[i] = (data.offset.empty() ? 0.0 : data.offset[i]) + data.x[i * c.size() + pivot] * held / c[pivot];
        return -climb(CumulativeLikelihood(at, 15)).at.value - floor;
    };
    const auto limit = [&](double side) {
        double inside = value;
        for (double step = 0.5; std::fabs(inside - value) < 40.0; step *= 2.0) {
            const double outside = inside + side * step;
            if (above(outside) < 0.0) return crossing(above, inside, outside, 1e-6);
            inside = outside;
        }
        return side * std::numeric_limits<double>::infinity();
    };
    return {limit(-1.0), limit(1.0)};
}

}   // namespace oddplate::stats
