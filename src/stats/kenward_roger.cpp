// V is linear in the variances. Its derivatives may be taken along any basis of the same space, and one that holds V itself beside the random terms'
// Z Z' spares every product of whole rows: inv(V) V is the identity. Along V itself nothing needs correcting, so only the random terms' directions
// enter the covariance. Tests: tests/unit/stats/kenward_roger.test.cpp

#include "oddplate/stats/kenward_roger.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <limits>

#include "mixed_system.hpp"
#include "oddplate/stats/promise.hpp"
#include "oddplate/stats/test_laws.hpp"
#include "variance_information.hpp"

namespace oddplate::stats {
namespace {

using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;
using Eigen::Index;

Matrix square(const std::vector<double>& values) {
    const auto size = static_cast<Index>(std::lround(std::sqrt(static_cast<double>(values.size()))));
    return Eigen::Map<const Matrix>(values.data(), size, size);
}

std::vector<double> plain(const Matrix& m) { return {m.data(), m.data() + m.size()}; }

}   // namespace

struct FixedInference::Parts {
    FreedomKind kind{FreedomKind::kenward_roger};
    Vector b;
    Matrix fitted;                    // covariance of b as fitted
    Matrix used;                      // corrected
    std::vector<double> used_plain;
    // Kenward-Roger: derivatives of X' inv(V) X along the basis, and the covariance of its coefficients.
    std::vector<Matrix> p;
    Matrix w;
    // Satterthwaite: derivatives of inv(X' inv(H) X) and of log r2 in theta, and theta's covariance.
    std::vector<Matrix> by_theta;
    Vector r2_by_theta;
    Matrix theta_covariance;
    double free{0.0};
    double residual{0.0};             // variance

