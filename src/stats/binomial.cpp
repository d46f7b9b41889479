// Binomial probabilities by the saddle-point form (Loader 2000): log b(k; n, p) is a deviance, taken with k - np free of
// rounding, plus Stirling remainders; tails are positive series summed outward from k by the ratio of neighbouring terms. Good
// for n to 10 million and beyond (cost: about 10 standard deviations of steps). Below 1e-290 digits are lost to underflow. The
// exponent is carried in long double; where that is no wider than double, 1e-13 holds for probabilities above 1e-100 only. Tests:
// tests/unit/stats/binomial.test.cpp

#include "oddplate/stats/binomial.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

using Wide = long double;
constexpr Wide k_two_pi = 6.283185307179586476925286766559L;

// log n! - log(sqrt(2 pi n) (n/e)^n) for n from 1: exact differences for small n, Stirling's series beyond.
Wide stirling_remainder(std::int64_t n) {
    static const std::array<Wide, 16> small = [] {
        std::array<Wide, 16> table{};
        Wide log_factorial = 0;
        for (int i = 1; i < 16; ++i) {
            const Wide x = i;
            log_factorial += std::log(x);
            table[static_cast<std::size_t>(i)] = log_factorial - (x + 0.5L) * std::log(x) + x - 0.5L * std::log(k_two_pi);
        }
        return table;
    }();
    if (n < 16) return small[static_cast<std::size_t>(n)];
    const Wide x = static_cast<Wide>(n);
    const Wide r = 1 / (x * x);
    const Wide tail =
        1.0L / 1260 - r * (1.0L / 1680 - r * (1.0L / 1188 - r * (691.0L / 360360 - r * (1.0L / 156 - r * 3617.0L / 122400))));
    return (1.0L / 12 - r * (1.0L / 360 - r * tail)) / x;
}

// x log(x/mean) - x + mean, where delta = x - mean is known better than the difference of the two.
Wide deviance(Wide x, Wide mean, Wide delta) {
    if (std::fabs(delta) >= 0.1L * (x + mean)) return x * std::log(x / mean) - delta;
    const Wide v = delta / (x + mean);
    Wide sum = delta * v;
    Wide power = 2 * x * v;
    for (int j = 1; j < 200; ++j) {
        power *= v * v;
        const Wide next = sum + power / (2 * j + 1);
        if (next == sum) break;
        sum = next;
    }
    return sum;
}

// log P(X = k) for 0 <= k <= n and 0 < p < 1.
Wide wide_log_pmf(std::int64_t k, std::int64_t n, double p) {
    const Wide wide_n = static_cast<Wide>(n);
    if (k == 0) return wide_n * std::log1p(-static_cast<Wide>(p));
    if (k == n) return wide_n * std::log(static_cast<Wide>(p));
    // n p = high + low without rounding, so that k - n p keeps its digits however large n is.
    const double high = static_cast<double>(n) * p;
    const double low = std::fma(static_cast<double>(n), p, -high);
    const Wide delta = (static_cast<Wide>(k) - high) - low;
    const Wide right = static_cast<Wide>(k);
    const Wide wrong = static_cast<Wide>(n - k);
    const Wide bits = stirling_remainder(n) - stirling_remainder(k) - stirling_remainder(n - k);
    return bits - deviance(right, wide_n * p, delta) - deviance(wrong, wide_n * (1 - static_cast<Wide>(p)), -delta) -
           std::log(k_two_pi * right * (wrong / wide_n)) / 2;
}

// Sum of terms relative to the first: t_0 = 1, t_{j+1} = t_j ratio(j), while they count. Ratios fall as j grows. Carried in Wide,
// as the rounding of the odds adds up over thousands of terms.
template <class Ratio>
double series(std::int64_t most, Ratio ratio) {
    Wide sum = 1;
    Wide term = 1;
    for (std::int64_t j = 0; j < most; ++j) {
        const Wide r = ratio(j);
        term *= r;
        sum += term;
        // What is left is less than the geometric series with this ratio.
        if (r < 1 && term * r < 1e-19L * sum * (1 - r)) break;
    }
    return static_cast<double>(sum);
}

double upper_series(std::int64_t k, std::int64_t n, double p, double first) {
    if (first == 0.0) return 0.0;
    const Wide odds = static_cast<Wide>(p) / (1 - static_cast<Wide>(p));
    return first *
           series(n - k, [&](std::int64_t j) { return odds * static_cast<Wide>(n - k - j) / static_cast<Wide>(k + j + 1); });
}

