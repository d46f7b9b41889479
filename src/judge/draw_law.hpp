#pragma once
// What the same answers would have come to under the orders that the draw could have given.

#include <optional>
#include <string>
#include <vector>

#include "joining.hpp"

namespace oddplate::judge {

/// A randomisation p-value, or why there is none (plain words).
struct DrawP {
    std::optional<double> p;
    std::string why;
    double smallest{0};    ///< about the smallest p that these trays could have come to: a coarse draw reaches no small one
    std::int64_t draws{0}; ///< fresh draws that p was counted in; 0 where it is exact
    double error{0};       ///< its standard error, 0 where it is exact
    std::string found{};   ///< "exact", or how many fresh draws it was counted in (p is no smaller than one of them)
};

/// For each spot of the round and, last, for all of them together; empty for a method whose scores are neither right and wrong nor
/// votes. Answers are held as they are (places, not codes); the orders are dealt again by the draw's own law, for the same trays at
/// the same spots. Right answers: the chance of as many or more; votes: of a majority as large either way.
///
/// Exact where no ballot has two sets in the round and the method has 8 orders or fewer (the draw is then one of permuted blocks);
/// else 999 fresh draws from a fixed seed (down to 199 for many trays), fewer where the p is large: stopping at 50 hits, p = hits /
/// draws (Besag & Clifford 1991, Biometrika 78:301), else (1 + hits) / (1 + draws). None above 4,000 answers, above 1,000 where
/// fresh draws would be needed. The level holds for both whatever habits people have, since only the draw is random.
[[nodiscard]] std::vector<DrawP> p_over_draws(const Case& subject, const Joined& joined, int round,
                                              const std::vector<const JoinedSet*>& counted);

}   // namespace oddplate::judge
