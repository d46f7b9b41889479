// The deviance is minimised in theta by its gradient to where its value has no digits left, and over the last ones by Newton's steps on differences
// of the gradient, which also are the curvature reported. A deviation near 0 that the likelihood does not miss is set to 0, and said.
// Tests: tests/unit/stats/linear_mixed.test.cpp

#include "oddplate/stats/linear_mixed.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "descend.hpp"
#include "mixed_system.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

using Products = LinearMixed::Products;
using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;
using Eigen::Index;

Index at(std::size_t i) { return static_cast<Index>(i); }

double freedom(const Products& of, MixedCriterion criterion) {
    return static_cast<double>(criterion == MixedCriterion::restricted ? of.rows - of.fixed : of.rows);
}

Slope deviance_of(const LinearMixed::Height& h, double free) {
    Slope out{h.log_det + free * (1.0 + std::log(2.0 * std::numbers::pi * h.r2 / free)), h.log_det_slope};
    for (std::size_t k = 0; k < out.gradient.size(); ++k) out.gradient[k] += free * h.r2_slope[k] / h.r2;
    if (!(h.r2 > 0.0)) out.value = std::numeric_limits<double>::infinity();
    return out;
}

// An entry of L on its diagonal: a deviation, which has no sign of its own.
bool is_deviation(const ThetaPlace& place) { return place.to == place.from; }

constexpr double k_flat = 1e-8;           // of the deviance's slope in a theta
constexpr double k_value_noise = 1e-12;   // of the deviance itself: nearer to the bottom only its slope knows the way

// Deviations that are 0 for all the data can say are set to 0.
void settle(const Products& of, Valley& found, auto deviance) {
    bool moved = false;
    for (std::size_t k = 0; k < found.x.size(); ++k) {
        if (!is_deviation(of.thetas[k])) continue;
        if (std::fabs(found.x[k]) < 0.05) {
            std::vector<double> without = found.x;
            without[k] = 0.0;
            const Slope there = deviance(without);
            if (there.value <= found.at.value + 1e-7) {
                moved = moved || found.x[k] != 0.0;
                found.x = without;
                found.at = there;
            }
        }
    }
    if (!moved) return;
    Valley again = descend(deviance, found.x, k_flat, k_value_noise);   // the slope at a deviation of 0 is 0, so it stays there
    again.steps += found.steps;
    found = std::move(again);
}

// Second derivatives by central differences of the gradient.
Matrix curvature(const std::vector<double>& x, auto deviance) {
    const Index size = at(x.size());
    Matrix out(size, size);
    for (Index k = 0; k < size; ++k) {
        const double step = 1e-4 * std::max(0.1, std::fabs(x[static_cast<std::size_t>(k)]));
        std::vector<double> above = x, below = x;
        above[static_cast<std::size_t>(k)] += step;
        below[static_cast<std::size_t>(k)] -= step;
        const Slope up = deviance(above), down = deviance(below);
        for (Index i = 0; i < size; ++i) out(i, k) = (up.gradient[static_cast<std::size_t>(i)] - down.gradient[static_cast<std::size_t>(i)]) / (2.0 * step);
    }
    return (out + out.transpose()) / 2.0;
}

// Where theta can move: not along deviations at 0.
std::vector<Index> movable(const Products& of, const std::vector<double>& theta) {
    std::vector<Index> free;
    for (std::size_t k = 0; k < theta.size(); ++k)
        if (!is_deviation(of.thetas[k]) || theta[k] != 0.0) free.push_back(at(k));
    return free;
}

struct Bottom {
    double least_curvature{0.0};
    double fall{0.0};   // what the curvature still promises
};

// Newton's steps over the last digits.
Bottom polish(const std::vector<Index>& free, const Matrix& curved, Valley& found, auto deviance) {
    if (free.empty()) return {};
    const Matrix h = curved(free, free);
    Bottom bottom{Eigen::SelfAdjointEigenSolver<Matrix>(h, Eigen::EigenvaluesOnly).eigenvalues()(0), 0.0};
    const Eigen::LDLT<Matrix> factor(h);
    for (int round = 0; round < 4; ++round) {
        const Vector g = Eigen::Map<const Vector>(found.at.gradient.data(), at(found.at.gradient.size()))(free);
        const Vector move = factor.solve(g);
        bottom.fall = std::fabs(g.dot(move)) / 2.0;
        if (largest_of(found.at.gradient) <= k_flat || !(bottom.least_curvature > 0.0) || round == 3) break;
        std::vector<double> x = found.x;
        for (std::size_t i = 0; i < free.size(); ++i) x[static_cast<std::size_t>(free[i])] -= move(at(i));
        Slope there = deviance(x);
        if (!(largest_of(there.gradient) < largest_of(found.at.gradient))) break;
        found.x = std::move(x);
        found.at = std::move(there);
    }
    return bottom;
}

