// Three ways to the same tails: exactly, by permutation, by the normal law with a proven bound. The weights times the common
// multiple of the spots' answers are whole numbers, so the exact law is a convolution. Tests: tests/unit/stats/drift.test.cpp

#include "drift_law.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <utility>

#include "lattice.hpp"
#include "oddplate/stats/normal.hpp"
#include "sampling.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_keep = 1e-40;
constexpr double k_width = 27.0;          // standard deviations that k_keep leaves, both sides
constexpr double k_berry_esseen = 0.56;   // Shevtsova (2010)

struct Spread {
    double variance{0.0};
    double widest{0.0};   // no own sum lies farther from its mean
};

// Of one taster: `right` of the weights drawn without replacement.
Spread spread_of(const AlikeTasters& alike) {
    const auto count = static_cast<double>(alike.weights.size());
    const double mean = std::accumulate(alike.weights.begin(), alike.weights.end(), 0.0) / count;
    Spread spread;
    double squares = 0.0;
    for (const double weight : alike.weights) {
        squares += (weight - mean) * (weight - mean);
        spread.widest += std::fabs(weight - mean) / 2.0;
    }
    const auto right = static_cast<double>(alike.right);
    spread.variance = right * (1.0 - right / count) * squares / (count - 1.0);
    return spread;
}

// One taster's sum: value (from the lowest possible weights) and probability.
using OwnLaw = std::vector<std::pair<std::int64_t, double>>;

// All choices of `right` weights alike, grown one answer at a time by (number chosen, sum).
OwnLaw own_law(const std::vector<std::int64_t>& weights, std::int64_t right) {
    std::vector<std::map<std::int64_t, double>> by_chosen(static_cast<std::size_t>(right) + 1);
    by_chosen[0][0] = 1.0;
    for (const std::int64_t weight : weights) {
        for (auto chosen = static_cast<std::size_t>(right); chosen-- > 0;) {
            for (const auto& [sum, ways] : by_chosen[chosen]) by_chosen[chosen + 1][sum + weight] += ways;
        }
    }
    OwnLaw law(by_chosen.back().begin(), by_chosen.back().end());
    double ways = 0.0;
    for (const auto& [sum, count] : law) ways += count;
    for (auto& [sum, count] : law) count /= ways;
    return law;
}

Lattice add_own(const Lattice& sum, const OwnLaw& own) {
    const std::int64_t first = own.front().first;
    const auto span = static_cast<std::size_t>(own.back().first - first);
    Lattice result{sum.first + first, std::vector<double>(sum.weights.size() + span, 0.0)};
    for (const auto& [value, weight] : own) {
        double* out = result.weights.data() + (value - first);
        for (std::size_t i = 0; i < sum.weights.size(); ++i) out[i] += weight * sum.weights[i];
    }
    return result;
}

// Every taster's whole weights, counted from his lowest in units of their common divisor.
struct WholeWeights {
    std::vector<std::vector<std::int64_t>> of;
    double unit{1.0};
    double lowest{0.0};   // the sum when every value is 0
};

WholeWeights whole_weights(const WeightedSum& sum) {
    const auto scale = static_cast<double>(sum.multiple);
    WholeWeights whole;
    std::int64_t divisor = 0;
    for (const AlikeTasters& alike : sum.alike) {
        std::vector<std::int64_t>& weights = whole.of.emplace_back();
        for (const double weight : alike.weights) {
            weights.push_back(std::llround((weight - alike.weights.front()) * scale));
            divisor = std::gcd(divisor, weights.back());
        }
        whole.lowest += alike.weights.front() * static_cast<double>(alike.right * alike.tasters);
    }
    for (std::vector<std::int64_t>& weights : whole.of) {
        for (std::int64_t& weight : weights) weight /= divisor;
    }
    whole.unit = static_cast<double>(divisor) / scale;
    return whole;
}

// Steps that the convolution takes: tasters x ways x final length x 2/3 (the length grows like a square root).
double predicted_steps(const WeightedSum& sum, double unit) {
    double variance = 0.0;
    double range = 0.0;
    double additions = 0.0;
    for (const AlikeTasters& alike : sum.alike) {
        const auto tasters = static_cast<double>(alike.tasters);
        const Spread spread = spread_of(alike);
        variance += tasters * spread.variance;
        range += tasters * 2.0 * spread.widest;
        const double chosen = static_cast<double>(
            std::min<std::int64_t>(alike.right, static_cast<std::int64_t>(alike.weights.size()) - alike.right));
        // No more sums than subsets, and no more than whole numbers in the own range.
        const double subsets = std::exp(std::lgamma(static_cast<double>(alike.weights.size()) + 1.0) - std::lgamma(chosen + 1.0) -
                                        std::lgamma(static_cast<double>(alike.weights.size()) - chosen + 1.0));
        additions += tasters * std::min(subsets, 2.0 * spread.widest / unit + 1.0);
    }
    return additions * std::min(range, k_width * std::sqrt(variance)) / unit * 2.0 / 3.0;
}

