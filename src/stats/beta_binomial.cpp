// The chance-corrected beta-binomial's probability as a sum of positive terms, each from the one before (derived in the header).
// Tests: tests/unit/stats/beta_binomial.test.cpp

#include "oddplate/stats/beta_binomial.hpp"

#include <boost/math/special_functions/beta.hpp>

#include <cmath>
#include <limits>

#include "oddplate/stats/promise.hpp"
#include "policy.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_large = 1e250;

// A positive number beyond the range of doubles: value exp(log).
struct Scaled {
    double value{0.0};
    double log{0.0};
};

// E[(1 - pi)^m] as the product of its rising factors ((1 - pd)(1 - gamma) + i gamma) / ((1 - gamma) + i gamma); at i = 0 the common
// factor 1 - gamma is struck out.
Scaled none_of(const BetaSpread& spread, std::int64_t m) {
    Scaled product{1.0, 0.0};
    for (std::int64_t i = 0; i < m; ++i) {
        const double run = static_cast<double>(i) * spread.gamma;
        product.value *= i == 0 ? 1.0 - spread.pd
                                : ((1.0 - spread.pd) * (1.0 - spread.gamma) + run) / ((1.0 - spread.gamma) + run);
        if (product.value < 1.0 / k_large && product.value > 0.0) {
            product.log += std::log(product.value);
            product.value = 1.0;
        }
    }
    return product;
}

// Calls use(j, t_j, rescale) with t_j = C(k, j) (q/chance)^j E_j / E_0 for j = 0 .. k; where the terms outgrow doubles both they and
// what `use` has gathered are to be divided by `rescale` first. Answers the log of what was divided out.
template <class Use>
double walk_terms(double chance, const BetaSpread& spread, std::int64_t k, std::int64_t m, Use use) {
    const double odds = (1.0 - chance) / chance;
    double term = 1.0;
    double divided = 0.0;
    for (std::int64_t j = 0;; ++j) {
        const double rescale = term > k_large ? term : 1.0;
        if (rescale != 1.0) divided += std::log(rescale);
        term /= rescale;
        use(j, term, rescale);
        if (j == k) return divided;
        const double run = static_cast<double>(j) * spread.gamma;
        // The first success of a taster without failures: the common factor 1 - gamma is struck out.
        const double next = j + m == 0 ? spread.pd
                                       : (spread.pd * (1.0 - spread.gamma) + run) /
                                             ((1.0 - spread.gamma) + static_cast<double>(j + m) * spread.gamma);
        term *= static_cast<double>(k - j) / static_cast<double>(j + 1) * odds * next;
    }
}

double log_sequence(double chance, const BetaSpread& spread, std::int64_t k, std::int64_t n) {
    const std::int64_t m = n - k;
    const Scaled first = none_of(spread, m);
    // Where nobody ever fails (pd = 1, or gamma = 1 with pd = 1) a wrong answer is impossible.
    if (!(first.value > 0.0)) return -std::numeric_limits<double>::infinity();
    double sum = 0.0;
    const double divided = walk_terms(chance, spread, k, m, [&](std::int64_t, double term, double rescale) { sum = sum / rescale + term; });
    return static_cast<double>(k) * std::log(chance) + static_cast<double>(m) * std::log1p(-chance) + std::log(first.value) + first.log +
           std::log(sum) + divided;
}

void check(double chance, const BetaSpread& spread) {
    promise(0.0 < chance && chance < 1.0 && 0.0 <= spread.pd && spread.pd <= 1.0 && 0.0 <= spread.gamma && spread.gamma <= 1.0);
}

// P(pi > 1/2) for Beta(a, b) that may have run into an end of its range.
double above_half(double a, double b) {
    if (a <= 0.0) return 0.0;
    if (b <= 0.0) return 1.0;
    return boost::math::ibetac(a, b, 0.5, Quiet{});
}

// What is left where all tasters are alike, or of two kinds: no Beta with finite parameters.
Telling telling_at_end(double chance, const BetaSpread& spread, std::int64_t k, std::int64_t n) {
    if (spread.gamma == 0.0) return {spread.pd, spread.pd > 0.5 ? 1.0 : 0.0};
    if (k < n) return {0.0, 0.0};
    const double guessed = (1.0 - spread.pd) * std::pow(chance, static_cast<double>(n));
    const double told = spread.pd + guessed > 0.0 ? spread.pd / (spread.pd + guessed) : 0.0;
    return {told, told};
}

}   // namespace

double log_beta_binomial(double chance, const BetaSpread& spread, std::int64_t k, std::int64_t n) {
    check(chance, spread);
    promise(0 <= k && k <= n);
    const double all = static_cast<double>(n), right = static_cast<double>(k);
    return std::lgamma(all + 1.0) - std::lgamma(right + 1.0) - std::lgamma(all - right + 1.0) + log_sequence(chance, spread, k, n);
}

double beta_binomial_likelihood(double chance, const BetaSpread& spread, std::span<const AlikeCounts> counts) {
    check(chance, spread);
    double sum = 0.0;
    for (const AlikeCounts& count : counts)
        sum += static_cast<double>(count.tasters) * log_sequence(chance, spread, count.correct, count.of);
    return sum;
}

Telling telling(double chance, const BetaSpread& spread, std::int64_t k, std::int64_t n) {
    check(chance, spread);
    promise(0 <= k && k <= n);
    // Beta's parameters below 1e-9 or above 1e9 are the ends of its range.
    if (spread.gamma < 1e-9) return telling_at_end(chance, {spread.pd, 0.0}, k, n);
    if (spread.gamma > 1.0 - 1e-9) return telling_at_end(chance, {spread.pd, 1.0}, k, n);
    const double size = (1.0 - spread.gamma) / spread.gamma;
    const double a = spread.pd * size;
    const double b = (1.0 - spread.pd) * size;
    const std::int64_t m = n - k;
    double sum = 0.0;
    Telling weighed;
    walk_terms(chance, spread, k, m, [&](std::int64_t j, double term, double rescale) {
        const double with = a + static_cast<double>(j);
        const double without = b + static_cast<double>(m);
        sum = sum / rescale + term;
        weighed.mean = weighed.mean / rescale + term * with / (with + without);
        weighed.mostly = weighed.mostly / rescale + term * above_half(with, without);
    });
    return {weighed.mean / sum, weighed.mostly / sum};
}

}   // namespace oddplate::stats