double lower_series(std::int64_t k, std::int64_t n, double p) {
    const double first = binomial_pmf(k, n, p);
    if (first == 0.0) return 0.0;
    const Wide odds = (1 - static_cast<Wide>(p)) / static_cast<Wide>(p);
    return first * series(k, [&](std::int64_t j) { return odds * static_cast<Wide>(k - j) / static_cast<Wide>(n - k + j + 1); });
}

void check(std::int64_t n, double p) {
    promise(n >= 0 && 0.0 <= p && p <= 1.0);
}

// Where a normal law with skewness correction (Cornish & Fisher 1937) puts the fewest k whose upper tail is alpha.
std::int64_t guess_least(std::int64_t n, double p, double alpha) {
    const double sd = std::sqrt(static_cast<double>(n) * p * (1.0 - p));
    const double z = normal_upper_quantile(alpha);
    const double guess = static_cast<double>(n) * p + z * sd + (z * z - 1.0) * (1.0 - 2.0 * p) / 6.0 + 0.5;
    return std::llround(std::clamp(guess, 0.0, static_cast<double>(n) + 1.0));
}

// The end of the run of significant counts nearest to `guess`: the last k with passes(k), walking by `step` towards failing
// counts.
template <class Passes>
std::int64_t boundary(std::int64_t guess, std::int64_t step, Passes passes) {
    std::int64_t k = guess;
    while (!passes(k)) k -= step;
    while (passes(k + step)) k += step;
    return k;
}

}   // namespace

double log_binomial_pmf(std::int64_t k, std::int64_t n, double p) {
    check(n, p);
    constexpr double impossible = -std::numeric_limits<double>::infinity();
    if (k < 0 || k > n) return impossible;
    if (p == 0.0) return k == 0 ? 0.0 : impossible;
    if (p == 1.0) return k == n ? 0.0 : impossible;
    return static_cast<double>(wide_log_pmf(k, n, p));
}

double binomial_pmf(std::int64_t k, std::int64_t n, double p) {
    check(n, p);
    if (k < 0 || k > n) return 0.0;
    if (p == 0.0) return k == 0 ? 1.0 : 0.0;
    if (p == 1.0) return k == n ? 1.0 : 0.0;
    return static_cast<double>(std::exp(wide_log_pmf(k, n, p)));
}

double binomial_upper(std::int64_t k, std::int64_t n, double p) {
    check(n, p);
    if (k <= 0) return 1.0;
    if (k > n || p == 0.0) return 0.0;
    if (p == 1.0) return 1.0;
    if (static_cast<double>(k) > static_cast<double>(n) * p) return std::min(1.0, upper_series(k, n, p, binomial_pmf(k, n, p)));
    return 1.0 - lower_series(k - 1, n, p);
}

UpperTail binomial_upper_tail(std::int64_t k, std::int64_t n, double p) {
    check(n, p);
    const double pmf = binomial_pmf(k, n, p);
    const bool is_above = 0.0 < p && p < 1.0 && k <= n && static_cast<double>(k) > static_cast<double>(n) * p;
    return {.pmf = pmf, .tail = is_above ? std::min(1.0, upper_series(k, n, p, pmf)) : binomial_upper(k, n, p)};
}

double binomial_lower(std::int64_t k, std::int64_t n, double p) {
    check(n, p);
    if (k >= n) return 1.0;
    if (k < 0 || p == 1.0) return 0.0;
    if (p == 0.0) return 1.0;
    if (static_cast<double>(k) < static_cast<double>(n) * p) return std::min(1.0, lower_series(k, n, p));
    return 1.0 - upper_series(k + 1, n, p, binomial_pmf(k + 1, n, p));
}

std::optional<std::int64_t> least_correct(std::int64_t n, double p0, double alpha) {
    check(n, p0);
    promise(0.0 < alpha && alpha < 1.0);
    if (!significant(binomial_upper(n, n, p0), alpha)) return std::nullopt;
    const auto passes = [&](std::int64_t k) { return significant(binomial_upper(k, n, p0), alpha); };
    return boundary(std::min(guess_least(n, p0, alpha), n), -1, passes);
}

std::optional<std::int64_t> most_correct(std::int64_t n, double p1, double alpha) {
    check(n, p1);
    promise(0.0 < alpha && alpha < 1.0);
    if (!significant(binomial_lower(0, n, p1), alpha)) return std::nullopt;
    const auto passes = [&](std::int64_t k) { return significant(binomial_lower(k, n, p1), alpha); };
    return boundary(std::max<std::int64_t>(n - guess_least(n, 1.0 - p1, alpha), 0), 1, passes);
}

}   // namespace oddplate::stats
