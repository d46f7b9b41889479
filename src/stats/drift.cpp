// Does correctness change over the sitting? A weighted sum of right answers under permutation within tasters, the weights being
// positions less their spot's mean. Whole numbers (weights times the common multiple of the spots' answers) make the exact law a
// convolution; beyond its budget permutations, beyond those the normal law with a proven bound.
// Tests: tests/unit/stats/drift.test.cpp

#include "oddplate/stats/drift.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <utility>
#include <vector>

#include "lattice.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/promise.hpp"
#include "sampling.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_most_steps = 3e7;
constexpr double k_keep = 1e-40;
constexpr std::size_t k_most_permuted = 30'000;   // answers; more go to the normal law
constexpr double k_berry_esseen = 0.56;

// Tasters with the same weights and the same number right.
struct Alike {
    std::vector<double> weights;   // sorted
    std::int64_t right{0};
    std::int64_t tasters{0};
};

struct Sitting {
    std::vector<Alike> alike;        // only tasters whose right answers can fall differently
    double observed{0.0};            // W of those tasters
    double expected{0.0};            // E W of those tasters
    double squares{0.0};             // Sum of squared weights over all answers
    double all_observed{0.0};        // W of all tasters
    std::int64_t multiple{1};        // weights times this are whole; 0 where that is too large
    bool repeats{false};             // somebody gave two answers
    std::size_t answers{0};          // of the tasters in `alike`
};

struct SpotMean {
    std::int64_t answers{0};
    std::int64_t positions{0};
};

std::map<std::int32_t, SpotMean> spot_means(std::span<const PlacedAnswer> answers) {
    std::map<std::int32_t, SpotMean> means;
    for (const PlacedAnswer& answer : answers) {
        SpotMean& mean = means[answer.spot];
        ++mean.answers;
        mean.positions += answer.position;
    }
    return means;
}

Sitting sort_out(std::span<const PlacedAnswer> answers) {
    Sitting sitting;
    const auto means = spot_means(answers);
    for (const auto& [spot, mean] : means) {
        if (sitting.multiple != 0) sitting.multiple = std::lcm(sitting.multiple, mean.answers);
        if (sitting.multiple > 1'000'000) sitting.multiple = 0;
    }
    struct Own {
        std::vector<double> weights;
        std::int64_t right{0};
        double observed{0.0};
    };
    std::map<std::int32_t, Own> tasters;
    for (const PlacedAnswer& answer : answers) {
        const SpotMean& mean = means.at(answer.spot);
        const double weight = static_cast<double>(answer.position * mean.answers - mean.positions) / static_cast<double>(mean.answers);
        Own& own = tasters[answer.taster];
        own.weights.push_back(weight);
        sitting.squares += weight * weight;
        if (!answer.correct) continue;
        ++own.right;
        own.observed += weight;
    }
    std::map<std::pair<std::vector<double>, std::int64_t>, std::int64_t> alike;
    for (auto& [taster, own] : tasters) {
        const auto count = static_cast<std::int64_t>(own.weights.size());
        sitting.repeats = sitting.repeats || count > 1;
        sitting.all_observed += own.observed;
        std::sort(own.weights.begin(), own.weights.end());
        if (own.right == 0 || own.right == count || own.weights.front() == own.weights.back()) continue;
        sitting.observed += own.observed;
        sitting.answers += own.weights.size();
        ++alike[{std::move(own.weights), own.right}];
    }
    for (const auto& [key, count] : alike) {
        sitting.alike.push_back({key.first, key.second, count});
        const double sum = std::accumulate(key.first.begin(), key.first.end(), 0.0);
        sitting.expected += sum * static_cast<double>(key.second) / static_cast<double>(key.first.size()) * static_cast<double>(count);
    }
    return sitting;
}

// Law of the sum of `right` of the taster's whole weights, all choices alike: grown one answer at a time by (number chosen, sum).
Lattice subset_law(const std::vector<std::int64_t>& weights, std::int64_t right) {
    std::vector<std::map<std::int64_t, double>> by_chosen(static_cast<std::size_t>(right) + 1);
    by_chosen[0][0] = 1.0;
    for (const std::int64_t weight : weights) {
        for (auto chosen = static_cast<std::size_t>(right); chosen-- > 0;) {
            for (const auto& [sum, ways] : by_chosen[chosen]) by_chosen[chosen + 1][sum + weight] += ways;
        }
    }
    const auto& sums = by_chosen.back();
    double ways = 0.0;
    for (const auto& [sum, count] : sums) ways += count;
    Lattice law{sums.begin()->first, std::vector<double>(static_cast<std::size_t>(sums.rbegin()->first - sums.begin()->first) + 1, 0.0)};
    for (const auto& [sum, count] : sums) law.weights[static_cast<std::size_t>(sum - law.first)] = count / ways;
    return law;
}

struct Tails {
    double two_sided{0.0};
    double falling{0.0};   // P(W <= observed)
};

// Adds `law` onto `sum`, skipping the many zeros of `law`.
Lattice add_sparse(const Lattice& sum, const Lattice& law) {
    Lattice result{sum.first + law.first, std::vector<double>(sum.weights.size() + law.weights.size() - 1, 0.0)};
    for (std::size_t j = 0; j < law.weights.size(); ++j) {
        if (law.weights[j] == 0.0) continue;
        for (std::size_t i = 0; i < sum.weights.size(); ++i) result.weights[i + j] += law.weights[j] * sum.weights[i];
    }
    return result;
}

