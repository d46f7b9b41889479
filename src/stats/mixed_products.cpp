// Rows are met once a level: the rows of a level are listed, and a column of Z'Z is the sum over them, kept in a dense scratch with the list
// of what was touched. The order of elimination is approximate minimum degree (Amestoy, Davis & Duff 1996), found on the levels' graph.
// Tests: tests/unit/stats/linear_mixed.test.cpp

#include "mixed_products.hpp"

#include <Eigen/Dense>
#include <Eigen/SparseCore>
#include <Eigen/OrderingMethods>

#include <algorithm>
#include <cmath>

#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

using Products = LinearMixed::Products;
using core::ErrorKind;
using core::fault;

core::Status sound(const MixedData& data) {
    const std::size_t rows = data.y.size();
    promise(data.columns > 0 && data.x.size() == rows * data.columns);
    if (rows == 0) return fault(ErrorKind::bad_value, "no-rows", "there are no scores to compare");
    const auto finite = [](double value) { return std::isfinite(value); };
    if (!std::all_of(data.y.begin(), data.y.end(), finite) || !std::all_of(data.x.begin(), data.x.end(), finite))
        return fault(ErrorKind::bad_value, "not-finite", "a score is not a number");
    for (const RandomTerm& term : data.terms) {
        promise(term.level.size() == rows && (term.slope.empty() || term.slope.size() == rows));
        for (const std::int32_t level : term.level) promise(0 <= level && level < term.levels);
        if (term.levels < 2) return fault(ErrorKind::bad_value, "one-level", "there is only one " + term.name + ", so nothing says how they differ");
        if (static_cast<std::size_t>(term.levels) >= rows)
            return fault(ErrorKind::bad_value, "no-repeats", "every score has a " + term.name + " of its own, so nothing says how they differ");
    }
    return core::Done{};
}

// Z as columns before they are ordered: one group after the other.
struct Columns {
    const MixedData& data;
    std::vector<ColumnGroup>& groups;
    std::vector<std::int32_t> first;   // column of each group's level 0
    std::int32_t all{0};

    Columns(const MixedData& from, std::vector<ColumnGroup>& into) : data(from), groups(into) {
        for (std::size_t t = 0; t < data.terms.size(); ++t)
            for (const bool is_slope : {false, true}) {
                if (is_slope && data.terms[t].slope.empty()) continue;
                groups.push_back({t, is_slope, {}});
                first.push_back(all);
                all += data.terms[t].levels;
            }
    }
    [[nodiscard]] std::int32_t column(std::size_t group, std::size_t row) const { return first[group] + data.terms[groups[group].term].level[row]; }
    [[nodiscard]] double value(std::size_t group, std::size_t row) const { return groups[group].is_slope ? data.terms[groups[group].term].slope[row] : 1.0; }
};

// The rows of each level of a term: rows[start[l] .. start[l + 1] - 1].
struct RowsByLevel {
    std::vector<std::int32_t> start, rows;
    explicit RowsByLevel(const RandomTerm& term) : start(static_cast<std::size_t>(term.levels) + 1), rows(term.level.size()) {
        for (const std::int32_t level : term.level) ++start[static_cast<std::size_t>(level) + 1];
        for (std::size_t l = 1; l < start.size(); ++l) start[l] += start[l - 1];
        std::vector<std::int32_t> next(start.begin(), start.end() - 1);
        for (std::size_t i = 0; i < rows.size(); ++i) rows[static_cast<std::size_t>(next[static_cast<std::size_t>(term.level[i])]++)] = static_cast<std::int32_t>(i);
    }
};

SparseSquare squared(const Columns& z) {
    SparseSquare zz;
    zz.start.push_back(0);
    std::vector<double> sum(static_cast<std::size_t>(z.all), 0.0);
    std::vector<std::int32_t> seen_by(sum.size(), -1), touched;
    for (std::size_t g = 0; g < z.groups.size(); ++g) {
        const RowsByLevel by_level(z.data.terms[z.groups[g].term]);
        for (std::size_t l = 0; l + 1 < by_level.start.size(); ++l) {
            const auto me = static_cast<std::int32_t>(zz.start.size()) - 1;
            touched.clear();
            for (std::int32_t i = by_level.start[l]; i < by_level.start[l + 1]; ++i) {
                const auto row = static_cast<std::size_t>(by_level.rows[static_cast<std::size_t>(i)]);
                for (std::size_t h = 0; h < z.groups.size(); ++h) {
                    const auto at = static_cast<std::size_t>(z.column(h, row));
                    if (seen_by[at] != me) {
                        seen_by[at] = me;
                        sum[at] = 0.0;
                        touched.push_back(static_cast<std::int32_t>(at));
                    }
                    sum[at] += z.value(g, row) * z.value(h, row);
                }
            }
            std::sort(touched.begin(), touched.end());
            for (const std::int32_t at : touched) {
                zz.row.push_back(at);
                zz.value.push_back(sum[static_cast<std::size_t>(at)]);
            }
            zz.start.push_back(static_cast<std::int32_t>(zz.row.size()));
        }
    }
    return zz;
}

using Sparse = Eigen::SparseMatrix<double, Eigen::ColMajor, std::int32_t>;

