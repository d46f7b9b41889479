// The chance-corrected beta-binomial: given t ~ Beta(a, b) each answer is told with probability t, else guessed. The number told
// is beta-binomial, E t^i (1-t)^k = a^(i) b^(k) / (a+b)^(i+k) in rising factorials (each factor times gamma, so that gamma = 0
// needs no limit), and of the rest a binomial number is guessed right: a sum of positive terms. Source: Brockhoff & Schlich
// (1998); Ennis & Bi (1998). Tests: tests/unit/stats/spots_size.test.cpp

#include "taster_law.hpp"

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

// x (x + gamma) (x + 2 gamma) ..., `count` factors.
double rising(double x, double gamma, std::int64_t count) {
    double product = 1.0;
    for (std::int64_t r = 0; r < count; ++r) product *= x + static_cast<double>(r) * gamma;
    return product;
}

// E t^i (1 - t)^k.
double moment(double pd, double gamma, std::int64_t i, std::int64_t k) {
    if (gamma == 1.0) {   // t is 1 with probability pd, else 0
        if (i > 0 && k > 0) return 0.0;
        return i > 0 ? pd : (k > 0 ? 1.0 - pd : 1.0);
    }
    const double all = 1.0 - gamma;
    return rising(pd * all, gamma, i) * rising((1.0 - pd) * all, gamma, k) / rising(all, gamma, i + k);
}

}   // namespace

Lattice taster_law(std::int64_t sets, double chance, double pd, double gamma) {
    promise(sets >= 1 && 0.0 < chance && chance < 1.0 && 0.0 <= pd && pd <= 1.0 && 0.0 <= gamma && gamma <= 1.0);
    Lattice law{0, std::vector<double>(static_cast<std::size_t>(sets) + 1, 0.0)};
    for (std::int64_t m = 0; m <= sets; ++m) {   // answers told
        double ways = 1.0;
        for (std::int64_t i = 1; i <= m; ++i) ways = ways * static_cast<double>(sets - m + i) / static_cast<double>(i);
        const double told = ways * moment(pd, gamma, m, sets - m);
        for (std::int64_t j = m; j <= sets; ++j) {
            law.weights[static_cast<std::size_t>(j)] += told * binomial_pmf(j - m, sets - m, chance);
        }
    }
    return law;
}

}   // namespace oddplate::stats
