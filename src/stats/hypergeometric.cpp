// The hypergeometric law as a ratio of three binomial probabilities (Loader 2000), so that no factorial is ever formed.
// Tests: tests/unit/stats/order_conditional.test.cpp

#include "oddplate/stats/hypergeometric.hpp"

#include <algorithm>
#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

struct Urn {
    std::int64_t total, marked, drawn;
    [[nodiscard]] std::int64_t least() const { return std::max<std::int64_t>(0, drawn - (total - marked)); }
    [[nodiscard]] std::int64_t most() const { return std::min(marked, drawn); }
    [[nodiscard]] double mean() const {
        return total == 0 ? 0.0 : static_cast<double>(marked) * static_cast<double>(drawn) / static_cast<double>(total);
    }
    /// P(k + 1)/P(k)
    [[nodiscard]] double up(std::int64_t k) const {
        return static_cast<double>(marked - k) / static_cast<double>(k + 1) * static_cast<double>(drawn - k) /
               static_cast<double>(total - marked - drawn + k + 1);
    }
};

Urn checked(std::int64_t total, std::int64_t marked, std::int64_t drawn) {
    promise(0 <= marked && marked <= total && 0 <= drawn && drawn <= total);
    return {total, marked, drawn};
}

double upper_sum(const Urn& urn, std::int64_t k) {
    double sum = 1.0;
    double term = 1.0;
    for (std::int64_t j = k; j < urn.most() && term > 1e-18 * sum; ++j) sum += term *= urn.up(j);
    return sum * hypergeometric_pmf(k, urn.total, urn.marked, urn.drawn);
}

double lower_sum(const Urn& urn, std::int64_t k) {
    double sum = 1.0;
    double term = 1.0;
    for (std::int64_t j = k; j > urn.least() && term > 1e-18 * sum; --j) sum += term /= urn.up(j - 1);
    return sum * hypergeometric_pmf(k, urn.total, urn.marked, urn.drawn);
}

}   // namespace

double hypergeometric_pmf(std::int64_t k, std::int64_t total, std::int64_t marked, std::int64_t drawn) {
    const Urn urn = checked(total, marked, drawn);
    if (k < urn.least() || k > urn.most()) return 0.0;
    if (urn.least() == urn.most()) return 1.0;
    const double p = static_cast<double>(drawn) / static_cast<double>(total);
    return std::exp(log_binomial_pmf(k, marked, p) + log_binomial_pmf(drawn - k, total - marked, p) -
                    log_binomial_pmf(drawn, total, p));
}

double hypergeometric_upper(std::int64_t k, std::int64_t total, std::int64_t marked, std::int64_t drawn) {
    const Urn urn = checked(total, marked, drawn);
    if (k <= urn.least()) return 1.0;
    if (k > urn.most()) return 0.0;
    return std::min(1.0, static_cast<double>(k) > urn.mean() ? upper_sum(urn, k) : 1.0 - lower_sum(urn, k - 1));
}

double hypergeometric_lower(std::int64_t k, std::int64_t total, std::int64_t marked, std::int64_t drawn) {
    const Urn urn = checked(total, marked, drawn);
    if (k >= urn.most()) return 1.0;
    if (k < urn.least()) return 0.0;
    return std::min(1.0, static_cast<double>(k) < urn.mean() ? lower_sum(urn, k) : 1.0 - upper_sum(urn, k + 1));
}

}   // namespace oddplate::stats