// Where each column goes, and the matrix in that order.
std::vector<std::int32_t> reorder(SparseSquare& zz) {
    const auto size = static_cast<Eigen::Index>(zz.start.size()) - 1;
    const Eigen::Map<const Sparse> before(size, size, static_cast<Eigen::Index>(zz.row.size()), zz.start.data(), zz.row.data(), zz.value.data());
    Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, std::int32_t> order;
    Eigen::AMDOrdering<std::int32_t>()(Sparse(before), order);   // order(i): which column comes i-th
    std::vector<std::int32_t> place(static_cast<std::size_t>(size));
    for (Eigen::Index i = 0; i < size; ++i) place[static_cast<std::size_t>(order.indices()(i))] = static_cast<std::int32_t>(i);
    SparseSquare after;
    after.start.push_back(0);
    std::vector<std::pair<std::int32_t, double>> column;
    for (Eigen::Index i = 0; i < size; ++i) {
        const auto from = static_cast<std::size_t>(order.indices()(i));
        column.clear();
        for (std::int32_t k = zz.start[from]; k < zz.start[from + 1]; ++k)
            column.emplace_back(place[static_cast<std::size_t>(zz.row[static_cast<std::size_t>(k)])], zz.value[static_cast<std::size_t>(k)]);
        std::sort(column.begin(), column.end());
        for (const auto& [row, value] : column) {
            after.row.push_back(row);
            after.value.push_back(value);
        }
        after.start.push_back(static_cast<std::int32_t>(after.row.size()));
    }
    zz = std::move(after);
    return place;
}

// X'X, X'y and y'y, with y then replaced by what plain least squares leaves of it. False: the columns of X are not independent.
bool project(const MixedData& data, Products& made, std::vector<double>& y) {
    const auto p = static_cast<Eigen::Index>(data.columns);
    const Eigen::Map<const Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>> x(data.x.data(), static_cast<Eigen::Index>(data.y.size()), p);
    Eigen::Map<Eigen::VectorXd> left(y.data(), static_cast<Eigen::Index>(y.size()));
    const Eigen::MatrixXd xx = x.transpose() * x;
    if ((xx.diagonal().array() <= 0.0).any()) return false;
    const Eigen::VectorXd scale = xx.diagonal().array().sqrt().inverse();
    const Eigen::MatrixXd scaled = scale.asDiagonal() * xx * scale.asDiagonal();
    if (Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(scaled, Eigen::EigenvaluesOnly).eigenvalues()(0) < 1e-11) return false;
    const Eigen::LLT<Eigen::MatrixXd> factor(scaled);
    Eigen::VectorXd b = Eigen::VectorXd::Zero(p);
    for (int round = 0; round < 2; ++round) {   // the second round takes away what rounding left
        const Eigen::VectorXd more = scale.asDiagonal() * factor.solve(scale.asDiagonal() * (x.transpose() * left));
        left -= x * more;
        b += more;
    }
    Eigen::MatrixXd all(p + 1, p + 1);
    all.topLeftCorner(p, p) = xx;
    all.topRightCorner(p, 1) = x.transpose() * left;
    all.bottomLeftCorner(1, p) = all.topRightCorner(p, 1).transpose();
    all(p, p) = left.squaredNorm();
    made.xx.assign(all.data(), all.data() + all.size());
    made.least_squares.assign(b.data(), b.data() + b.size());
    return true;
}

}   // namespace

core::Result<std::unique_ptr<const Products>> mixed_products(const MixedData& data) {
    if (const core::Status status = sound(data); !status) return status.faults();
    auto made = std::make_unique<Products>();
    std::vector<double> y = data.y;
    made->rows = y.size();
    made->fixed = data.columns;
    if (!project(data, *made, y)) return fault(ErrorKind::bad_value, "not-estimable", "two parts of the comparison cannot be told apart in these scores");
    double largest = 0.0;
    for (const double score : data.y) largest = std::max(largest, std::fabs(score));
    if (made->rows <= made->fixed || made->xx.back() <= 1e-24 * largest * largest * static_cast<double>(made->rows))
        return fault(ErrorKind::bad_value, "no-spread", "the scores leave no spread between tasters or repeats to judge a difference by");
    const Columns z(data, made->groups);
    made->random = static_cast<std::size_t>(z.all);
    for (const RandomTerm& term : data.terms) made->names.push_back(term.name);
    made->zz = squared(z);
    const std::vector<std::int32_t> place = z.all == 0 ? std::vector<std::int32_t>{} : reorder(made->zz);
    made->group_of.resize(made->random);
    for (std::size_t g = 0; g < made->groups.size(); ++g) {
        ColumnGroup& group = made->groups[g];
        for (std::int32_t l = 0; l < data.terms[group.term].levels; ++l) {
            group.columns.push_back(place[static_cast<std::size_t>(z.first[g] + l)]);
            made->group_of[static_cast<std::size_t>(group.columns.back())] = static_cast<std::int32_t>(g);
        }
        made->thetas.push_back({g, g});
        if (group.is_slope) {
            made->thetas.back() = {g, g - 1};
            made->thetas.push_back({g, g});
            made->has_slope = true;
        }
    }
    made->zx.assign(made->random * (made->fixed + 1), 0.0);
    for (std::size_t g = 0; g < made->groups.size(); ++g)
        for (std::size_t row = 0; row < made->rows; ++row) {
            const auto at = static_cast<std::size_t>(place[static_cast<std::size_t>(z.column(g, row))]);
            const double by = z.value(g, row);
            double* into = made->zx.data() + at * (made->fixed + 1);
            for (std::size_t c = 0; c < made->fixed; ++c) into[c] += by * data.x[row * made->fixed + c];
            into[made->fixed] += by * y[row];
        }
    return std::unique_ptr<const Products>(std::move(made));
}

}   // namespace oddplate::stats
