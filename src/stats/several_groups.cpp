// Tests: tests/unit/stats/several_groups.test.cpp

#include "oddplate/stats/several_groups.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "oddplate/core/philox.hpp"
#include "sampling.hpp"

namespace oddplate::stats {
namespace {

constexpr std::int64_t k_draws = 9'999;
constexpr double k_near = 1e-10;   // of the statistic: sums in another order

/// Columns less their means, in units of their own spread; 0 where there is none, which moves no sum but the counts tell.
struct Columns {
    std::vector<std::vector<double>> values;   ///< by row
    std::vector<std::vector<char>> there;
    std::size_t width{0};
    bool varies{false};
};

Columns standardised(std::span<const GroupedRow> rows) {
    Columns all{.values = {}, .there = {}, .width = rows.empty() ? 0 : rows.front().values.size()};
    all.values.assign(rows.size(), std::vector<double>(all.width, 0));
    all.there.assign(rows.size(), std::vector<char>(all.width, 0));
    for (std::size_t column = 0; column < all.width; ++column) {
        double sum = 0, n = 0, squares = 0;
        for (const GroupedRow& row : rows)
            if (!std::isnan(row.values[column])) sum += row.values[column], n += 1;
        for (const GroupedRow& row : rows)
            if (!std::isnan(row.values[column])) squares += (row.values[column] - sum / n) * (row.values[column] - sum / n);
        if (squares <= 1e-20 * std::max(1.0, sum * sum)) continue;
        all.varies = true;
        for (std::size_t i = 0; i < rows.size(); ++i)
            if (!std::isnan(rows[i].values[column])) {
                all.values[i][column] = (rows[i].values[column] - sum / n) / std::sqrt(squares);
                all.there[i][column] = 1;
            }
    }
    return all;
}

class Between {
public:
    Between(const Columns& columns, int groups) : m_columns(columns), m_groups(static_cast<std::size_t>(groups)) {}

    [[nodiscard]] double of(std::span<const int> group) {
        m_sums.assign(m_groups * m_columns.width, 0);
        m_counts.assign(m_groups * m_columns.width, 0);
        for (std::size_t row = 0; row < group.size(); ++row)
            for (std::size_t column = 0; column < m_columns.width; ++column) {
                const std::size_t cell = static_cast<std::size_t>(group[row]) * m_columns.width + column;
                m_sums[cell] += m_columns.values[row][column];
                m_counts[cell] += m_columns.there[row][column];
            }
        double between = 0;
        for (std::size_t cell = 0; cell < m_sums.size(); ++cell)
            if (m_counts[cell] > 0) between += m_sums[cell] * m_sums[cell] / m_counts[cell];
        return between;
    }

private:
    const Columns& m_columns;
    std::size_t m_groups;
    std::vector<double> m_sums, m_counts;
};

}   // namespace

std::optional<PValue> several_groups_p(std::span<const GroupedRow> rows, std::uint64_t seed) {
    std::set<int> present;
    std::vector<int> group;
    for (const GroupedRow& row : rows) present.insert(row.group), group.push_back(row.group);
    const Columns columns = standardised(rows);
    if (present.size() < 2 || !columns.varies) return std::nullopt;
    Between between(columns, *present.rbegin() + 1);
    const double observed = between.of(group);
    core::PhiloxStream stream(seed, 0);
    std::int64_t hits = 0;
    for (std::int64_t draw = 0; draw < k_draws; ++draw) {
        for (std::size_t i = group.size(); i > 1; --i) std::swap(group[i - 1], group[stream.below(static_cast<std::uint32_t>(i))]);
        hits += between.of(group) >= observed * (1 - k_near);
    }
    return monte_carlo_p(hits, k_draws);
}

}   // namespace oddplate::stats
