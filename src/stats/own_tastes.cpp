// Tests: tests/unit/stats/own_tastes.test.cpp

#include "oddplate/stats/own_tastes.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <utility>

#include "oddplate/core/philox.hpp"
#include "sampling.hpp"

namespace oddplate::stats {
namespace {

constexpr std::int64_t k_draws = 9'999;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// By tray: a number a sample, 0 where it lay on none, so that a product over all samples is one over the shared.
std::vector<std::vector<double>> residuals(std::span<const TasteTray> trays, int samples) {
    std::vector<std::vector<double>> rows;
    std::map<std::int32_t, std::vector<std::pair<double, double>>> shared;   // stratum -> sum and count by sample
    for (const TasteTray& tray : trays) {
        rows.emplace_back(at(samples), 0.0);
        if (tray.values.empty()) continue;
        const double mean = std::accumulate(tray.values.begin(), tray.values.end(), 0.0) / static_cast<double>(tray.values.size());
        auto& sums = shared.try_emplace(tray.stratum, at(samples)).first->second;
        for (std::size_t i = 0; i < tray.samples.size(); ++i) {
            rows.back()[at(tray.samples[i])] = tray.values[i] - mean;
            sums[at(tray.samples[i])].first += tray.values[i] - mean;
            ++sums[at(tray.samples[i])].second;
        }
    }
    for (std::size_t t = 0; t < trays.size(); ++t)
        for (const int sample : trays[t].samples) {
            const auto& [sum, count] = shared[trays[t].stratum][at(sample)];
            rows[t][at(sample)] -= sum / count;
        }
    return rows;
}

double dot(const std::vector<double>& a, const std::vector<double>& b) { return std::inner_product(a.begin(), a.end(), b.begin(), 0.0); }

bool share_a_sample(const TasteTray& a, const TasteTray& b) {
    return std::any_of(a.samples.begin(), a.samples.end(), [&](int sample) { return std::find(b.samples.begin(), b.samples.end(), sample) != b.samples.end(); });
}

}   // namespace

OwnTastes own_tastes(std::span<const TasteTray> trays, int samples, std::uint64_t seed) {
    std::map<std::int32_t, std::vector<std::size_t>> by_taster;
    std::map<std::pair<std::int32_t, std::vector<int>>, std::vector<std::size_t>> alike;
    for (std::size_t t = 0; t < trays.size(); ++t) {
        by_taster[trays[t].taster].push_back(t);
        std::vector<int> held = trays[t].samples;
        std::sort(held.begin(), held.end());
        alike[{trays[t].stratum, held}].push_back(t);
    }
    OwnTastes found;
    std::vector<std::pair<std::size_t, std::size_t>> pairs;   // of places that one taster holds
    for (const auto& [taster, mine] : by_taster) {
        bool repeats = false;
        for (std::size_t i = 0; i < mine.size(); ++i)
            for (std::size_t j = i + 1; j < mine.size(); ++j)
                if (share_a_sample(trays[mine[i]], trays[mine[j]])) {
                    pairs.emplace_back(mine[i], mine[j]);
                    repeats = true;
                }
        found.tasters += repeats;
    }
    const std::vector<std::vector<double>> rows = residuals(trays, samples);
    std::vector<std::size_t> lies(trays.size());   // which tray lies at a place
    std::iota(lies.begin(), lies.end(), std::size_t{0});
    const auto sum = [&] {
        double total = 0;
        for (const auto& [i, j] : pairs) total += dot(rows[lies[i]], rows[lies[j]]);
        return total;
    };
    double most = 0;
    for (const auto& [i, j] : pairs) most += std::sqrt(dot(rows[i], rows[i]) * dot(rows[j], rows[j]));
    const bool moves = std::any_of(alike.begin(), alike.end(), [](const auto& group) { return group.second.size() > 1; });
    found.repeated = !pairs.empty() && moves;
    if (!found.repeated || most <= 0) return found;
    const double observed = sum();
    found.agreement = observed / most;
    if (observed > 0) {
        found.shares.assign(at(samples), 0);
        for (const auto& [i, j] : pairs)
            for (std::size_t s = 0; s < found.shares.size(); ++s) found.shares[s] += rows[i][s] * rows[j][s] / observed;
    }
    std::int64_t hits = 0;
    for (std::int64_t draw = 0; draw < k_draws; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        for (const auto& [key, group] : alike)
            for (std::size_t i = group.size(); i > 1; --i) std::swap(lies[group[i - 1]], lies[group[stream.below(static_cast<std::uint32_t>(i))]]);
        hits += sum() >= observed - 1e-9 * most;
    }
    found.p = monte_carlo_p(hits, k_draws);
    return found;
}

int OwnTastes::turns_on() const {
    if (shares.size() < 3) return -1;
    const auto most = std::max_element(shares.begin(), shares.end());
    const bool alone = std::all_of(shares.begin(), shares.end(), [&](const double& share) { return &share == &*most || *most >= 1.5 * std::max(0.0, share); });
    return alone ? static_cast<int>(most - shares.begin()) : -1;
}

std::pair<int, int> OwnTastes::most() const {
    std::vector<int> order(shares.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return shares[at(a)] > shares[at(b)]; });
    return {order[0], order[1]};
}

