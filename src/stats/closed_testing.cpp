// Every set of spots as the bits of a number; a set's test is one binomial tail. Tests: tests/unit/stats/closed_testing.test.cpp

#include "oddplate/stats/closed_testing.hpp"

#include <algorithm>
#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {

std::optional<ClosedTest> closed_test(std::span<const SpotCount> spots, double chance) {
    constexpr std::size_t most_spots = 8;
    if (spots.empty() || spots.size() > most_spots) return std::nullopt;
    ClosedTest found;
    found.p_adjusted.assign(spots.size(), 0.0);
    const unsigned all = (1u << spots.size()) - 1u;
    for (unsigned set = 1; set <= all; ++set) {
        SpotCount together;
        for (std::size_t j = 0; j < spots.size(); ++j) {
            if ((set >> j & 1u) == 0) continue;
            promise(0 <= spots[j].correct && spots[j].correct <= spots[j].of);
            together.correct += spots[j].correct;
            together.of += spots[j].of;
        }
        const double p = binomial_upper(together.correct, together.of, chance);
        for (std::size_t j = 0; j < spots.size(); ++j)
            if ((set >> j & 1u) != 0) found.p_adjusted[j] = std::max(found.p_adjusted[j], p);
        if (set == all) found.p_anywhere = p;
    }
    return found;
}

double smallest_p(std::span<const SpotCount> spots, double chance) {
    double smallest = 1.0;
    for (const SpotCount& spot : spots) smallest = std::min(smallest, binomial_upper(spot.correct, spot.of, chance));
    if (smallest <= 0.0) return 0.0;   // beyond doubles
    double log_none = 0.0;
    for (const SpotCount& spot : spots) {
        const auto least = spot.of > 0 && smallest < 1.0 ? least_correct(spot.of, chance, smallest) : std::nullopt;
        if (least) log_none += std::log1p(-binomial_upper(*least, spot.of, chance));
    }
    return smallest >= 1.0 ? 1.0 : -std::expm1(log_none);
}

double simultaneous_confidence(double confidence, std::size_t spots) {
    promise(0.0 < confidence && confidence < 1.0 && spots >= 1);
    return 1.0 - (1.0 - confidence) / static_cast<double>(spots);
}

}   // namespace oddplate::stats