// All equally likely sums of `right` of the weights, or none where they are too many to list.
std::vector<double> listed_sums(const AlikeTasters& alike) {
    constexpr std::size_t most = 4096;
    std::vector<std::vector<double>> by_chosen(static_cast<std::size_t>(alike.right) + 1);
    by_chosen[0] = {0.0};
    for (const double weight : alike.weights) {
        for (auto chosen = static_cast<std::size_t>(alike.right); chosen-- > 0;) {
            if (by_chosen[chosen + 1].size() + by_chosen[chosen].size() > most) return {};
            for (const double sum : by_chosen[chosen]) by_chosen[chosen + 1].push_back(sum + weight);
        }
    }
    return by_chosen.back();
}

// Sum of `right` weights chosen at random, one after the other.
double random_sum(core::PhiloxStream& stream, const AlikeTasters& alike) {
    double sum = 0.0;
    auto wanted = static_cast<std::uint32_t>(alike.right);
    auto left = static_cast<std::uint32_t>(alike.weights.size());
    for (std::size_t i = 0; wanted > 0; ++i, --left) {
        if (stream.below(left) >= wanted) continue;
        sum += alike.weights[i];
        --wanted;
    }
    return sum;
}

}   // namespace

std::optional<DriftTails> exact_drift(const WeightedSum& sum, double most_steps) {
    // A taster with very many places has too many sums to list.
    const auto has_many = [](const AlikeTasters& alike) { return alike.weights.size() > 64; };
    if (sum.multiple == 0 || std::any_of(sum.alike.begin(), sum.alike.end(), has_many)) return std::nullopt;
    const WholeWeights whole = whole_weights(sum);
    if (predicted_steps(sum, whole.unit) > most_steps) return std::nullopt;
    Lattice law;
    for (std::size_t i = 0; i < whole.of.size(); ++i) {
        const OwnLaw own = own_law(whole.of[i], sum.alike[i].right);
        for (std::int64_t taster = 0; taster < sum.alike[i].tasters; ++taster) {
            law = add_own(law, own);
            trim(law, k_keep);
        }
    }
    const double off = std::fabs(sum.observed - sum.expected);
    DriftTails tails{{0.0, Found::exact, 0.0, 0}, {0.0, Found::exact, 0.0, 0}};
    for (std::size_t i = 0; i < law.weights.size(); ++i) {
        const double w = whole.lowest + whole.unit * static_cast<double>(law.first + static_cast<std::int64_t>(i));
        // E W need not lie on the grid, so equality is judged by rounding alone, not by half a step.
        const double slack = 1e-9 * std::max(1.0, off);
        if (std::fabs(w - sum.expected) >= off - slack) tails.two_sided.p += law.weights[i];
        if (w <= sum.observed + slack) tails.falling.p += law.weights[i];
    }
    tails.two_sided.p = std::min(1.0, tails.two_sided.p);
    tails.falling.p = std::min(1.0, tails.falling.p);
    return tails;
}

DriftTails permuted_drift(const WeightedSum& sum, std::uint64_t seed) {
    std::vector<std::vector<double>> sums;
    double cost = 0.0;
    for (const AlikeTasters& alike : sum.alike) {
        sums.push_back(listed_sums(alike));
        cost += static_cast<double>(alike.tasters) * (sums.back().empty() ? static_cast<double>(alike.weights.size()) : 1.0);
    }
    const std::int64_t draws = draws_within_budget(cost);
    const double off = std::fabs(sum.observed - sum.expected) - 1e-9;
    std::int64_t far = 0;
    std::int64_t low = 0;
    for (std::int64_t draw = 0; draw < draws; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        double w = 0.0;
        for (std::size_t i = 0; i < sums.size(); ++i) {
            const auto ways = static_cast<std::uint32_t>(sums[i].size());
            for (std::int64_t taster = 0; taster < sum.alike[i].tasters; ++taster) {
                w += ways == 0 ? random_sum(stream, sum.alike[i]) : sums[i][stream.below(ways)];
            }
        }
        if (std::fabs(w - sum.expected) >= off) ++far;
        if (w <= sum.observed + 1e-9) ++low;
    }
    return {monte_carlo_p(far, draws), monte_carlo_p(low, draws)};
}

DriftTails normal_drift(const WeightedSum& sum) {
    double variance = 0.0;
    double third = 0.0;   // bounds Sum E|X|^3 by Sum max|X| Var X
    for (const AlikeTasters& alike : sum.alike) {
        const Spread spread = spread_of(alike);
        variance += static_cast<double>(alike.tasters) * spread.variance;
        third += static_cast<double>(alike.tasters) * spread.variance * spread.widest;
    }
    const double z = (sum.observed - sum.expected) / std::sqrt(variance);
    const double error = k_berry_esseen * third / (variance * std::sqrt(variance));
    return {{2.0 * normal_upper(std::fabs(z)), Found::normal, 2.0 * error, 0}, {normal_cdf(z), Found::normal, error, 0}};
}

}   // namespace oddplate::stats
