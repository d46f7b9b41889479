// Does the order change from spot to spot? Tests: tests/unit/stats/rank_test.test.cpp

#include <algorithm>
#include <map>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/rank_test.hpp"
#include "sampling.hpp"

namespace oddplate::stats {
namespace {

constexpr std::int64_t k_draws = 9'999;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Sums of ranks by spot and sample. How many trays lie in each cell does not change with the permutations, so between cells it is enough to add
/// (sum of ranks)^2 / trays.
class Cells {
public:
    Cells(std::span<const std::vector<int>> samples, std::span<const int> spots, int count) : m_spots(spots), m_samples(samples), m_width(at(count)) {
        const int most = *std::max_element(spots.begin(), spots.end());
        m_trays.assign((at(most) + 1) * m_width, 0);
        for (std::size_t tray = 0; tray < spots.size(); ++tray)
            for (const int sample : samples[tray]) ++m_trays[at(spots[tray]) * m_width + at(sample)];
    }
    [[nodiscard]] double between(const std::vector<const std::vector<double>*>& ranks) {
        m_sums.assign(m_trays.size(), 0);
        for (std::size_t tray = 0; tray < ranks.size(); ++tray)
            for (std::size_t i = 0; i < ranks[tray]->size(); ++i) m_sums[at(m_spots[tray]) * m_width + at(m_samples[tray][i])] += (*ranks[tray])[i];
        double sum = 0;
        for (std::size_t cell = 0; cell < m_sums.size(); ++cell)
            if (m_trays[cell] > 0) sum += m_sums[cell] * m_sums[cell] / m_trays[cell];
        return sum;
    }

private:
    std::span<const int> m_spots;
    std::span<const std::vector<int>> m_samples;
    std::size_t m_width;
    std::vector<double> m_trays, m_sums;
};

}   // namespace

std::optional<PValue> rank_spots_p(std::span<const RankedTray> trays, std::span<const int> spots, int samples, std::uint64_t seed) {
    std::vector<std::vector<int>> held;
    std::vector<std::vector<double>> ranks;
    std::map<std::pair<std::int32_t, std::vector<int>>, std::vector<std::size_t>> alike;   // trays that may change places
    for (std::size_t tray = 0; tray < trays.size(); ++tray) {
        std::vector<std::pair<int, double>> row;
        const std::vector<double> mid = midranks(trays[tray].ranks);
        for (std::size_t i = 0; i < mid.size(); ++i) row.emplace_back(trays[tray].samples[i], mid[i]);
        std::sort(row.begin(), row.end());
        held.emplace_back();
        ranks.emplace_back();
        for (const auto& [sample, rank] : row) {
            held.back().push_back(sample);
            ranks.back().push_back(rank);
        }
        alike[{trays[tray].taster, held.back()}].push_back(tray);
    }
    bool varies = false;
    for (const auto& [key, group] : alike)
        for (const std::size_t tray : group) varies = varies || (ranks[tray] != ranks[group.front()] && spots[tray] != spots[group.front()]);
    if (!varies) return std::nullopt;
    Cells cells(held, spots, samples);
    std::vector<const std::vector<double>*> dealt;
    for (const auto& row : ranks) dealt.push_back(&row);
    const double observed = cells.between(dealt);
    std::int64_t hits = 0;
    for (std::int64_t draw = 0; draw < k_draws; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        for (const auto& [key, group] : alike)
            for (std::size_t i = group.size(); i > 1; --i) std::swap(dealt[group[i - 1]], dealt[group[stream.below(static_cast<std::uint32_t>(i))]]);
        hits += cells.between(dealt) >= observed * (1 - 1e-12);
    }
    return monte_carlo_p(hits, k_draws);
}

}   // namespace oddplate::stats
