#pragma once
// The plan's rule over the spots, for methods that say which samples are in front.

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "leads.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::methods::by_spots {

/// What one spot says.
struct Spot {
    std::vector<bool> front;   ///< by sample; all where nothing is shown
    double p_adjusted{1};      ///< by Holm over the spots
    double p{1};               ///< which parts the ties that Holm makes
};

struct Decided {
    std::vector<std::size_t> front;        ///< samples; empty where there is no order, or the spots contradict each other
    std::optional<std::size_t> clearest;   ///< any spot: the one with an order and the least p
    std::string_view verdict{leads::k_none};
    bool disagree{false};
};
/// What ran out (`withdrawn`) leads nothing, and is no sign of an order.
/// Each spot: the same ones are in front at every one. Any spot (each weighed at its share of alpha): in front is who is in front at the spot with an order and the least p, unless
/// another spot with an order has none of them in front: the spots contradict each other then.
[[nodiscard]] Decided decide(DecideOn rule, std::span<const Spot> spots, std::size_t samples, std::span<const int> withdrawn);

}   // namespace oddplate::methods::by_spots
