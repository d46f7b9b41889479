#pragma once
// What the kitchen's pages call more than two recipes. (Two are USUAL and NEW: large, and never mistaken for one another.)

#include <string>
#include <vector>

#include "oddplate/methods/plan.hpp"

namespace oddplate::report {

/// A short name for each of the plan's recipes, no two alike: their labels, or their ids where a label is long, or else what fits of the labels, numbered
/// where that is the same.
[[nodiscard]] std::vector<std::string> recipe_names(const methods::Plan& plan);

}   // namespace oddplate::report
