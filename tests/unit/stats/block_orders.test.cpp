// Permuted blocks against going through every permutation.

#include "oddplate/stats/block_orders.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "oddplate/core/philox.hpp"

using namespace oddplate;
using namespace oddplate::stats;

namespace {

/// Share of all joint permutations whose total passes.
template <class Pass>
double by_enumeration(const std::vector<Block>& blocks, int orders, Pass pass) {
    std::vector<std::int64_t> totals{0};
    for (const Block& block : blocks) {
        std::vector<int> permutation(static_cast<std::size_t>(orders));
        std::iota(permutation.begin(), permutation.end(), 0);
        std::vector<std::int64_t> next;
        do {
            std::int64_t sum = 0;
            for (int i = 0; i < orders; ++i)
                sum += block[static_cast<std::size_t>(i * orders + permutation[static_cast<std::size_t>(i)])];
            for (const std::int64_t total : totals) next.push_back(total + sum);
        } while (std::next_permutation(permutation.begin(), permutation.end()));
        totals = std::move(next);
    }
    return static_cast<double>(std::count_if(totals.begin(), totals.end(), pass)) / static_cast<double>(totals.size());
}

}   // namespace

TEST_CASE("permuted blocks are counted as enumeration counts them", "[block_orders]") {
    core::PhiloxStream chance(7, 0);
    for (const int orders : {1, 2, 3, 4, 6})
        for (int trial = 0; trial < 6; ++trial) {
            std::vector<Block> blocks(orders == 6 ? 2 : 3);
            for (Block& block : blocks)
                for (int i = 0; i < orders * orders; ++i) block.push_back(static_cast<int>(chance.below(3)) - 1);
            for (std::int64_t observed = -4; observed <= 4; ++observed) {
                const double upper = by_enumeration(blocks, orders, [&](std::int64_t x) { return x >= observed; });
                const double both = by_enumeration(blocks, orders, [&](std::int64_t x) { return std::abs(x) >= std::abs(observed); });
                CHECK(std::abs(block_orders_upper(blocks, orders, observed) - upper) < 1e-13);
                CHECK(std::abs(block_orders_two_sided(blocks, orders, observed) - both) < 1e-13);
            }
        }
}

TEST_CASE("a taster who always picks the left one is right twice in a full block of six, by any draw", "[block_orders]") {
    // Odd portion left, left, right, right, middle, middle: whoever rings the left one of six trays is right exactly twice.
    Block block;
    for (int position = 0; position < 6; ++position) block.insert(block.end(), {1, 1, 0, 0, 0, 0});
    CHECK(block_orders_upper(std::vector<Block>{block}, 6, 2) == Approx(1).epsilon(1e-14));
    CHECK(block_orders_upper(std::vector<Block>{block}, 6, 3) == 0);
}

TEST_CASE("without answers every total is nothing", "[block_orders]") {
    CHECK(block_orders_upper({}, 6, 0) == 1);
    CHECK(block_orders_two_sided({}, 2, 0) == 1);
}
