#pragma once
// The law of a total when serving orders were dealt in permuted blocks.

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace oddplate::stats {

/// One block: entry position * orders + order is what the answer given at that position would count under that order; all 0 where
/// no answer counts. As many positions as orders.
using Block = std::vector<int>;

/// P(total >= observed), or P(|total| >= |observed|), when every block's orders are permuted at random, each permutation equally
/// often, blocks independently: what the answers, held as they are, would have come to in the draws that could have been. A
/// randomisation test in Fisher's sense (The Design of Experiments, 1935, section 21). Exact: within a block by going through the
/// subsets of orders that are used up, blocks by convolution. `orders` from 1 to 8; entries between -10 and 10.
[[nodiscard]] double block_orders_upper(std::span<const Block> blocks, int orders, std::int64_t observed);
[[nodiscard]] double block_orders_two_sided(std::span<const Block> blocks, int orders, std::int64_t observed);

}   // namespace oddplate::stats