SampleHabit sample_habit(std::span<const TasteTray> trays, int sample, bool smaller_is_first) {
    std::map<std::int32_t, std::pair<int, int>> met;   // taster: trays with it in the upper half, in the lower
    std::map<std::int32_t, int> all;
    for (const TasteTray& tray : trays) {
        const auto place = std::find(tray.samples.begin(), tray.samples.end(), sample);
        if (place == tray.samples.end() || tray.values.size() < 2) continue;
        const double mean = std::accumulate(tray.values.begin(), tray.values.end(), 0.0) / static_cast<double>(tray.values.size());
        const double above = (smaller_is_first ? -1 : 1) * (tray.values[static_cast<std::size_t>(place - tray.samples.begin())] - mean);
        ++all[tray.taster];
        auto& [up, down] = met[tray.taster];
        up += above > 1e-12;
        down += above < -1e-12;
    }
    SampleHabit habit;
    for (const auto& [taster, mine] : met) {
        if (all[taster] < 2) continue;
        habit.always_up += mine.first == all[taster];
        habit.always_down += mine.second == all[taster];
        habit.mixed += mine.first != all[taster] && mine.second != all[taster];
    }
    return habit;
}

PairHabit pair_habit(std::span<const TasteTray> trays, int a, int b, bool smaller_is_first) {
    struct Met {
        int a{0}, b{0}, ties{0};
    };
    std::map<std::int32_t, Met> met;
    for (const TasteTray& tray : trays) {
        const auto place_a = std::find(tray.samples.begin(), tray.samples.end(), a), place_b = std::find(tray.samples.begin(), tray.samples.end(), b);
        if (place_a == tray.samples.end() || place_b == tray.samples.end()) continue;
        double gap = tray.values[static_cast<std::size_t>(place_b - tray.samples.begin())] - tray.values[static_cast<std::size_t>(place_a - tray.samples.begin())];
        if (!smaller_is_first) gap = -gap;
        Met& mine = met[tray.taster];
        (gap > 0 ? mine.a : gap < 0 ? mine.b : mine.ties) += 1;
    }
    PairHabit habit;
    for (const auto& [taster, mine] : met) {
        if (mine.a + mine.b + mine.ties < 2) continue;
        habit.always_a += mine.b + mine.ties == 0;
        habit.always_b += mine.a + mine.ties == 0;
        habit.mixed += mine.ties > 0 || (mine.a > 0 && mine.b > 0);
    }
    return habit;
}

}   // namespace oddplate::stats
