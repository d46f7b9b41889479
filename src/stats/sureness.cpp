// The R-index: a rank-sum over ordered categories. A label permutation within one taster is a draw without replacement from his
// categories, so the law of his rank sum is a small table (signals taken, sum) filled category by category; tasters add up.
// Tests: tests/unit/stats/sureness.test.cpp

#include "oddplate/stats/sureness.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "oddplate/core/philox.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_most_steps = 2e8;
constexpr double k_most_swaps = 3e7;   // answers to relabel in all permutations drawn

std::int64_t total(const std::vector<std::int64_t>& counts) {
    return std::accumulate(counts.begin(), counts.end(), std::int64_t{0});
}

SurenessCounts pooled(std::span<const SurenessCounts> tasters) {
    SurenessCounts all;
    for (const SurenessCounts& one : tasters) {
        promise(one.signals.size() == one.noises.size());
        if (all.signals.empty())
            all = {std::vector<std::int64_t>(one.signals.size()), std::vector<std::int64_t>(one.signals.size())};
        promise(one.signals.size() == all.signals.size());
        for (std::size_t j = 0; j < all.signals.size(); ++j) all.signals[j] += one.signals[j], all.noises[j] += one.noises[j];
    }
    return all;
}

/// Doubled midranks (less a constant), so that they are whole: answers below plus answers up to here.
std::vector<std::int64_t> scores_of(const SurenessCounts& all) {
    std::vector<std::int64_t> scores;
    std::int64_t below = 0;
    for (std::size_t j = 0; j < all.signals.size(); ++j) {
        const std::int64_t here = all.signals[j] + all.noises[j];
        scores.push_back(2 * below + here);
        below += here;
    }
    return scores;
}

using Law = std::vector<double>;   // by the sum

double log_choose(std::int64_t n, std::int64_t k) {
    return std::lgamma(static_cast<double>(n + 1)) - std::lgamma(static_cast<double>(k + 1)) -
           std::lgamma(static_cast<double>(n - k + 1));
}

/// Law of one taster's sum of scores of signals.
Law own_law(const SurenessCounts& one, const std::vector<std::int64_t>& scores) {
    const std::int64_t signals = total(one.signals), all = signals + total(one.noises);
    const std::int64_t most = signals * scores.back();
    std::vector<Law> taken(static_cast<std::size_t>(signals + 1),
                           Law(static_cast<std::size_t>(most + 1), 0.0));   // [signals so far]
    taken[0][0] = 1;
    std::int64_t so_far = 0;
    for (std::size_t j = 0; j < scores.size(); ++j) {
        const std::int64_t here = one.signals[j] + one.noises[j];
        if (here == 0) continue;
        so_far += here;
        for (std::int64_t after = signals; after >= 0; --after) {   // downwards: what comes before is still as it was
            Law into(static_cast<std::size_t>(most + 1), 0.0);
            // Each place of the category is a signal or not: the ways are divided by all of them, so that nothing overflows.
            for (std::int64_t k = 0; k <= std::min(here, after); ++k) {
                if (signals - after > all - so_far) break;
                const double ways = std::exp(log_choose(here, k) - static_cast<double>(here) * std::log(2.0));
                const Law& from = taken[static_cast<std::size_t>(after - k)];
                const auto up = static_cast<std::size_t>(k * scores[j]);
                for (std::size_t sum = up; sum < into.size(); ++sum) into[sum] += ways * from[sum - up];
            }
            taken[static_cast<std::size_t>(after)] = std::move(into);
        }
    }
    Law law = std::move(taken[static_cast<std::size_t>(signals)]);
    const double whole = std::accumulate(law.begin(), law.end(), 0.0);
    for (double& cell : law) cell /= whole;
    return law;
}

double steps_of(std::span<const SurenessCounts> tasters, std::int64_t answers) {
    double steps = 0, sums = 0;
    for (const SurenessCounts& one : tasters) {
        const auto m = static_cast<double>(total(one.signals)), n = m + static_cast<double>(total(one.noises));
        const double own = 2 * m * static_cast<double>(answers);
        steps += n * m * own;
        if (tasters.size() > 1) steps += sums * std::min(own, std::exp2(std::min(n, 60.0)));
        sums += own;
    }
    return steps;
}

/// One random relabelling of a taster: his sum of scores.
std::int64_t random_sum(const SurenessCounts& one, const std::vector<std::int64_t>& scores, core::PhiloxStream& stream) {
    std::int64_t left = total(one.signals) + total(one.noises), wanted = total(one.signals), sum = 0;
    for (std::size_t j = 0; j < scores.size(); ++j) {
        for (std::int64_t i = one.signals[j] + one.noises[j]; i > 0; --i, --left) {
            const double u = (static_cast<double>(stream.next()) + 0.5) / 4294967296.0;
            if (u * static_cast<double>(left) >= static_cast<double>(wanted)) continue;
            --wanted;
            sum += scores[j];
        }
    }
    return sum;
}

