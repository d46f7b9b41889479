#pragma once
// How many of his own sets one taster gets right, when tasters differ.

#include <cstdint>

#include "lattice.hpp"

namespace oddplate::stats {

/// `sets` answers of one taster whose own pd_i ~ Beta(mean pd, variance gamma pd (1 - pd)), right with chance + (1 - chance) pd_i
/// each. gamma 0 gives the binomial, gamma 1 two kinds of taster.
[[nodiscard]] Lattice taster_law(std::int64_t sets, double chance, double pd, double gamma);

}   // namespace oddplate::stats
