#pragma once
// Tasters' trays as rows of scores that can be dealt at random.

#include <cstdint>
#include <span>
#include <vector>

#include "oddplate/stats/rank_test.hpp"

namespace oddplate::stats {

/// One taster's scores: ranks added over his trays, as he had the same samples on each.
struct RankRow {
    std::vector<int> samples;       ///< ascending
    std::vector<double> scores;     ///< beside them, less their mean
    double weight{1};               ///< sqrt(12/(k+1)) where rows have several sizes
};

struct RankRows {
    std::vector<RankRow> rows;      ///< of tasters whose trays are alike; else a row a tray
    bool dealt{true};               ///< a row a taster: its scores may be dealt at random. Else only whole tasters can be turned round
    std::vector<std::int32_t> taster;   ///< by row
    bool complete{true};            ///< every row holds every sample

    [[nodiscard]] std::vector<double> sums(int samples) const;   ///< weighted scores added by sample
};

[[nodiscard]] RankRows rank_rows(std::span<const RankedTray> trays, int samples);

}   // namespace oddplate::stats
