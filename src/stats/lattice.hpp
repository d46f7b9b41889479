#pragma once
// Laws of whole numbers as windows of weights, and adding independent ones.

#include <cstdint>
#include <vector>

namespace oddplate::stats {

/// P(X = first + i) = weights[i]; what lies outside is too small to keep.
struct Lattice {
    std::int64_t first{0};
    std::vector<double> weights{1.0};

    [[nodiscard]] std::int64_t last() const { return first + static_cast<std::int64_t>(weights.size()) - 1; }
    [[nodiscard]] double at(std::int64_t x) const {
        return x < first || x > last() ? 0.0 : weights[static_cast<std::size_t>(x - first)];
    }
};

/// Binomial(n, p), terms below `keep` times the largest left out; from the mode outward by ratios, so nothing underflows early.
[[nodiscard]] Lattice binomial_lattice(std::int64_t n, double p, double keep);

/// X + step Y for independent X and Y; step from 1. Costs the product of the two lengths.
[[nodiscard]] Lattice add_lattices(const Lattice& x, const Lattice& y, std::int64_t step = 1);

/// Leaves out the ends whose weights are below `keep` times the largest.
void trim(Lattice& law, double keep);

}   // namespace oddplate::stats
