// Does correctness change over the sitting? Each answer gets the weight "position less the mean position of its spot"; the
// statistic is the sum of the weights of right answers, its law that of dealing each taster's right answers over his own places
// (drift_law.hpp). Tests: tests/unit/stats/drift.test.cpp

#include "oddplate/stats/drift.hpp"

#include <algorithm>
#include <map>
#include <numeric>
#include <utility>
#include <vector>

#include "drift_law.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_most_steps = 5e7;
constexpr std::size_t k_most_permuted = 30'000;   // answers; more go to the normal law
constexpr std::int64_t k_most_multiple = 1'000'000;

struct Sitting {
    WeightedSum sum;
    double squares{0.0};        // Sum of squared weights over all answers
    double all_observed{0.0};   // the statistic over all tasters
    bool repeats{false};        // somebody gave two answers
    std::size_t answers{0};     // of the tasters whose sum can vary
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

std::int64_t common_multiple(const std::map<std::int32_t, SpotMean>& means) {
    std::int64_t multiple = 1;
    for (const auto& [spot, mean] : means) {
        multiple = std::lcm(multiple, mean.answers);
        if (multiple > k_most_multiple) return 0;
    }
    return multiple;
}

// An answer with its weight in place of spot and position.
struct Weighed {
    std::int32_t taster;
    bool correct;
    double weight;
};

std::vector<Weighed> weigh(std::span<const PlacedAnswer> answers, const std::map<std::int32_t, SpotMean>& means) {
    std::vector<Weighed> weighed;
    weighed.reserve(answers.size());
    for (const PlacedAnswer& answer : answers) {
        const SpotMean& mean = means.at(answer.spot);
        const double weight =
            static_cast<double>(answer.position * mean.answers - mean.positions) / static_cast<double>(mean.answers);
        weighed.push_back({answer.taster, answer.correct, weight});
    }
    std::sort(weighed.begin(), weighed.end(), [](const Weighed& a, const Weighed& b) {
        return a.taster != b.taster ? a.taster < b.taster : a.weight < b.weight;
    });
    return weighed;
}

void add_taster(std::span<const Weighed> own, Sitting& sitting) {
    AlikeTasters alike{{}, 0, 1};
    double observed = 0.0;
    double sum = 0.0;
    for (const Weighed& answer : own) {
        alike.weights.push_back(answer.weight);
        sitting.squares += answer.weight * answer.weight;
        sum += answer.weight;
        if (!answer.correct) continue;
        ++alike.right;
        observed += answer.weight;
    }
    const auto count = static_cast<std::int64_t>(own.size());
    sitting.repeats = sitting.repeats || count > 1;
    sitting.all_observed += observed;
    if (alike.right == 0 || alike.right == count || alike.weights.front() == alike.weights.back()) return;
    sitting.sum.observed += observed;
    sitting.sum.expected += sum * static_cast<double>(alike.right) / static_cast<double>(count);
    sitting.answers += own.size();
    sitting.sum.alike.push_back(std::move(alike));
}

// Equal tasters taken together.
void merge_alike(std::vector<AlikeTasters>& all) {
    std::sort(all.begin(), all.end(), [](const AlikeTasters& a, const AlikeTasters& b) {
        return a.right != b.right ? a.right < b.right : a.weights < b.weights;
    });
    std::vector<AlikeTasters> merged;
    for (AlikeTasters& one : all) {
        if (!merged.empty() && merged.back().right == one.right && merged.back().weights == one.weights)
            ++merged.back().tasters;
        else
            merged.push_back(std::move(one));
    }
    all = std::move(merged);
}

Sitting sort_out(std::span<const PlacedAnswer> answers) {
    Sitting sitting;
    const auto means = spot_means(answers);
    sitting.sum.multiple = common_multiple(means);
    const std::vector<Weighed> weighed = weigh(answers, means);
    for (std::size_t from = 0; from < weighed.size();) {
        std::size_t to = from;
        while (to < weighed.size() && weighed[to].taster == weighed[from].taster) ++to;
        add_taster(std::span(weighed).subspan(from, to - from), sitting);
        from = to;
    }
    merge_alike(sitting.sum.alike);
    return sitting;
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
    if (sitting.sum.alike.empty()) {
        result.why = NoDrift::nothing_varies;
        return result;
    }
    auto tails = exact_drift(sitting.sum, k_most_steps);
    if (!tails) tails = sitting.answers <= k_most_permuted ? permuted_drift(sitting.sum, seed) : normal_drift(sitting.sum);
    result.two_sided = tails->two_sided;
    result.falling = tails->falling;
    return result;
}

}   // namespace oddplate::stats
