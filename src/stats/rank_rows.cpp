// Tests: tests/unit/stats/rank_test.test.cpp

#include "rank_rows.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace oddplate::stats {
namespace {

/// A tray's samples ascending, its midranks beside them.
RankRow row_of(const RankedTray& tray) {
    const std::vector<double> ranks = midranks(tray.ranks);
    std::vector<std::size_t> by_sample(tray.samples.size());
    std::iota(by_sample.begin(), by_sample.end(), std::size_t{0});
    std::sort(by_sample.begin(), by_sample.end(), [&](std::size_t a, std::size_t b) { return tray.samples[a] < tray.samples[b]; });
    RankRow row;
    const double middle = (static_cast<double>(tray.samples.size()) + 1) / 2;
    for (const std::size_t i : by_sample) {
        row.samples.push_back(tray.samples[i]);
        row.scores.push_back(ranks[i] - middle);
    }
    return row;
}

bool all_alike(const std::vector<RankRow>& rows) {
    return std::all_of(rows.begin(), rows.end(), [&](const RankRow& row) { return row.samples == rows.front().samples; });
}

void add_row(RankRows& all, RankRow row, std::int32_t taster) {
    all.rows.push_back(std::move(row));
    all.taster.push_back(taster);
}

void weigh_sizes(RankRows& all) {
    const auto size = [&](std::size_t i) { return all.rows[i].samples.size(); };
    bool one_size = true;
    for (std::size_t i = 1; i < all.rows.size(); ++i) one_size = one_size && size(i) == size(0);
    if (one_size) return;
    for (RankRow& row : all.rows) row.weight = std::sqrt(12 / (static_cast<double>(row.samples.size()) + 1));
}

}   // namespace

std::vector<double> midranks(std::span<const double> numbers) {
    std::vector<double> ranks;
    for (const double x : numbers) {
        const auto below = std::count_if(numbers.begin(), numbers.end(), [&](double y) { return y < x; });
        const auto tied = std::count(numbers.begin(), numbers.end(), x);
        ranks.push_back(static_cast<double>(below) + (static_cast<double>(tied) + 1) / 2);
    }
    return ranks;
}

std::vector<double> RankRows::sums(int samples) const {
    std::vector<double> answer(static_cast<std::size_t>(samples), 0);
    for (const RankRow& row : rows)
        for (std::size_t i = 0; i < row.samples.size(); ++i)
            answer[static_cast<std::size_t>(row.samples[i])] += row.weight * row.scores[i];
    return answer;
}

RankRows rank_rows(std::span<const RankedTray> trays, int samples) {
    std::map<std::int32_t, std::vector<RankRow>> by_taster;
    for (const RankedTray& tray : trays)
        if (!tray.samples.empty()) by_taster[tray.taster].push_back(row_of(tray));
    RankRows all;
    for (const auto& [taster, rows] : by_taster) all.dealt = all.dealt && all_alike(rows);
    for (auto& [taster, rows] : by_taster) {
        if (!all.dealt) {
            for (RankRow& row : rows) add_row(all, std::move(row), taster);
            continue;
        }
        for (std::size_t other = 1; other < rows.size(); ++other)
            for (std::size_t i = 0; i < rows.front().scores.size(); ++i) rows.front().scores[i] += rows[other].scores[i];
        add_row(all, std::move(rows.front()), taster);
    }
    for (const RankRow& row : all.rows) all.complete = all.complete && static_cast<int>(row.samples.size()) == samples;
    weigh_sizes(all);
    return all;
}

}   // namespace oddplate::stats
