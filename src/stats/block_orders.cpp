// Tests: tests/unit/stats/block_orders.test.cpp

#include "oddplate/stats/block_orders.hpp"

#include <algorithm>
#include <cstdlib>

#include "lattice.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

constexpr int k_largest = 10;   // an entry

/// Sum over the block's positions of the entry that its order names; orders a random permutation.
Lattice law_of(const Block& block, int orders) {
    const auto width = static_cast<std::size_t>(2 * k_largest * orders + 1);
    const auto middle = static_cast<std::ptrdiff_t>(k_largest * orders);
    // ways[used]: how many ways to serve the first positions with the orders in `used`, by total.
    std::vector<std::vector<double>> ways(std::size_t{1} << orders, std::vector<double>());
    ways[0].assign(width, 0.0);
    ways[0][static_cast<std::size_t>(middle)] = 1;
    for (std::size_t used = 0; used + 1 < ways.size(); ++used) {
        const int position = __builtin_popcountll(used);
        for (int order = 0; order < orders; ++order) {
            if (used >> order & 1) continue;
            std::vector<double>& next = ways[used | std::size_t{1} << order];
            if (next.empty()) next.assign(width, 0.0);
            const int value = block[static_cast<std::size_t>(position * orders + order)];
            promise(std::abs(value) <= k_largest);
            for (std::size_t i = 0; i < width; ++i)
                if (ways[used][i] != 0) next[static_cast<std::size_t>(static_cast<std::ptrdiff_t>(i) + value)] += ways[used][i];
        }
    }
    double permutations = 1;
    for (int i = 2; i <= orders; ++i) permutations *= i;
    Lattice law{.first = -middle, .weights = std::move(ways.back())};
    for (double& weight : law.weights) weight /= permutations;
    trim(law, 1e-300);
    return law;
}

Lattice law_of(std::span<const Block> blocks, int orders) {
    promise(1 <= orders && orders <= 8);
    Lattice total;
    for (const Block& block : blocks) {
        promise(block.size() == static_cast<std::size_t>(orders * orders));
        if (std::all_of(block.begin(), block.end(), [](int value) { return value == 0; })) continue;
        total = add_lattices(total, law_of(block, orders));
        trim(total, 1e-300);   // a p far below any limit is still no 0
    }
    return total;
}

}   // namespace

double block_orders_upper(std::span<const Block> blocks, int orders, std::int64_t observed) {
    const Lattice law = law_of(blocks, orders);
    double tail = 0;
    for (std::int64_t x = law.last(); x >= std::max(law.first, observed); --x) tail += law.at(x);
    return std::min(1.0, tail);
}

double block_orders_two_sided(std::span<const Block> blocks, int orders, std::int64_t observed) {
    const Lattice law = law_of(blocks, orders);
    double tail = 0;
    for (std::int64_t x = law.first; x <= law.last(); ++x)
        if (std::abs(x) >= std::abs(observed)) tail += law.at(x);
    return std::min(1.0, tail);
}

}   // namespace oddplate::stats
