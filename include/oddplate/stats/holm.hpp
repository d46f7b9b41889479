#pragma once
// Several tests at once.

#include <span>
#include <vector>

namespace oddplate::stats {

/// Holm's (1979) adjusted p-values, in the order given: the i-th smallest of m is multiplied by m - i + 1, then made to rise with
/// its rank, at most 1. Each p in 0..1. An adjusted p <= alpha controls the chance of any false alarm at alpha.
[[nodiscard]] std::vector<double> holm_adjusted(std::span<const double> p_values);

}   // namespace oddplate::stats