PValue drawn_p(std::span<const SurenessCounts> tasters, const std::vector<std::int64_t>& scores, std::int64_t observed,
               std::uint64_t seed) {
    double answers = 1;
    for (const SurenessCounts& one : tasters) answers += static_cast<double>(total(one.signals) + total(one.noises));
    const auto draws = static_cast<std::int64_t>(std::clamp(k_most_swaps / answers, 999.0, 99'999.0));
    std::int64_t reached = 0;
    for (std::int64_t draw = 0; draw < draws; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        std::int64_t sum = 0;
        for (const SurenessCounts& one : tasters) sum += random_sum(one, scores, stream);
        reached += sum >= observed;
    }
    const double p = static_cast<double>(reached + 1) / static_cast<double>(draws + 1);
    return {p, Found::monte_carlo, std::sqrt(p * (1 - p) / static_cast<double>(draws)), draws};
}

}   // namespace

std::optional<double> r_index(const SurenessCounts& counts) {
    const auto m = static_cast<double>(total(counts.signals)), n = static_cast<double>(total(counts.noises));
    if (m == 0 || n == 0) return std::nullopt;
    double wins = 0, below = 0;
    for (std::size_t j = 0; j < counts.signals.size(); ++j) {
        const auto here = static_cast<double>(counts.noises[j]);
        wins += static_cast<double>(counts.signals[j]) * (below + here / 2);
        below += here;
    }
    return wins / (m * n);
}

PValue r_index_p(std::span<const SurenessCounts> tasters, std::uint64_t seed) {
    if (tasters.empty()) return {};
    const SurenessCounts all = pooled(tasters);
    const std::vector<std::int64_t> scores = scores_of(all);
    std::int64_t observed = 0;
    for (std::size_t j = 0; j < scores.size(); ++j) observed += scores[j] * all.signals[j];
    if (steps_of(tasters, total(all.signals) + total(all.noises)) > k_most_steps) return drawn_p(tasters, scores, observed, seed);
    Law law{1.0};
    for (const SurenessCounts& one : tasters) {
        const Law own = own_law(one, scores);
        Law next(law.size() + own.size() - 1, 0.0);
        for (std::size_t more = 0; more < own.size(); ++more)
            if (own[more] > 0)
                for (std::size_t sum = 0; sum < law.size(); ++sum) next[sum + more] += law[sum] * own[more];
        law = std::move(next);
    }
    double tail = 0;
    for (auto sum = static_cast<std::size_t>(observed); sum < law.size(); ++sum) tail += law[sum];
    return {std::min(1.0, tail), Found::exact, 0, 0};
}

Interval r_index_interval(double r, std::int64_t signals, std::int64_t noises, double confidence, double widen) {
    promise(0 <= r && r <= 1 && signals > 0 && noises > 0 && 0 < confidence && confidence < 1 && widen >= 1);
    const double z = widen * normal_upper_quantile((1 - confidence) / 2);
    const auto m = static_cast<double>(signals), n = static_cast<double>(noises);
    const auto outside = [&](double at) {
        const double spread = at * (1 - at) * (1 + ((m + n) / 2 - 1) * ((1 - at) / (2 - at) + at / (1 + at))) / (m * n);
        return std::abs(r - at) > z * std::sqrt(spread);
    };
    const auto end = [&](double out) {
        double in = r;
        if (in == out) return out;
        out = out == 0 ? 1e-12 : 1 - 1e-12;   // at the very end the spread is 0
        if (!outside(out)) return out < 0.5 ? 0.0 : 1.0;
        for (int step = 0; step < 60; ++step) {
            const double middle = (in + out) / 2;
            (outside(middle) ? out : in) = middle;
        }
        return in;
    };
    return {end(0), end(1)};
}

double r_index_spread(std::span<const SurenessCounts> tasters) {
    if (tasters.empty()) return 1;
    const SurenessCounts all = pooled(tasters);
    const auto r = r_index(all);
    if (!r) return 1;
    const auto m = static_cast<double>(total(all.signals)), n = static_cast<double>(total(all.noises));
    std::vector<double> of_signal, of_noise;   // placements by category: the share of the others that it beats
    double noises_below = 0, signals_below = 0;
    for (std::size_t j = 0; j < all.signals.size(); ++j) {
        const auto s = static_cast<double>(all.signals[j]), o = static_cast<double>(all.noises[j]);
        of_signal.push_back((noises_below + o / 2) / n - *r);
        of_noise.push_back(1 - (signals_below + s / 2) / m - *r);
        noises_below += o, signals_below += s;
    }
    double between = 0, within = 0, people = 0;
    for (const SurenessCounts& one : tasters) {
        double sum = 0;
        for (std::size_t j = 0; j < of_signal.size(); ++j) {
            const auto s = static_cast<double>(one.signals[j]), o = static_cast<double>(one.noises[j]);
            sum += s * of_signal[j] / m + o * of_noise[j] / n;
            within += s * of_signal[j] * of_signal[j] / (m * m) + o * of_noise[j] * of_noise[j] / (n * n);
        }
        between += sum * sum;
        people += total(one.signals) + total(one.noises) > 0;
    }
    if (within == 0 || people < 2) return 1;
    return std::sqrt(std::max(1.0, between * people / (people - 1) / within));
}

}   // namespace oddplate::stats
