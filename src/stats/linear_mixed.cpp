// With H = I + Z L L' Z' the profiled deviance needs log|H| and Schur complements only, and both come from the sparse Cholesky factor of
// A = L'Z'ZL + I (tasters that nothing else connects are blocks of it, and the order of elimination keeps them so). Its slope in an entry
// of L is tr(inv(A) dA) less what the weighted rows explain; for the trace the entries of inv(A) on the factor's pattern are enough.
// Tests: tests/unit/stats/linear_mixed.test.cpp

#include "oddplate/stats/linear_mixed.hpp"

#include <Eigen/Dense>
#include <Eigen/SparseCholesky>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "descend.hpp"
#include "mixed_products.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

using Products = LinearMixed::Products;
using Sparse = Eigen::SparseMatrix<double, Eigen::ColMajor, std::int32_t>;
using Factor = Eigen::SimplicialLLT<Sparse, Eigen::Lower, Eigen::NaturalOrdering<std::int32_t>>;
using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;
using Eigen::Index;

Index at(std::size_t i) { return static_cast<Index>(i); }

/// One theta's factor and what follows from it. Made for one caller and one likelihood; the factor's pattern is kept from theta to theta.
class System {
public:
    System(const Products& of, MixedCriterion criterion)
        : m_of(of), m_restricted(criterion == MixedCriterion::restricted), m_p(at(of.fixed)), m_q(at(of.random)),
          m_zz(m_q, m_q, at(of.zz.row.size()), of.zz.start.data(), of.zz.row.data(), of.zz.value.data()),
          m_zx(of.zx.data(), m_q, m_p + 1), m_xx(of.xx.data(), m_p + 1, m_p + 1) {}

    void go(std::span<const double> theta);
    [[nodiscard]] LinearMixed::Height height(bool with_slopes) const;
    [[nodiscard]] const Matrix& inverse_information() const { return m_inverse; }   // inv(X' inv(H) X)
    [[nodiscard]] const Vector& coefficients() const { return m_b; }
    /// L'u: the levels' shifts, by column of Z.
    [[nodiscard]] Vector shifts() const {
        const Matrix u = m_factor.matrixU().solve(m_c);
        return by_lambda(u.col(m_p) - u.leftCols(m_p) * m_b);
    }

private:
    // Lambda v, group by group; Lambda' v with `transposed`.
    [[nodiscard]] Matrix by_lambda(const Matrix& v, bool transposed = false) const {
        Matrix out = Matrix::Zero(v.rows(), v.cols());
        for (std::size_t k = 0; k < m_of.thetas.size(); ++k) {
            if (m_theta[k] == 0.0) continue;
            const auto& to = m_of.groups[m_of.thetas[k].to].columns;
            const auto& from = m_of.groups[m_of.thetas[k].from].columns;
            for (std::size_t l = 0; l < to.size(); ++l) {
                const Index into = transposed ? from[l] : to[l], out_of = transposed ? to[l] : from[l];
                out.row(into) += m_theta[k] * v.row(out_of);
            }
        }
        return out;
    }
    [[nodiscard]] Sparse lambda() const;
    void set_inner();
    [[nodiscard]] std::vector<double> trace_slopes() const;
    [[nodiscard]] Vector inverse_on_pattern() const;
    // Sum over the levels of v_to w_from.
    [[nodiscard]] double across(std::size_t theta, const auto& v, const auto& w) const {
        const auto& to = m_of.groups[m_of.thetas[theta].to].columns;
        const auto& from = m_of.groups[m_of.thetas[theta].from].columns;
        double sum = 0.0;
        for (std::size_t l = 0; l < to.size(); ++l) sum += v(to[l]) * w(from[l]);
        return sum;
    }

