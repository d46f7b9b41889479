#pragma once
// The likelihood of ordered answers with its gradient.

#include <cstdint>
#include <vector>

#include "descend.hpp"
#include "oddplate/stats/cumulative_link.hpp"

namespace oddplate::stats {

/// Answers sorted by taster, ranks renumbered to those in use. Parameters stand in one row: thresholds, coefficients, deviation (last; absent
/// without tasters).
class CumulativeLikelihood {
public:
    CumulativeLikelihood(const OrderedData& data, int points);

    /// Minus the log-likelihood and its gradient. Infinite where thresholds do not rise.
    [[nodiscard]] Slope operator()(const std::vector<double>& parameters) const;

    [[nodiscard]] std::size_t ranks() const noexcept { return m_ranks; }
    [[nodiscard]] std::size_t columns() const noexcept { return m_columns; }
    [[nodiscard]] bool has_tasters() const noexcept { return m_has_tasters; }
    [[nodiscard]] std::size_t size() const noexcept { return m_ranks - 1 + m_columns + (m_has_tasters ? 1 : 0); }
    /// How many answers in each rank in use.
    [[nodiscard]] const std::vector<double>& counts() const noexcept { return m_counts; }

private:
    struct Work;
    void add_taster(Work& work, std::size_t first, std::size_t end) const;

    std::size_t m_ranks{0}, m_columns{0};
    bool m_has_tasters{false};
    std::vector<double> m_x, m_offset;
    std::vector<std::int32_t> m_rank;
    std::vector<std::size_t> m_order;    // of the data's rows
    std::vector<std::size_t> m_starts;   // of each taster's rows
    std::vector<double> m_counts;
    std::vector<double> m_nodes, m_log_weights;
};

}   // namespace oddplate::stats