    bool set_kenward_roger(const LinearMixed::Products& of, const MixedFit& fit);
    void set_satterthwaite(const LinearMixed::Products& of, const MixedFit& fit);
    [[nodiscard]] double satterthwaite(const Vector& c) const;
    [[nodiscard]] OverallTest kenward_roger(const Matrix& l, double wald) const;
    [[nodiscard]] OverallTest fai_cornelius(const Matrix& l, double wald) const;
};

bool FixedInference::Parts::set_kenward_roger(const LinearMixed::Products& of, const MixedFit& fit) {
    const auto moments = variance_moments(of, fit.theta);
    if (!moments) return false;
    const std::size_t groups = moments->groups;
    const auto size = static_cast<Index>(groups) + 1;
    const double s2 = fit.residual_deviation * fit.residual_deviation;
    const Matrix information = s2 * fitted.inverse();   // X' inv(H) X
    p.assign(1, -information / s2);
    for (std::size_t i = 0; i < groups; ++i) p.push_back(-square(moments->once[i]) / (s2 * s2));
    Matrix expected(size, size);   // twice the information about the basis' coefficients
    std::vector<Matrix> beyond;    // Q_ij - P_i Phi P_j of the random terms
    for (Index i = 0; i < size; ++i)
        for (Index j = 0; j < size; ++j) {
            const auto a = static_cast<std::size_t>(i), b_ = static_cast<std::size_t>(j);
            Matrix q = -p[std::max(a, b_)];   // along V
            double trace = static_cast<double>(of.rows);
            if (i > 0 && j > 0) {
                q = square(moments->twice[(a - 1) * groups + b_ - 1]) / (s2 * s2 * s2);
                trace = moments->square[(a - 1) * groups + b_ - 1] / (s2 * s2);
            } else if (i + j > 0) {
                trace = moments->trace[std::max(a, b_) - 1] / s2;
            }
            const Matrix pp = p[a] * fitted * p[b_];
            expected(i, j) = trace - 2.0 * (fitted * q).trace() + (fitted * pp).trace();
            if (i > 0 && j > 0) beyond.push_back(q - pp);
        }
    expected = (expected + expected.transpose()).eval() / 2.0;
    const Vector scale = expected.diagonal().array().sqrt().inverse();
    if (!scale.allFinite()) return false;
    const Matrix scaled = scale.asDiagonal() * expected * scale.asDiagonal();
    if (Eigen::SelfAdjointEigenSolver<Matrix>(scaled, Eigen::EigenvaluesOnly).eigenvalues()(0) < 1e-10) return false;
    w = 2.0 * Matrix(scale.asDiagonal() * scaled.inverse() * scale.asDiagonal());
    Matrix sum = Matrix::Zero(fitted.rows(), fitted.cols());
    for (Index i = 1; i < size; ++i)
        for (Index j = 1; j < size; ++j) sum += w(i, j) * beyond[static_cast<std::size_t>((i - 1) * (size - 1) + j - 1)];
    used = fitted + fitted * (sum + sum.transpose()) * fitted;
    return true;
}

void FixedInference::Parts::set_satterthwaite(const LinearMixed::Products& of, const MixedFit& fit) {
    free = static_cast<double>(of.rows - of.fixed);
    residual = fit.residual_deviation * fit.residual_deviation;
    used = fitted;
    std::vector<Index> moving;
    for (std::size_t k = 0; k < fit.theta.size(); ++k)
        if (fit.theta[k] != 0.0 || of.thetas[k].to != of.thetas[k].from) moving.push_back(static_cast<Index>(k));
    const auto many = static_cast<Index>(moving.size());
    theta_covariance = Matrix::Zero(many, many);
    r2_by_theta = Vector::Zero(many);
    if (many == 0) return;
    theta_covariance = 2.0 * Matrix(square(fit.curvature)(moving, moving)).inverse();
    MixedSystem system(of, MixedCriterion::restricted);
    for (Index k = 0; k < many; ++k) {
        const auto at = static_cast<std::size_t>(moving[static_cast<std::size_t>(k)]);
        const double step = 1e-4 * std::max(0.1, std::fabs(fit.theta[at]));
        std::vector<double> above = fit.theta, below = fit.theta;
        above[at] += step;
        below[at] -= step;
        system.go(above);
        const Matrix up = square(system.inverse_information());
        const double r2_up = system.height(false).r2;
        system.go(below);
        by_theta.push_back((up - square(system.inverse_information())) / (2.0 * step));
        r2_by_theta(k) = (std::log(r2_up) - std::log(system.height(false).r2)) / (2.0 * step);
    }
}

// 2 / Var(log c'Phi c), with the residual variance profiled: log r2(theta)/free + log c' inv(X' inv(H) X) c.
double FixedInference::Parts::satterthwaite(const Vector& c) const {
    const double s2_times = c.dot(fitted * c);
    Vector slope = r2_by_theta;
    for (std::size_t k = 0; k < by_theta.size(); ++k) slope(static_cast<Index>(k)) += residual * c.dot(by_theta[k] * c) / s2_times;
    return 2.0 / (2.0 / free + slope.dot(theta_covariance * slope));
}

OverallTest FixedInference::Parts::kenward_roger(const Matrix& l, double wald) const {
    const auto q = static_cast<double>(l.cols());
    const Matrix lens = l * (l.transpose() * fitted * l).ldlt().solve(l.transpose());   // Theta
    double a1 = 0.0, a2 = 0.0;
    std::vector<Matrix> parts;
    for (const Matrix& along : p) parts.push_back(lens * fitted * along * fitted);
    for (std::size_t i = 0; i < p.size(); ++i)
        for (std::size_t j = 0; j < p.size(); ++j) {
            const double weight = w(static_cast<Index>(i), static_cast<Index>(j));
            a1 += weight * parts[i].trace() * parts[j].trace();
            a2 += weight * (parts[i] * parts[j]).trace();
        }
    OverallTest out{wald / q, q, 2.0 * q / a2, 1.0};   // one contrast: the moments match without scaling, and df = 2 / A2
    if (l.cols() > 1) {
        const double b_ = (a1 + 6.0 * a2) / (2.0 * q), g = ((q + 1.0) * a1 - (q + 4.0) * a2) / ((q + 2.0) * a2);
        const double base = 3.0 * q + 2.0 * (1.0 - g), c1 = g / base, c2 = (q - g) / base, c3 = (q + 2.0 - g) / base;
        const double mean = 1.0 / (1.0 - a2 / q);
        const double spread = 2.0 / q * (1.0 + c1 * b_) / ((1.0 - c2 * b_) * (1.0 - c2 * b_) * (1.0 - c3 * b_));
        const double rho = spread / (2.0 * mean * mean);
        const double df = 4.0 + (q + 2.0) / (q * rho - 1.0);
        // With very few tasters the moments do not exist; the plain match of A2 stays.
        if (a2 < q && df > 2.0 && std::isfinite(df)) {
            out.df2 = df;
            out.f *= df / (mean * (df - 2.0));
        }
    }
    out.p_value = f_upper(out.f, out.df1, out.df2);
    return out;
}

OverallTest FixedInference::Parts::fai_cornelius(const Matrix& l, double wald) const {
    const auto q = static_cast<double>(l.cols());
    const Eigen::SelfAdjointEigenSolver<Matrix> axes(Matrix(l.transpose() * fitted * l));
    double sum = 0.0, least = std::numeric_limits<double>::infinity();
    for (Index k = 0; k < l.cols(); ++k) {
        const double df = satterthwaite(l * axes.eigenvectors().col(k));
        least = std::min(least, df);
        if (df > 2.0) sum += df / (df - 2.0);
    }
    OverallTest out{wald / q, q, least, 1.0};
    if (l.cols() > 1 && sum > q && least > 2.0) out.df2 = 2.0 * sum / (sum - q);
    out.p_value = f_upper(out.f, out.df1, out.df2);
    return out;
}

FixedInference::FixedInference(const LinearMixed& model, const MixedFit& fit, FreedomKind kind) {
    promise(fit.criterion == MixedCriterion::restricted && fit.coefficients.size() == model.products().fixed);
    auto parts = std::make_unique<Parts>();
    parts->b = Eigen::Map<const Vector>(fit.coefficients.data(), static_cast<Index>(fit.coefficients.size()));
    parts->fitted = square(fit.covariance);
    parts->kind = kind;
    if (kind == FreedomKind::kenward_roger && !parts->set_kenward_roger(model.products(), fit)) parts->kind = FreedomKind::satterthwaite;
    if (parts->kind == FreedomKind::satterthwaite) parts->set_satterthwaite(model.products(), fit);
    parts->used_plain = plain(parts->used);
    m_parts = std::move(parts);
}
FixedInference::~FixedInference() = default;
FixedInference::FixedInference(FixedInference&&) noexcept = default;

FreedomKind FixedInference::kind() const noexcept { return m_parts->kind; }
const std::vector<double>& FixedInference::covariance() const noexcept { return m_parts->used_plain; }

ContrastTest FixedInference::contrast(std::span<const double> weights) const {
    promise(static_cast<Index>(weights.size()) == m_parts->b.size());
    const Vector c = Eigen::Map<const Vector>(weights.data(), m_parts->b.size());
    ContrastTest out{c.dot(m_parts->b), std::sqrt(c.dot(m_parts->used * c)), 0.0, 0.0, 1.0};
    out.t = out.estimate / out.standard_error;
    out.df = m_parts->kind == FreedomKind::satterthwaite ? m_parts->satterthwaite(c) : m_parts->kenward_roger(c, 0.0).df2;
    out.p_value = student_two_sided(out.t, out.df);
    return out;
}

OverallTest FixedInference::overall(std::span<const double> contrasts) const {
    const Index p = m_parts->b.size();
    promise(!contrasts.empty() && static_cast<Index>(contrasts.size()) % p == 0);
    const Matrix all = Eigen::Map<const Matrix>(contrasts.data(), p, static_cast<Index>(contrasts.size()) / p);
    Eigen::ColPivHouseholderQR<Matrix> pivots(all);
    pivots.setThreshold(1e-9);
    Matrix l(p, pivots.rank());
    for (Index k = 0; k < l.cols(); ++k) l.col(k) = all.col(pivots.colsPermutation().indices()(k));
    const Vector value = l.transpose() * m_parts->b;
    const double wald = value.dot(Matrix(l.transpose() * m_parts->used * l).ldlt().solve(value));
    return m_parts->kind == FreedomKind::satterthwaite ? m_parts->fai_cornelius(l, wald) : m_parts->kenward_roger(l, wald);
}

}   // namespace oddplate::stats
