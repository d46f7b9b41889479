#pragma once
// Pairs of many: each vote is between two of several recipes. Who leads, by how much, and what was never compared.

#include "oddplate/methods/method.hpp"

namespace oddplate::methods::votes {

/// A table with the columns taster, first, second (as served) and for (one of the two, or none).
[[nodiscard]] bool holds_pairs(const PlainTable& table);

/// Keys of a ranking (trays of two), and beside them: `worths` (Bradley-Terry; with ties by Davidson), `scale_values` (Thurstone's case V), `served_first`,
/// `fit` against every pair for itself.
[[nodiscard]] core::Result<Findings> weigh_pairs(const Method& method, const PlainTable& table, const Settings& settings);

}   // namespace oddplate::methods::votes
