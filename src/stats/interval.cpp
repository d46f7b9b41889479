// Clopper-Pearson is found by Newton's method on our own tails, so that interval and test share every digit that matters; mid-p is bracketed. Tests:
// tests/unit/stats/interval.test.cpp

#include "oddplate/stats/interval.hpp"

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/promise.hpp"

#include <algorithm>
#include <cmath>

namespace oddplate::stats {
namespace {

void check(std::int64_t k, std::int64_t n, double confidence) {
    promise(n >= 1 && 0 <= k && k <= n && 0.0 < confidence && confidence < 1.0);
}

/// (1 - confidence) / 2. A confidence is a decimal fraction: from a half up it stands in steps of about 1e-16, so what the subtraction
/// leaves below that is rounding (1 - 0.9 = 0.09999999999999998).
double side_of(double confidence) {
    const double rest = 1.0 - confidence;
    return (confidence < 0.5 || rest < 1e-9 ? rest : std::nearbyint(rest * 1e16) / 1e16) / 2.0;
}

/// Wilson's lower limit for k - 1/2 of n, or about: near enough for Newton's method to need two or three steps.
double near_lower(double k, double n, double z) {
    const double p = (k - 0.5) / n;
    const double z2 = z * z / n;
    return (p + z2 / 2.0 - z * std::sqrt((p * (1.0 - p) + z2 / 4.0) / n)) / (1.0 + z2);
}

// p with P(X >= k) = tail, k from 1. Newton on log P against log p, whose slope is k P(X = k) / P(X >= k). log P is concave in log p (near 0 a line of
// slope k, flat near 1), so a step from anywhere lands below the root and the next ones rise to it: no bracket is needed.
double solve_upper(std::int64_t k, std::int64_t n, double tail) {
    const double count = static_cast<double>(k);
    double p = near_lower(count, static_cast<double>(n), normal_upper_quantile(tail));
    if (!(0.0 < p && p < 1.0)) p = count / static_cast<double>(n + 1);
    for (int i = 0; i < 200; ++i) {
        const auto [pmf, at] = binomial_upper_tail(k, n, p);
        const double next = p * std::exp(-std::log(at / tail) * at / (count * pmf));
        if (!(0.0 < next && next < 1.0)) break;
        const double step = std::fabs(next - p) / p;
        p = next;
        if (step * step * (count + 10.0) <= 1e-17) break;   // what the next step would still move: the curvature of log P is at most about k
    }
    return p;
}

// q = 1 - p with P(X <= k | p) = tail: wrong answers Y = n - X have P(Y >= n - k | q) = tail.
double solve_lower_complement(std::int64_t k, std::int64_t n, double tail) {
    return solve_upper(n - k, n, tail);
}

double mid_upper_tail(std::int64_t k, std::int64_t n, double p) {
    return binomial_upper(k + 1, n, p) + binomial_pmf(k, n, p) / 2.0;
}

// p with the mid-p upper tail of k equal to `tail`; the tail rises in p, from 0 (1/2 at k = 0) to 1 (1/2 at k = n). Bisection
// with secant steps (Illinois); the bracket ends within one part in 1e15.
double solve_mid(std::int64_t k, std::int64_t n, double tail) {
    double low = 0.0;
    double high = 1.0;
    double at_low = mid_upper_tail(k, n, low) - tail;
    double at_high = mid_upper_tail(k, n, high) - tail;
    for (int i = 0; i < 200 && high - low > 1e-15 * high; ++i) {
        double middle = (low * at_high - high * at_low) / (at_high - at_low);
        if (i % 3 == 2 || !(low < middle && middle < high)) middle = (low + high) / 2.0;
        const double at = mid_upper_tail(k, n, middle) - tail;
        if (at == 0.0) return middle;
        if (at < 0.0) {
            low = middle;
            at_low = at;
            at_high /= 2.0;
        } else {
            high = middle;
            at_high = at;
            at_low /= 2.0;
        }
    }
    return (low + high) / 2.0;
}

double log_likelihood(std::int64_t k, std::int64_t n, double p) {
    const double right = k == 0 ? 0.0 : static_cast<double>(k) * std::log(p);
    return right + (k == n ? 0.0 : static_cast<double>(n - k) * std::log1p(-p));
}

/// Between `inside`, where the likelihood is high enough, and `outside`, where it is not: where it is `level`.
double solve_likelihood(std::int64_t k, std::int64_t n, double level, double inside, double outside) {
    for (int i = 0; i < 200 && std::fabs(outside - inside) > 1e-16; ++i) {
        const double middle = (inside + outside) / 2.0;
        (log_likelihood(k, n, middle) >= level ? inside : outside) = middle;
    }
    return inside;
}

}   // namespace

Interval clopper_pearson(std::int64_t k, std::int64_t n, double confidence) {
    check(k, n, confidence);
    const double tail = side_of(confidence);
    const double side = tail * (1.0 + 1e-12);   // the rule of `significant`
    Interval result;
    // All or none right: p^n = tail and (1 - p)^n = tail.
    if (k == n) result.lower = n == 1 ? tail : std::exp(std::log(tail) / static_cast<double>(n));
    if (k == 0) result.upper = n == 1 ? 1.0 - tail : -std::expm1(std::log(tail) / static_cast<double>(n));
    if (0 < k && k < n) {
        result.lower = solve_upper(k, n, side);
        result.upper = 1.0 - solve_lower_complement(k, n, side);
    }
    return result;
}

Interval wilson(std::int64_t k, std::int64_t n, double confidence) {
    check(k, n, confidence);
    const double z = normal_upper_quantile((1.0 - confidence) / 2.0);
    const double count = static_cast<double>(n);
    const double p = static_cast<double>(k) / count;
    const double z2 = z * z / count;
    const double middle = (p + z2 / 2.0) / (1.0 + z2);
    const double half = z / (1.0 + z2) * std::sqrt(p * (1.0 - p) / count + z2 / (4.0 * count));
    Interval result;
    if (k > 0) result.lower = std::max(0.0, middle - half);
    if (k < n) result.upper = std::min(1.0, middle + half);
    return result;
}

Interval mid_p(std::int64_t k, std::int64_t n, double confidence) {
    check(k, n, confidence);
    const double side = (1.0 - confidence) / 2.0;
    Interval result;
    if (k > 0) result.lower = solve_mid(k, n, side);
    if (k < n) result.upper = 1.0 - solve_mid(n - k, n, side);
    return result;
}

Interval likelihood_interval(std::int64_t k, std::int64_t n, double confidence, double least) {
    check(k, n, confidence);
    promise(0.0 <= least && least < 1.0);
    const double z = normal_upper_quantile((1.0 - confidence) / 2.0);
    const double best = std::max(static_cast<double>(k) / static_cast<double>(n), least);
    const double level = log_likelihood(k, n, best) - z * z / 2.0;
    Interval result{least, 1.0};
    if (best > least && (k > 0 && log_likelihood(k, n, least) < level)) result.lower = solve_likelihood(k, n, level, best, least);
    if (k < n) result.upper = solve_likelihood(k, n, level, best, 1.0);
    return result;
}

Interval proportion_interval(IntervalKind kind, std::int64_t k, std::int64_t n, double confidence) {
    switch (kind) {
        case IntervalKind::clopper_pearson:
            return clopper_pearson(k, n, confidence);
        case IntervalKind::wilson:
            return wilson(k, n, confidence);
        case IntervalKind::mid_p:
            return mid_p(k, n, confidence);
        case IntervalKind::likelihood:
            return likelihood_interval(k, n, confidence);
    }
    promise(false);
    return {};
}

}   // namespace oddplate::stats
