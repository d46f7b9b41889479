// The chance-corrected beta-binomial: given t ~ Beta(a, b) each answer is told with probability t, else guessed. The number told is
// beta-binomial; neighbours of it have the ratio (n - m)/(m + 1) (a + m)/(b + n - m - 1), here times gamma above and below, so that
// gamma = 0 needs no limit. Of the rest each is guessed right with the chance c: the law's generating function is the sum of
// P(m told) z^m (1 - c + c z)^(n - m), added up by Horner's rule with positive terms only. Source: Brockhoff & Schlich (1998);
// Ennis & Bi (1998). Tests: tests/unit/stats/spots_size.test.cpp

#include "taster_law.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_nothing = 1e-290;   // smaller terms add nothing, and numbers near underflow are slow

// P(m of n answers told), m = 0 .. n.
std::vector<double> told_law(std::int64_t n, double pd, double gamma) {
    std::vector<double> law(static_cast<std::size_t>(n) + 1, 0.0);
    if (pd == 0.0 || pd == 1.0 || gamma == 1.0) {   // t is 0 or 1
        law.front() = 1.0 - pd;
        law.back() += pd;
        return law;
    }
    std::vector<double> logs(law.size(), 0.0);
    const double tells = pd * (1.0 - gamma), guesses = (1.0 - pd) * (1.0 - gamma);
    for (std::int64_t m = 0; m < n; ++m) {
        const double left = static_cast<double>(n - m), had = static_cast<double>(m);
        const double ratio = left / (had + 1.0) * (tells + had * gamma) / (guesses + (left - 1.0) * gamma);
        logs[static_cast<std::size_t>(m) + 1] = logs[static_cast<std::size_t>(m)] + std::log(ratio);
    }
    const double highest = *std::max_element(logs.begin(), logs.end());
    double sum = 0.0;
    for (std::size_t m = 0; m < law.size(); ++m) sum += law[m] = std::exp(logs[m] - highest);
    for (double& weight : law) weight /= sum;
    return law;
}

}   // namespace

Lattice taster_law(std::int64_t sets, double chance, double pd, double gamma) {
    promise(sets >= 1 && 0.0 < chance && chance < 1.0 && 0.0 <= pd && pd <= 1.0 && 0.0 <= gamma && gamma <= 1.0);
    const std::vector<double> told = told_law(sets, pd, gamma);
    std::vector<double> law(told.size(), 0.0), next(told.size(), 0.0);
    law[0] = told[0];
    for (std::size_t m = 1; m < told.size(); ++m) {
        next[0] = (1.0 - chance) * law[0];
        for (std::size_t x = 1; x < m; ++x) {
            const double weight = (1.0 - chance) * law[x] + chance * law[x - 1];
            next[x] = weight < k_nothing ? 0.0 : weight;
        }
        next[m] = chance * law[m - 1] + told[m];
        if (next[0] < k_nothing) next[0] = 0.0;
        law.swap(next);
    }
    return {0, std::move(law)};
}

}   // namespace oddplate::stats
