// With H = I + Z L L' Z' the profiled deviance needs log|H| and Schur complements only, and both come from the sparse Cholesky factor of
// A = L'Z'ZL + I (tasters that nothing else connects are blocks of it, and the order of elimination keeps them so). Its slope in an entry
// of L is tr(inv(A) dA) less what the weighted rows explain; for the trace the entries of inv(A) on the factor's pattern are enough.
// Tests: tests/unit/stats/linear_mixed.test.cpp

#include <Eigen/Dense>
#include <Eigen/SparseCholesky>

#include <algorithm>
#include <cmath>

#include "mixed_system.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

using Products = LinearMixed::Products;
using Sparse = Eigen::SparseMatrix<double, Eigen::ColMajor, std::int32_t>;
using Factor = Eigen::SimplicialLLT<Sparse, Eigen::Lower, Eigen::NaturalOrdering<std::int32_t>>;
using Matrix = Eigen::MatrixXd;
using Tall = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;   // a row for each column of Z
using Vector = Eigen::VectorXd;
using Eigen::Index;

Index at(std::size_t i) { return static_cast<Index>(i); }

}   // namespace

struct MixedSystem::Parts {
    Parts(const Products& of, MixedCriterion criterion)
        : m_of(of), m_restricted(criterion == MixedCriterion::restricted), m_p(at(of.fixed)), m_q(at(of.random)),
          m_zz(m_q, m_q, at(of.zz.row.size()), of.zz.start.data(), of.zz.row.data(), of.zz.value.data()),
          m_zx(of.zx.data(), m_q, m_p + 1), m_xx(of.xx.data(), m_p + 1, m_p + 1) {}

    void go(std::span<const double> theta);
    [[nodiscard]] LinearMixed::Height height(bool with_slopes);
    template <class V>
    void by_lambda(const V& v, bool transposed, Tall& out) const;
    void forth(Tall& v) const;   // inv(factor) v
    void back(Tall& v) const;    // inv(factor') v
    [[nodiscard]] Sparse lambda() const;
    void set_inner();
    [[nodiscard]] std::vector<double> trace_slopes() const;
    [[nodiscard]] Vector inverse_on_pattern() const;
    // Sum over the levels of t_to' u_from.
    [[nodiscard]] Matrix across(std::size_t theta) const {
        const auto& to = m_of.groups[m_of.thetas[theta].to].columns;
        const auto& from = m_of.groups[m_of.thetas[theta].from].columns;
        Matrix sum = Matrix::Zero(m_p + 1, m_p + 1);
        for (std::size_t l = 0; l < to.size(); ++l) {
            const double* t = m_t.data() + to[l] * (m_p + 1);
            const double* u = m_u.data() + from[l] * (m_p + 1);
            for (Index c = 0; c <= m_p; ++c)
                for (Index r = 0; r <= m_p; ++r) sum(r, c) += t[r] * u[c];
        }
        return sum;
    }

    const Products& m_of;
    bool m_restricted;
    Index m_p, m_q;
    Eigen::Map<const Sparse> m_zz;
    Eigen::Map<const Tall> m_zx;
    Eigen::Map<const Matrix> m_xx;
    std::vector<double> m_theta;
    Sparse m_inner;      // A, lower triangle
    Factor m_factor;
    bool m_analysed{false};
    Tall m_c;            // inv(factor) L'Z'[X y]
    Tall m_u, m_t;       // of height
    Matrix m_inverse;
    Vector m_b;
    double m_log_det{0.0}, m_r2{0.0};
};

// Lambda v, or Lambda' v.
template <class V>
void MixedSystem::Parts::by_lambda(const V& v, bool transposed, Tall& out) const {
    if (!m_of.has_slope) {
        out.resize(v.rows(), v.cols());
        const double* from = v.data();
        double* to = out.data();
        for (Index j = 0; j < m_q; ++j) {
            const double by = m_theta[static_cast<std::size_t>(m_of.group_of[static_cast<std::size_t>(j)])];
            for (Index c = 0; c < v.cols(); ++c) *to++ = by * *from++;
        }
        return;
    }
    out.setZero(v.rows(), v.cols());
    for (std::size_t k = 0; k < m_of.thetas.size(); ++k) {
        const auto& to = m_of.groups[m_of.thetas[k].to].columns;
        const auto& from = m_of.groups[m_of.thetas[k].from].columns;
        for (std::size_t l = 0; l < to.size(); ++l) {
            const Index into = transposed ? from[l] : to[l], out_of = transposed ? to[l] : from[l];
            out.row(into) += m_theta[k] * v.row(out_of);
        }
    }
}

