// The sign test on tie-free votes. Tests: tests/unit/stats/preference.test.cpp

#include "oddplate/stats/preference.hpp"

#include <algorithm>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {

double preference_p(std::int64_t votes_a, std::int64_t votes_b) {
    promise(votes_a >= 0 && votes_b >= 0);
    return std::min(1.0, 2.0 * binomial_upper(std::max(votes_a, votes_b), votes_a + votes_b, 0.5));
}

std::optional<std::int64_t> least_votes(std::int64_t n, double alpha) {
    return least_correct(n, 0.5, alpha / 2.0);
}

double not_less_p(std::int64_t votes_new, std::int64_t n, double share) {
    return binomial_upper(votes_new, n, share);
}

}   // namespace oddplate::stats
