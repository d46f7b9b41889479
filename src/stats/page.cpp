// Page's L is a sum over rows of independent laws, so it is one convolution. Tests: tests/unit/stats/rank_test.test.cpp

#include <algorithm>
#include <bit>
#include <cmath>
#include <map>

#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/rank_test.hpp"
#include "oddplate/stats/score_flip.hpp"
#include "rank_rows.hpp"

namespace oddplate::stats {
namespace {

/// A row's samples' places in the order expected, and its scores, as whole numbers (scores: halves, doubled; least 0).
struct PlacedRow {
    std::vector<int> places;
    std::vector<std::int64_t> scores;   // beside them
};

/// P of each value of the sum of place x score, scores dealt at random: places get theirs one by one, a state is the set of scores used.
std::map<std::int64_t, double> row_law(const PlacedRow& row) {
    const std::size_t k = row.places.size();
    std::vector<std::map<std::int64_t, double>> by_used(std::size_t{1} << k);
    by_used[0][0] = 1;
    for (std::size_t used = 0; used + 1 < by_used.size(); ++used) {
        const auto place = static_cast<std::size_t>(std::popcount(used));
        const double share = 1 / static_cast<double>(k - place);
        for (std::size_t i = 0; i < k; ++i) {
            if ((used >> i & 1U) != 0) continue;
            auto& next = by_used[used | std::size_t{1} << i];
            for (const auto& [sum, mass] : by_used[used]) next[sum + row.places[place] * row.scores[i]] += mass * share;
        }
        by_used[used].clear();
    }
    return by_used.back();
}

/// By row pattern, so that a hundred tasters with the same samples are one law.
double tail(const std::vector<PlacedRow>& rows, std::int64_t observed) {
    std::map<std::pair<std::vector<int>, std::vector<std::int64_t>>, std::map<std::int64_t, double>> laws;
    std::int64_t first = 0;
    std::vector<double> sum{1.0};   // sum[i] = P(total = first + i)
    for (const PlacedRow& row : rows) {
        std::vector<std::int64_t> sorted = row.scores;
        std::sort(sorted.begin(), sorted.end());
        auto [law, fresh] = laws.try_emplace({row.places, sorted});
        if (fresh) law->second = row_law(row);
        const std::int64_t low = law->second.begin()->first, high = law->second.rbegin()->first;
        std::vector<double> next(sum.size() + static_cast<std::size_t>(high - low), 0.0);
        for (const auto& [value, mass] : law->second)
            for (std::size_t i = 0; i < sum.size(); ++i) next[i + static_cast<std::size_t>(value - low)] += sum[i] * mass;
        first += low;
        sum = std::move(next);
    }
    double answer = 0;
    for (std::size_t i = 0; i < sum.size(); ++i)
        if (first + static_cast<std::int64_t>(i) >= observed) answer += sum[i];
    return std::min(1.0, answer);
}

}   // namespace

PageTest page_test(std::span<const RankedTray> trays, std::span<const int> order, std::uint64_t seed) {
    const auto samples = static_cast<int>(order.size());
    std::vector<int> place(order.size());
    for (std::size_t i = 0; i < order.size(); ++i) place[static_cast<std::size_t>(order[i])] = static_cast<int>(i) + 1;
    PageTest found{.p = {}};
    for (const RankedTray& tray : trays) {
        const std::vector<double> ranks = midranks(tray.ranks);
        for (std::size_t i = 0; i < ranks.size(); ++i) found.statistic += place[static_cast<std::size_t>(tray.samples[i])] * ranks[i];
    }
    const RankRows all = rank_rows(trays, samples);
    std::vector<PlacedRow> rows;
    std::map<std::int32_t, double> by_taster;
    std::int64_t observed = 0;
    double about = 0;
    for (std::size_t r = 0; r < all.rows.size(); ++r) {
        const RankRow& row = all.rows[r];
        const auto k = static_cast<double>(row.samples.size());
        PlacedRow placed;
        const double least = row.scores.empty() ? 0 : *std::min_element(row.scores.begin(), row.scores.end());
        double mean_place = 0, scores = 0, places = 0;
        for (const int sample : row.samples) mean_place += place[static_cast<std::size_t>(sample)] / k;
        for (std::size_t i = 0; i < row.samples.size(); ++i) {
            const int mine = place[static_cast<std::size_t>(row.samples[i])];
            placed.places.push_back(mine);
            placed.scores.push_back(std::llround(2 * (row.scores[i] - least)));
            observed += mine * placed.scores.back();
            by_taster[all.taster[r]] += mine * row.scores[i];
            about += mine * row.scores[i];
            scores += row.scores[i] * row.scores[i];
            places += (mine - mean_place) * (mine - mean_place);
        }
        if (k > 1) found.variance += scores * places / (k - 1);
        rows.push_back(std::move(placed));
    }
    found.expected = found.statistic - about;
    if (found.variance <= 0) return found;
    found.p_normal = normal_upper(about / std::sqrt(found.variance));
    if (all.dealt && samples <= 12) {
        found.p = {tail(rows, observed), Found::exact, 0, 0};
        return found;
    }
    std::vector<double> scores;
    for (const auto& [taster, score] : by_taster) scores.push_back(score);
    found.p = score_flip_p(scores, 0, seed);
    return found;
}

}   // namespace oddplate::stats
