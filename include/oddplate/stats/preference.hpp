#pragma once
// One vote a taster between two recipes; undecided votes are left out before they get here.

#include <cstdint>
#include <optional>

namespace oddplate::stats {

/// Exact two-sided p of an equal split: min(1, 2 P(X >= larger)) at n = a + b, p = 1/2 (the sign test). No votes give 1.
[[nodiscard]] double preference_p(std::int64_t votes_a, std::int64_t votes_b);
/// Fewest votes for one side of n at which the two-sided test is significant at alpha; none where n of n is not.
[[nodiscard]] std::optional<std::int64_t> least_votes(std::int64_t n, double alpha);
/// "No less than the share S": P(X >= votes_new) at S, S in 0..1.
[[nodiscard]] double not_less_p(std::int64_t votes_new, std::int64_t n, double share);

}   // namespace oddplate::stats
