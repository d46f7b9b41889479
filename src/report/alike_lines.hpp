#pragma once
// Lines beside samples in order: what one line joins can't be told apart.

#include <string>
#include <utility>
#include <vector>

#include "oddplate/methods/findings.hpp"

namespace oddplate::report {

/// Longest runs of neighbours of `names` (best first) in which no pair of the findings' list "pairs" has p_adjusted at alpha or below; first and last
/// index of each with two or more. A pair that never met is not told apart.
[[nodiscard]] std::vector<std::pair<std::size_t, std::size_t>> alike_runs(const methods::Findings& findings, const std::vector<std::string>& names, double alpha);

}   // namespace oddplate::report