    const Products& m_of;
    bool m_restricted;
    Index m_p, m_q;
    Eigen::Map<const Sparse> m_zz;
    Eigen::Map<const Matrix> m_zx, m_xx;
    std::vector<double> m_theta;
    Sparse m_inner;      // A, lower triangle
    Factor m_factor;
    bool m_analysed{false};
    Matrix m_c;          // inv(factor) L'Z'[X y]
    Matrix m_inverse;
    Vector m_b;
    double m_log_det{0.0}, m_r2{0.0};
};

Sparse System::lambda() const {
    std::vector<Eigen::Triplet<double, std::int32_t>> entries;
    for (std::size_t k = 0; k < m_of.thetas.size(); ++k) {
        const auto& to = m_of.groups[m_of.thetas[k].to].columns;
        const auto& from = m_of.groups[m_of.thetas[k].from].columns;
        for (std::size_t l = 0; l < to.size(); ++l) entries.emplace_back(to[l], from[l], m_theta[k]);
    }
    Sparse made(m_q, m_q);
    made.setFromTriplets(entries.begin(), entries.end());
    return made;
}

void System::set_inner() {
    if (m_of.has_slope) {
        const Sparse l = lambda();
        m_inner = Sparse(Sparse(l.transpose()) * m_zz * l).triangularView<Eigen::Lower>();
    } else {   // one deviation a group: Z'Z scaled from both sides
        if (!m_analysed) m_inner = m_zz.triangularView<Eigen::Lower>();
        std::size_t k = 0;
        for (Index j = 0; j < m_q; ++j) {
            const double mine = m_theta[static_cast<std::size_t>(m_of.group_of[static_cast<std::size_t>(j)])];
            const auto* row = m_of.zz.row.data();
            for (auto e = m_of.zz.start[static_cast<std::size_t>(j)]; e < m_of.zz.start[static_cast<std::size_t>(j) + 1]; ++e)
                if (row[e] >= j)
                    m_inner.valuePtr()[k++] = mine * m_theta[static_cast<std::size_t>(m_of.group_of[static_cast<std::size_t>(row[e])])] * m_of.zz.value[static_cast<std::size_t>(e)];
        }
        promise(static_cast<Index>(k) == m_inner.nonZeros());
    }
    for (Index j = 0; j < m_q; ++j) m_inner.valuePtr()[m_inner.outerIndexPtr()[j]] += 1.0;   // the diagonal comes first
}

void System::go(std::span<const double> theta) {
    m_theta.assign(theta.begin(), theta.end());
    m_log_det = 0.0;
    Matrix schur = m_xx;
    if (m_q > 0) {
        set_inner();
        if (!m_analysed) m_factor.analyzePattern(m_inner);
        m_analysed = true;
        m_factor.factorize(m_inner);
        promise(m_factor.info() == Eigen::Success);   // A - I is a square
        const auto& l = m_factor.matrixL().nestedExpression();
        for (Index j = 0; j < m_q; ++j) m_log_det += 2.0 * std::log(l.valuePtr()[l.outerIndexPtr()[j]]);
        m_c = m_factor.matrixL().solve(by_lambda(m_zx, true));
        schur -= m_c.transpose() * m_c;
    }
    const Eigen::LLT<Matrix> information(Matrix(schur.topLeftCorner(m_p, m_p)));
    m_inverse = information.solve(Matrix::Identity(m_p, m_p));
    m_b = information.solve(schur.topRightCorner(m_p, 1));
    m_r2 = schur(m_p, m_p) - schur.topRightCorner(m_p, 1).col(0).dot(m_b);
    if (m_restricted) m_log_det += 2.0 * Matrix(information.matrixL()).diagonal().array().log().sum();
}

