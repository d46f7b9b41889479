// Plain sums by taster and sample. Tests: tests/unit/stats/taster_ratings.test.cpp

#include "oddplate/stats/taster_ratings.hpp"

#include <cmath>

#include "oddplate/stats/promise.hpp"
#include "oddplate/stats/test_laws.hpp"

namespace oddplate::stats {
namespace {

struct Cell {
    std::int32_t scores{0};
    double sum{0.0};

    [[nodiscard]] double mean() const { return sum / scores; }
};

class Cells {
public:
    Cells(std::span<const Rating> ratings, std::int32_t samples, std::int32_t tasters)
        : m_samples(static_cast<std::size_t>(samples)), m_cells(m_samples * static_cast<std::size_t>(tasters)), m_within(static_cast<std::size_t>(tasters), 0.0) {
        for (const Rating& rating : ratings) {
            promise(0 <= rating.sample && rating.sample < samples && 0 <= rating.taster && rating.taster < tasters);
            Cell& cell = m_cells[index(rating.taster, rating.sample)];
            ++cell.scores;
            cell.sum += rating.score;
        }
        for (const Rating& rating : ratings) {
            const double off = rating.score - m_cells[index(rating.taster, rating.sample)].mean();
            m_within[static_cast<std::size_t>(rating.taster)] += off * off;
        }
    }

    [[nodiscard]] const Cell* row(std::size_t taster) const { return m_cells.data() + taster * m_samples; }
    [[nodiscard]] std::size_t samples() const { return m_samples; }
    /// Sum of squares of the repeats about the means of taster and sample.
    [[nodiscard]] double within(std::size_t taster) const { return m_within[taster]; }
    [[nodiscard]] Cell all_of(std::size_t taster) const {
        Cell all;
        for (std::size_t s = 0; s < m_samples; ++s) all.scores += row(taster)[s].scores, all.sum += row(taster)[s].sum;
        return all;
    }

private:
    std::size_t m_samples;
    std::vector<Cell> m_cells;
    std::vector<double> m_within;

    [[nodiscard]] std::size_t index(std::int32_t taster, std::int32_t sample) const {
        return static_cast<std::size_t>(taster) * m_samples + static_cast<std::size_t>(sample);
    }
};

void add_telling(TasterRatings& out, const Cells& cells, std::size_t taster) {
    const Cell* row = cells.row(taster);
    std::int32_t tasted = 0;
    double between = 0.0;
    for (std::size_t s = 0; s < cells.samples(); ++s) {
        if (row[s].scores == 0) continue;
        ++tasted;
        const double off = row[s].mean() - out.mean;
        between += row[s].scores * off * off;
    }
    const std::int32_t repeats = out.scores - tasted;
    if (repeats == 0) return;
    out.repeat_deviation = std::sqrt(cells.within(taster) / repeats);
    if (tasted < 2 || cells.within(taster) == 0.0) return;
    OverallTest test{0.0, tasted - 1.0, static_cast<double>(repeats), 1.0};
    test.f = (between / test.df1) / (cells.within(taster) / test.df2);
    test.p_value = f_upper(test.f, test.df1, test.df2);
    out.telling = test;
}

/// For each sample the sum, and the number, of what tasters' means lie above their own level.
std::vector<Cell> above_own_level(const Cells& cells, std::size_t tasters) {
    std::vector<Cell> sums(cells.samples());
    for (std::size_t t = 0; t < tasters; ++t) {
        const Cell all = cells.all_of(t);
        for (std::size_t s = 0; s < cells.samples(); ++s)
            if (cells.row(t)[s].scores > 0) ++sums[s].scores, sums[s].sum += cells.row(t)[s].mean() - all.mean();
    }
    return sums;
}

std::optional<double> correlation(const std::vector<double>& a, const std::vector<double>& b) {
    const auto n = static_cast<double>(a.size());
    double mean_a = 0, mean_b = 0, aa = 0, bb = 0, ab = 0;
    for (std::size_t i = 0; i < a.size(); ++i) mean_a += a[i] / n, mean_b += b[i] / n;
    for (std::size_t i = 0; i < a.size(); ++i) {
        aa += (a[i] - mean_a) * (a[i] - mean_a);
        bb += (b[i] - mean_b) * (b[i] - mean_b);
        ab += (a[i] - mean_a) * (b[i] - mean_b);
    }
    const double rounding = 1e-24 * n * (mean_a * mean_a + mean_b * mean_b + 1e-300);
    if (a.size() < 3 || aa <= rounding || bb <= rounding) return std::nullopt;
    return ab / std::sqrt(aa * bb);
}

void add_agreement(TasterRatings& out, const Cells& cells, std::size_t taster, const std::vector<Cell>& sums) {
    std::vector<double> own, others;
    for (std::size_t s = 0; s < cells.samples(); ++s) {
        const Cell& cell = cells.row(taster)[s];
        if (cell.scores == 0 || sums[s].scores < 2) continue;
        const double above = cell.mean() - out.mean;
        own.push_back(above);
        others.push_back((sums[s].sum - above) / (sums[s].scores - 1));
    }
    out.agreement = correlation(own, others);
}

}   // namespace

std::vector<TasterRatings> taster_ratings(std::span<const Rating> ratings, std::int32_t samples, std::int32_t tasters) {
    const Cells cells(ratings, samples, tasters);
    const std::vector<Cell> sums = above_own_level(cells, static_cast<std::size_t>(tasters));
    std::vector<TasterRatings> out;
    for (std::size_t t = 0; t < static_cast<std::size_t>(tasters); ++t) {
        const Cell all = cells.all_of(t);
        if (all.scores == 0) continue;
        TasterRatings one{static_cast<std::int32_t>(t), all.scores, all.mean(), {}, {}, {}};
        add_telling(one, cells, t);
        add_agreement(one, cells, t, sums);
        out.push_back(one);
    }
    return out;
}

}   // namespace oddplate::stats
