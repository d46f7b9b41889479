// Levels that no row joins, directly or through others, have nothing between them: G falls into blocks, one a taster where tasters are all there is.
// A block's columns of G = W - W L inv(A) L W, with A = L W L + I and W = Z'Z, are made a few at a time and summed up at once.
// Tests: tests/unit/stats/kenward_roger.test.cpp

#include "variance_information.hpp"

#include <Eigen/Dense>
#include <Eigen/SparseCholesky>

#include <numeric>

namespace oddplate::stats {
namespace {

using Products = LinearMixed::Products;
using Sparse = Eigen::SparseMatrix<double, Eigen::ColMajor, std::int32_t>;
using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;
using Eigen::Index;

constexpr double k_most_pairs = 4e9;
constexpr Index k_at_once = 64;

// Columns of Z by connected part, rising within each.
std::vector<std::vector<std::int32_t>> connected(const SparseSquare& w) {
    const std::size_t size = w.start.size() - 1;
    std::vector<std::int32_t> head(size);
    std::iota(head.begin(), head.end(), 0);
    const auto find = [&](std::int32_t i) {
        while (head[static_cast<std::size_t>(i)] != i) i = head[static_cast<std::size_t>(i)] = head[static_cast<std::size_t>(head[static_cast<std::size_t>(i)])];
        return i;
    };
    for (std::size_t j = 0; j < size; ++j)
        for (std::int32_t e = w.start[j]; e < w.start[j + 1]; ++e) head[static_cast<std::size_t>(find(w.row[static_cast<std::size_t>(e)]))] = find(static_cast<std::int32_t>(j));
    std::vector<std::vector<std::int32_t>> parts;
    std::vector<std::int32_t> part_of(size, -1);
    for (std::size_t j = 0; j < size; ++j) {
        std::int32_t& part = part_of[static_cast<std::size_t>(find(static_cast<std::int32_t>(j)))];
        if (part < 0) {
            part = static_cast<std::int32_t>(parts.size());
            parts.emplace_back();
        }
        parts[static_cast<std::size_t>(part)].push_back(static_cast<std::int32_t>(j));
    }
    return parts;
}

class Sums {
public:
    Sums(const Products& of, const std::vector<double>& theta) : m_of(of), m_theta(theta), m_place(of.random), m_p(static_cast<Index>(of.fixed)) {
        const std::size_t g = of.groups.size();
        m_out = {g, std::vector<double>(g, 0.0), std::vector<double>(g * g, 0.0), {}, {}};
        m_once.assign(g, Matrix::Zero(m_p, m_p));
        m_twice.assign(g * g, Matrix::Zero(m_p, m_p));
    }
    void add(const std::vector<std::int32_t>& columns);
    [[nodiscard]] VarianceMoments result() {
        for (const Matrix& sum : m_once) m_out.once.emplace_back(sum.data(), sum.data() + sum.size());
        for (const Matrix& sum : m_twice) m_out.twice.emplace_back(sum.data(), sum.data() + sum.size());
        return m_out;
    }

private:
    [[nodiscard]] std::size_t group(std::int32_t column) const { return static_cast<std::size_t>(m_of.group_of[static_cast<std::size_t>(column)]); }

    const Products& m_of;
    const std::vector<double>& m_theta;
    std::vector<std::int32_t> m_place;   // of a column of Z within the part at hand
    Index m_p;
    VarianceMoments m_out;
    std::vector<Matrix> m_once, m_twice;
};

void Sums::add(const std::vector<std::int32_t>& columns) {
    const auto size = static_cast<Index>(columns.size());
    for (Index i = 0; i < size; ++i) m_place[static_cast<std::size_t>(columns[static_cast<std::size_t>(i)])] = static_cast<std::int32_t>(i);
    Vector scale(size);
    Matrix zx(size, m_p);
    Sparse w(size, size);
    w.reserve(Eigen::VectorXi::Constant(size, 4));
    for (Index j = 0; j < size; ++j) {
        const auto column = static_cast<std::size_t>(columns[static_cast<std::size_t>(j)]);
        scale(j) = m_theta[group(static_cast<std::int32_t>(column))];
        for (Index c = 0; c < m_p; ++c) zx(j, c) = m_of.zx[column * (m_of.fixed + 1) + static_cast<std::size_t>(c)];
        for (std::int32_t e = m_of.zz.start[column]; e < m_of.zz.start[column + 1]; ++e)
            w.insert(m_place[static_cast<std::size_t>(m_of.zz.row[static_cast<std::size_t>(e)])], j) = m_of.zz.value[static_cast<std::size_t>(e)];
    }
    w.makeCompressed();
    Sparse inner = scale.asDiagonal() * w * scale.asDiagonal();
    for (Index j = 0; j < size; ++j) inner.coeffRef(j, j) += 1.0;
    const Eigen::SimplicialLLT<Sparse, Eigen::Lower, Eigen::NaturalOrdering<std::int32_t>> factor(inner);
    const auto weighted = [&](const Matrix& v) -> Matrix {   // v for W's columns or Z'X: less what the shifts explain of it
        return v - w * (scale.asDiagonal() * factor.solve(scale.asDiagonal() * v));
    };
    const Matrix t = weighted(zx);
    const std::size_t groups = m_out.groups;
    std::vector<Matrix> from(groups, Matrix::Zero(size, m_p));   // G_.j T_j
    for (Index first = 0; first < size; first += k_at_once) {
        const Index many = std::min(k_at_once, size - first);
        const Matrix g = weighted(Matrix(w.middleCols(first, many)));
        for (Index c = 0; c < many; ++c) {
            const std::size_t mine = group(columns[static_cast<std::size_t>(first + c)]);
            m_out.trace[mine] += g(first + c, c);
            for (Index r = 0; r < size; ++r) m_out.square[group(columns[static_cast<std::size_t>(r)]) * groups + mine] += g(r, c) * g(r, c);
            from[mine].noalias() += g.col(c) * t.row(first + c);
        }
    }
    for (Index r = 0; r < size; ++r) {
        const std::size_t mine = group(columns[static_cast<std::size_t>(r)]);
        m_once[mine].noalias() += t.row(r).transpose() * t.row(r);
        for (std::size_t j = 0; j < groups; ++j) m_twice[mine * groups + j].noalias() += t.row(r).transpose() * from[j].row(r);
    }
}

}   // namespace

std::optional<VarianceMoments> variance_moments(const Products& of, const std::vector<double>& theta) {
    if (of.has_slope) return std::nullopt;
    Sums sums(of, theta);
    if (of.random == 0) return sums.result();
    const auto parts = connected(of.zz);
    double pairs = 0.0;
    for (const auto& part : parts) pairs += static_cast<double>(part.size()) * static_cast<double>(part.size());
    if (pairs > k_most_pairs) return std::nullopt;
    for (const auto& part : parts) sums.add(part);
    return sums.result();
}

}   // namespace oddplate::stats