// Entries of inv(A) where the factor has entries, in the factor's order.
Vector System::inverse_on_pattern() const {
    const auto& l = m_factor.matrixL().nestedExpression();
    const auto* start = l.outerIndexPtr();
    const auto* row = l.innerIndexPtr();
    const double* value = l.valuePtr();
    Vector s(start[m_q]);
    std::vector<std::int32_t> place(static_cast<std::size_t>(m_q), -1);
    for (Index j = m_q - 1; j >= 0; --j) {
        const auto first = start[j], end = start[j + 1];
        for (auto e = first; e < end; ++e) {
            s(e) = 0.0;
            place[static_cast<std::size_t>(row[e])] = e;
        }
        for (auto e = first + 1; e < end; ++e) {
            const auto k = row[e];
            s(e) += value[e] * s(start[k]);
            for (auto f = start[k] + 1; f < start[k + 1]; ++f) {
                const auto other = place[static_cast<std::size_t>(row[f])];
                if (other < 0) continue;
                s(other) += value[e] * s(f);
                s(e) += value[other] * s(f);
            }
        }
        double own = 1.0 / value[first];
        for (auto e = first + 1; e < end; ++e) {
            s(e) /= -value[first];
            own -= value[e] * s(e);
        }
        s(first) = own / value[first];
        for (auto e = first; e < end; ++e) place[static_cast<std::size_t>(row[e])] = -1;
    }
    return s;
}

// tr(inv(A) dA/dtheta), theta by theta.
std::vector<double> System::trace_slopes() const {
    const Vector s = inverse_on_pattern();
    const auto& l = m_factor.matrixL().nestedExpression();
    std::vector<double> slopes(m_of.thetas.size(), 0.0);
    std::vector<std::int32_t> place(static_cast<std::size_t>(m_q));
    const auto sum = [&](const auto& matrix, auto weigh) {   // over the lower triangle, off-diagonal entries twice
        for (Index j = 0; j < m_q; ++j) {
            for (auto e = l.outerIndexPtr()[j]; e < l.outerIndexPtr()[j + 1]; ++e) place[static_cast<std::size_t>(l.innerIndexPtr()[e])] = e;
            for (auto e = matrix.outerIndexPtr()[j]; e < matrix.outerIndexPtr()[j + 1]; ++e) {
                const Index i = matrix.innerIndexPtr()[e];
                if (i >= j) weigh(i, j, (i == j ? 1.0 : 2.0) * s(place[static_cast<std::size_t>(i)]) * matrix.valuePtr()[e]);
            }
        }
    };
    if (!m_of.has_slope) {
        sum(m_zz, [&](Index i, Index j, double weight) {
            const auto a = static_cast<std::size_t>(m_of.group_of[static_cast<std::size_t>(i)]), b = static_cast<std::size_t>(m_of.group_of[static_cast<std::size_t>(j)]);
            slopes[a] += weight * m_theta[b];
            slopes[b] += weight * m_theta[a];
        });
        return slopes;
    }
    const Sparse half = m_zz * lambda();
    for (std::size_t k = 0; k < slopes.size(); ++k) {
        const auto& to = m_of.groups[m_of.thetas[k].to].columns;
        const auto& from = m_of.groups[m_of.thetas[k].from].columns;
        Sparse unit(m_q, m_q);
        std::vector<Eigen::Triplet<double, std::int32_t>> entries;
        for (std::size_t i = 0; i < to.size(); ++i) entries.emplace_back(to[i], from[i], 1.0);
        unit.setFromTriplets(entries.begin(), entries.end());
        const Sparse part = Sparse(unit.transpose()) * half;
        sum(Sparse(part + Sparse(part.transpose())), [&](Index, Index, double weight) { slopes[k] += weight; });
    }
    return slopes;
}