// Both walk the factor once for all columns of v; the library's walk it once a column.
void MixedSystem::Parts::forth(Tall& v) const {
    const auto& l = m_factor.matrixL().nestedExpression();
    const Index width = v.cols();
    for (Index j = 0; j < m_q; ++j) {
        const auto first = l.outerIndexPtr()[j];
        double* mine = v.data() + j * width;
        for (Index c = 0; c < width; ++c) mine[c] /= l.valuePtr()[first];
        for (auto e = first + 1; e < l.outerIndexPtr()[j + 1]; ++e) {
            double* other = v.data() + l.innerIndexPtr()[e] * width;
            for (Index c = 0; c < width; ++c) other[c] -= l.valuePtr()[e] * mine[c];
        }
    }
}

void MixedSystem::Parts::back(Tall& v) const {
    const auto& l = m_factor.matrixL().nestedExpression();
    const Index width = v.cols();
    for (Index j = m_q - 1; j >= 0; --j) {
        const auto first = l.outerIndexPtr()[j];
        double* mine = v.data() + j * width;
        for (auto e = first + 1; e < l.outerIndexPtr()[j + 1]; ++e) {
            const double* other = v.data() + l.innerIndexPtr()[e] * width;
            for (Index c = 0; c < width; ++c) mine[c] -= l.valuePtr()[e] * other[c];
        }
        for (Index c = 0; c < width; ++c) mine[c] /= l.valuePtr()[first];
    }
}

Sparse MixedSystem::Parts::lambda() const {
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

void MixedSystem::Parts::set_inner() {
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

void MixedSystem::Parts::go(std::span<const double> theta) {
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
        by_lambda(m_zx, true, m_c);
        forth(m_c);
        schur -= m_c.transpose() * m_c;
    }
    const Eigen::LLT<Matrix> information(Matrix(schur.topLeftCorner(m_p, m_p)));
    m_inverse = information.solve(Matrix::Identity(m_p, m_p));
    m_b = information.solve(schur.topRightCorner(m_p, 1));
    m_r2 = schur(m_p, m_p) - schur.topRightCorner(m_p, 1).col(0).dot(m_b);
    if (m_restricted) m_log_det += 2.0 * Matrix(information.matrixL()).diagonal().array().log().sum();
}

// Entries of inv(A) where the factor has entries, in the factor's order.
Vector MixedSystem::Parts::inverse_on_pattern() const {
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
std::vector<double> MixedSystem::Parts::trace_slopes() const {
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

LinearMixed::Height MixedSystem::Parts::height(bool with_slopes) {
    LinearMixed::Height out{m_log_det, m_r2, {}, {}};
    if (!with_slopes || m_q == 0) return out;
    back(m_u = m_c);                     // inv(A) L'Z'[X y]
    by_lambda(m_u, false, m_t);
    m_t = (m_zx - m_zz * m_t).eval();    // Z' inv(H) [X y]
    m_u.col(m_p) -= m_u.leftCols(m_p) * m_b;
    m_t.col(m_p) -= m_t.leftCols(m_p) * m_b;
    out.log_det_slope = trace_slopes();
    for (std::size_t k = 0; k < m_of.thetas.size(); ++k) {
        const Matrix products = across(k);
        out.r2_slope.push_back(-2.0 * products(m_p, m_p));
        if (m_restricted) out.log_det_slope[k] -= 2.0 * products.topLeftCorner(m_p, m_p).cwiseProduct(m_inverse).sum();
    }
    return out;
}

MixedSystem::MixedSystem(const Products& of, MixedCriterion criterion) : m_parts(std::make_unique<Parts>(of, criterion)) {}
MixedSystem::~MixedSystem() = default;
void MixedSystem::go(std::span<const double> theta) { m_parts->go(theta); }
LinearMixed::Height MixedSystem::height(bool with_slopes) { return m_parts->height(with_slopes); }

std::vector<double> MixedSystem::inverse_information() const {
    const Matrix& inverse = m_parts->m_inverse;
    return {inverse.data(), inverse.data() + inverse.size()};
}

std::vector<double> MixedSystem::coefficients() const { return {m_parts->m_b.data(), m_parts->m_b.data() + m_parts->m_p}; }

std::vector<double> MixedSystem::shifts() {
    Parts& parts = *m_parts;
    if (parts.m_q == 0) return {};
    parts.back(parts.m_u = parts.m_c);
    parts.by_lambda(parts.m_u, false, parts.m_t);
    const Vector shifts = parts.m_t.col(parts.m_p) - parts.m_t.leftCols(parts.m_p) * parts.m_b;
    return {shifts.data(), shifts.data() + shifts.size()};
}

}   // namespace oddplate::stats
