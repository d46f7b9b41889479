// Windows of weights: plain convolution, every sum of positive terms. Tests: tests/unit/stats/two_kinds.test.cpp

#include "lattice.hpp"

#include <algorithm>
#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {

Lattice binomial_lattice(std::int64_t n, double p, double keep) {
    promise(n >= 0 && 0.0 <= p && p <= 1.0);
    const std::int64_t mode = std::min(n, static_cast<std::int64_t>(std::floor(static_cast<double>(n + 1) * p)));
    const double peak = binomial_pmf(mode, n, p);
    if (p == 0.0 || p == 1.0) return Lattice{mode, {1.0}};
    const double odds = p / (1.0 - p);
    const double least = peak * keep;
    std::vector<double> down{peak};
    for (std::int64_t k = mode; k > 0; --k) {
        const double next = down.back() * static_cast<double>(k) / (static_cast<double>(n - k + 1) * odds);
        if (next < least) break;
        down.push_back(next);
    }
    Lattice law{mode - static_cast<std::int64_t>(down.size()) + 1, {down.rbegin(), down.rend()}};
    for (std::int64_t k = mode; k < n; ++k) {
        const double next = law.weights.back() * odds * static_cast<double>(n - k) / static_cast<double>(k + 1);
        if (next < least) break;
        law.weights.push_back(next);
    }
    return law;
}

Lattice add_lattices(const Lattice& x, const Lattice& y, std::int64_t step) {
    promise(step >= 1);
    const auto stride = static_cast<std::size_t>(step);
    Lattice sum{x.first + step * y.first, std::vector<double>(x.weights.size() + stride * (y.weights.size() - 1), 0.0)};
    for (std::size_t j = 0; j < y.weights.size(); ++j) {
        const double weight = y.weights[j];
        double* out = sum.weights.data() + stride * j;
        for (std::size_t i = 0; i < x.weights.size(); ++i) out[i] += weight * x.weights[i];
    }
    return sum;
}

void trim(Lattice& law, double keep) {
    const double least = keep * *std::max_element(law.weights.begin(), law.weights.end());
    const auto counts = [least](double weight) { return weight >= least; };
    const auto last = std::find_if(law.weights.rbegin(), law.weights.rend(), counts).base();
    law.weights.erase(last, law.weights.end());
    const auto first = std::find_if(law.weights.begin(), law.weights.end(), counts);
    law.first += first - law.weights.begin();
    law.weights.erase(law.weights.begin(), first);
}

}   // namespace oddplate::stats