std::vector<VarianceTerm> variance_terms(const Products& of, const std::vector<double>& theta, double residual, const std::vector<double>& shifts) {
    std::vector<VarianceTerm> terms;
    std::size_t k = 0;
    for (std::size_t g = 0; g < of.groups.size(); ++g) {
        if (of.groups[g].is_slope) {
            const double lean = theta[k], own = theta[k + 1], size = std::hypot(lean, own);
            k += 2;
            VarianceTerm& term = terms.back();
            term.slope_deviation = residual * size;
            if (size > 0.0 && term.deviation > 0.0) term.correlation = std::copysign(1.0, theta[k - 3]) * lean / size;
            term.boundary = term.boundary || own == 0.0;
            continue;
        }
        terms.push_back({of.names[of.groups[g].term], residual * std::fabs(theta[k]), {}, {}, theta[k] == 0.0, {}});
        for (const std::int32_t column : of.groups[g].columns) terms.back().shifts.push_back(shifts[static_cast<std::size_t>(column)]);
        ++k;
    }
    return terms;
}

}   // namespace

LinearMixed::LinearMixed(std::unique_ptr<const Products> products) : m_products(std::move(products)) {}
LinearMixed::~LinearMixed() = default;
LinearMixed::LinearMixed(LinearMixed&&) noexcept = default;
LinearMixed& LinearMixed::operator=(LinearMixed&&) noexcept = default;

core::Result<LinearMixed> LinearMixed::make(const MixedData& data) {
    auto products = mixed_products(data);
    if (!products) return products.faults();
    return LinearMixed(*std::move(products));
}

LinearMixed::Height LinearMixed::height(std::span<const double> theta, MixedCriterion criterion) const {
    promise(theta.size() == m_products->thetas.size());
    MixedSystem system(*m_products, criterion);
    system.go(theta);
    return system.height(true);
}

double LinearMixed::deviance(std::span<const double> theta, MixedCriterion criterion) const {
    return deviance_of(height(theta, criterion), freedom(*m_products, criterion)).value;
}

MixedFit LinearMixed::fit(MixedCriterion criterion) const {
    const Products& of = *m_products;
    MixedSystem system(of, criterion);
    const double free = freedom(of, criterion);
    const auto deviance = [&](const std::vector<double>& theta) {
        system.go(theta);
        return deviance_of(system.height(true), free);
    };
    std::vector<double> start;
    for (const ThetaPlace& place : of.thetas) start.push_back(is_deviation(place) ? 1.0 : 0.0);
    Valley found = descend(deviance, start, k_flat, k_value_noise);
    settle(of, found, deviance);
    const Matrix curved = curvature(found.x, deviance);
    const Bottom bottom = polish(movable(of, found.x), curved, found, deviance);
    system.go(found.x);
    const Height top = system.height(false);
    MixedFit fit;
    fit.criterion = criterion;
    fit.theta = found.x;
    fit.deviance = deviance_of(top, free).value;
    fit.log_likelihood = -fit.deviance / 2.0;
    fit.residual_deviation = std::sqrt(top.r2 / free);
    fit.coefficients = system.coefficients();
    for (std::size_t c = 0; c < of.fixed; ++c) fit.coefficients[c] += of.least_squares[c];
    fit.covariance = system.inverse_information();
    for (double& entry : fit.covariance) entry *= top.r2 / free;
    fit.terms = variance_terms(of, fit.theta, fit.residual_deviation, system.shifts());
    fit.gradient_norm = largest_of(found.at.gradient);
    fit.curvature.assign(curved.data(), curved.data() + curved.size());
    fit.least_curvature = bottom.least_curvature;
    fit.steps = found.steps;
    fit.converged = bottom.fall < 1e-8 && fit.least_curvature >= 0.0;
    return fit;
}

}   // namespace oddplate::stats
