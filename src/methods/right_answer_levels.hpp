#pragma once
// Right and wrong answers with more and more of something in the odd portion. From which level on do people notice it?

#include "oddplate/methods/method.hpp"

namespace oddplate::methods::right_answer {

/// A table with the columns taster, level (a number above 0) and correct.
[[nodiscard]] bool holds_levels(const PlainTable& table);

/// `threshold` by the open standards' rule, `curve` with luck taken off, `first_noticed` (the lowest level shown), `levels`, `each_threshold`.
/// Usage faults: flags that only a count knows; a column spot beside level.
[[nodiscard]] core::Result<Findings> weigh_levels(const Method& method, const PlainTable& table, const Settings& settings);

}   // namespace oddplate::methods::right_answer