LinearMixed::Height System::height(bool with_slopes) const {
    LinearMixed::Height out{m_log_det, m_r2, {}, {}};
    if (!with_slopes || m_q == 0) return out;
    const Matrix u = m_factor.matrixU().solve(m_c);              // inv(A) L'Z'[X y]
    const Matrix t = m_zx - m_zz * by_lambda(u);                 // Z' inv(H) [X y]
    const Vector u_left = u.col(m_p) - u.leftCols(m_p) * m_b, t_left = t.col(m_p) - t.leftCols(m_p) * m_b;
    const Matrix u_weighted = u.leftCols(m_p) * m_inverse;
    out.log_det_slope = trace_slopes();
    for (std::size_t k = 0; k < m_of.thetas.size(); ++k) {
        if (m_restricted)
            for (Index c = 0; c < m_p; ++c) out.log_det_slope[k] -= 2.0 * across(k, t.col(c), u_weighted.col(c));
        out.r2_slope.push_back(-2.0 * across(k, t_left, u_left));
    }
    return out;
}

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

// A gradient that is 0 to what rounding leaves of it.
double flat_for(double free) { return 1e-8 + 1e-11 * free; }

// Deviations that are 0 for all the data can say are set to 0.
void settle(const Products& of, Valley& found, auto deviance, double flat) {
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
    Valley again = descend(deviance, found.x, flat);   // the slope at a deviation of 0 is 0, so it stays there
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

// Curvature is judged where theta can move: not along deviations at 0.
double least_curvature(const Matrix& curved, const Products& of, const std::vector<double>& theta) {
    std::vector<Index> free;
    for (std::size_t k = 0; k < theta.size(); ++k)
        if (!is_deviation(of.thetas[k]) || theta[k] != 0.0) free.push_back(at(k));
    if (free.empty()) return 0.0;
    return Eigen::SelfAdjointEigenSolver<Matrix>(curved(free, free), Eigen::EigenvaluesOnly).eigenvalues()(0);
}

std::vector<VarianceTerm> variance_terms(const Products& of, const std::vector<double>& theta, double residual, const Vector& shifts) {
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
        for (const std::int32_t column : of.groups[g].columns) terms.back().shifts.push_back(shifts(column));
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
    System system(*m_products, criterion);
    system.go(theta);
    return system.height(true);
}

double LinearMixed::deviance(std::span<const double> theta, MixedCriterion criterion) const {
    return deviance_of(height(theta, criterion), freedom(*m_products, criterion)).value;
}

MixedFit LinearMixed::fit(MixedCriterion criterion) const {
    const Products& of = *m_products;
    System system(of, criterion);
    const double free = freedom(of, criterion);
    const auto deviance = [&](const std::vector<double>& theta) {
        system.go(theta);
        return deviance_of(system.height(true), free);
    };
    std::vector<double> start;
    for (const ThetaPlace& place : of.thetas) start.push_back(is_deviation(place) ? 1.0 : 0.0);
    Valley found = descend(deviance, start, flat_for(free));
    settle(of, found, deviance, flat_for(free));
    const Matrix curved = curvature(found.x, deviance);
    system.go(found.x);
    const Height top = system.height(false);
    const auto p = at(of.fixed);
    MixedFit fit;
    fit.criterion = criterion;
    fit.theta = found.x;
    fit.deviance = deviance_of(top, free).value;
    fit.log_likelihood = -fit.deviance / 2.0;
    fit.residual_deviation = std::sqrt(top.r2 / free);
    const Vector b = Eigen::Map<const Vector>(of.least_squares.data(), p) + system.coefficients();
    const Matrix covariance = top.r2 / free * system.inverse_information();
    fit.coefficients.assign(b.data(), b.data() + p);
    fit.covariance.assign(covariance.data(), covariance.data() + p * p);
    fit.terms = variance_terms(of, fit.theta, fit.residual_deviation, of.random > 0 ? system.shifts() : Vector{});
    fit.gradient_norm = largest_of(found.at.gradient);
    fit.curvature.assign(curved.data(), curved.data() + curved.size());
    fit.least_curvature = least_curvature(curved, of, fit.theta);
    fit.steps = found.steps;
    fit.converged = fit.gradient_norm < 1e-4 && fit.least_curvature >= 0.0;
    return fit;
}

}   // namespace oddplate::stats