std::optional<Tails> exact_tails(const Sitting& sitting) {
    if (sitting.multiple == 0) return std::nullopt;
    const auto scale = static_cast<double>(sitting.multiple);
    // Whole weights from each taster's lowest, in units of their common divisor.
    std::vector<std::vector<std::int64_t>> whole;
    std::int64_t unit = 0;
    double shift = 0.0;
    for (const Alike& alike : sitting.alike) {
        if (alike.weights.size() > 64) return std::nullopt;   // too many sums of subsets
        std::vector<std::int64_t>& weights = whole.emplace_back();
        for (const double weight : alike.weights) {
            weights.push_back(std::llround((weight - alike.weights.front()) * scale));
            unit = std::gcd(unit, weights.back());
        }
        shift += alike.weights.front() * static_cast<double>(alike.right * alike.tasters);
    }
    Lattice law;
    double steps = 0.0;
    for (std::size_t i = 0; i < whole.size(); ++i) {
        for (std::int64_t& weight : whole[i]) weight /= unit;
        const Lattice own = subset_law(whole[i], sitting.alike[i].right);
        const auto sums = std::count_if(own.weights.begin(), own.weights.end(), [](double weight) { return weight > 0.0; });
        for (std::int64_t taster = 0; taster < sitting.alike[i].tasters; ++taster) {
            steps += static_cast<double>(sums) * static_cast<double>(law.weights.size());
            if (steps > k_most_steps) return std::nullopt;
            law = add_sparse(law, own);
            trim(law, k_keep);
        }
    }
    const double step = static_cast<double>(unit) / scale;
    const double off = std::fabs(sitting.observed - sitting.expected);
    Tails tails;
    for (std::size_t i = 0; i < law.weights.size(); ++i) {
        const double w = shift + step * static_cast<double>(law.first + static_cast<std::int64_t>(i));
        if (std::fabs(w - sitting.expected) >= off - step / 4.0) tails.two_sided += law.weights[i];
        if (w <= sitting.observed + step / 4.0) tails.falling += law.weights[i];
    }
    return Tails{std::min(1.0, tails.two_sided), std::min(1.0, tails.falling)};
}

// Sum of `right` weights chosen at random, one after the other.
double random_sum(core::PhiloxStream& stream, const Alike& alike) {
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

void permute(const Sitting& sitting, std::uint64_t seed, DriftTest& result) {
    const std::int64_t draws = draws_within_budget(static_cast<double>(sitting.answers));
    const double off = std::fabs(sitting.observed - sitting.expected) - 1e-9;
    std::int64_t far = 0;
    std::int64_t low = 0;
    for (std::int64_t draw = 0; draw < draws; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        double w = 0.0;
        for (const Alike& alike : sitting.alike) {
            for (std::int64_t taster = 0; taster < alike.tasters; ++taster) w += random_sum(stream, alike);
        }
        if (std::fabs(w - sitting.expected) >= off) ++far;
        if (w <= sitting.observed + 1e-9) ++low;
    }
    result.two_sided = monte_carlo_p(far, draws);
    result.falling = monte_carlo_p(low, draws);
}

void normal_law(const Sitting& sitting, DriftTest& result) {
    double variance = 0.0;
    double third = 0.0;   // bounds Sum E|X|^3 by Sum max|X| Var X
    for (const Alike& alike : sitting.alike) {
        const auto count = static_cast<double>(alike.weights.size());
        const double mean = std::accumulate(alike.weights.begin(), alike.weights.end(), 0.0) / count;
        double squares = 0.0;
        double widest = 0.0;
        for (const double weight : alike.weights) {
            squares += (weight - mean) * (weight - mean);
            widest += std::fabs(weight - mean) / 2.0;
        }
        const auto right = static_cast<double>(alike.right);
        const double own = right * (1.0 - right / count) * squares / (count - 1.0);
        variance += static_cast<double>(alike.tasters) * own;
        third += static_cast<double>(alike.tasters) * own * widest;
    }
    const double z = (sitting.observed - sitting.expected) / std::sqrt(variance);
    const double error = k_berry_esseen * third / (variance * std::sqrt(variance));
    result.two_sided = PValue{2.0 * normal_upper(std::fabs(z)), Found::normal, 2.0 * error, 0};
    result.falling = PValue{normal_cdf(z), Found::normal, error, 0};
}

}   // namespace

DriftTest drift(std::span<const PlacedAnswer> answers, std::uint64_t seed) {
    const Sitting sitting = sort_out(answers);
    DriftTest result;
    if (!sitting.repeats) {
        result.why = NoDrift::one_position;
        return result;
    }
    if (!(sitting.squares > 0.0)) {
        result.why = NoDrift::confounded;
        return result;
    }
    result.slope = sitting.all_observed / sitting.squares;
    if (sitting.alike.empty()) {
        result.why = NoDrift::nothing_varies;
        return result;
    }
    if (const auto tails = exact_tails(sitting)) {
        result.two_sided = PValue{tails->two_sided, Found::exact, 0.0, 0};
        result.falling = PValue{tails->falling, Found::exact, 0.0, 0};
    } else if (sitting.answers <= k_most_permuted) {
        permute(sitting, seed, result);
    } else {
        normal_law(sitting, result);
    }
    return result;
}

}   // namespace oddplate::stats
