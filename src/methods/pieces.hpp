#pragma once
// Do the answers tell recipes apart, or only the pieces that were cut up? What is claimed of a recipe has to hold with its pieces taken as a sample of many, too.

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <utility>
#include <vector>

namespace oddplate::methods::pieces {

inline constexpr std::int32_t k_most = 1000;   ///< pieces of one recipe: they are numbered over all recipes, piece p of sample s as s k_most + p

/// One tray: what was said of each portion (a rank, a tick, ...), and the piece that it came from; -1 where that is not known.
struct Tray {
    std::vector<int> samples;
    std::vector<double> values;
    std::vector<std::int32_t> pieces;
};
/// The numbers of a tray's pieces; `seen[v]` is the piece of version v.
[[nodiscard]] std::vector<std::int32_t> numbers_of(std::span<const int> samples, std::span<const std::int32_t> seen);

struct Between {
    double p{1};                                                      ///< of all recipes
    std::map<std::pair<int, int>, std::pair<double, double>> pairs;   ///< a < b: p by itself, and adjusted over all pairs
};
/// Each piece's mean above or below its trays' middle, recipes held against the scatter of the pieces within them: nested analysis of variance by unweighted means (Searle,
/// Linear Models for Unbalanced Data, 1987, ch. 4; F and Student's t with the pieces' degrees of freedom), pairs by the studentized range (Tukey 1953; Kramer 1956,
/// Biometrics 12:307). The pieces' scatter is set right for the others on the tray: a piece that pulls its own value up by e (t - 1)/t there pushes the t - 1 others down by e/t
/// each, so two pieces of one recipe show only (t - 1)/t of what lies between them, and two of k recipes k/(k - 1) as much again (all of it where a tray holds all of them); of the
/// variance within pieces, which is (t - 1)/t of an answer's own, a difference of recipes has k/(k - 1) as much again. Approximate, as means of ranks and shares are nearly normal:
/// for two pieces a recipe that scatter as much as people's own likings, .05 is .06 with four recipes and .08 with three (simulated; .06 or less from three pieces on).
/// None where no recipe has two pieces, or fewer than two recipes were compared.
/// `only_at`: only on which side of this level a pair's adjusted p lies is wanted; where its bounds (alone, and by Bonferroni) tell, one of them stands for it.
[[nodiscard]] std::optional<Between> between(std::span<const Tray> trays, std::optional<double> only_at = std::nullopt);

/// P(so far above the share `margin` of trays that put sample `b` before sample `a`, were that the true share), one-sided, with pieces taken as a sample of many: on trays of the two alone
/// ("1 before", "0 after", 1/2 for a tie), the difference of the two's unweighted means of their pieces' means, against the pieces' scatter (Student's t with its degrees of freedom).
/// None where neither has two pieces.
[[nodiscard]] std::optional<double> share_above(std::span<const Tray> trays, int a, int b, double margin);

/// P(so large a sum of `weights` (one a sample, 0 in all) times the samples' means, were it 0), one-sided, with pieces taken as a sample of many: Student's t against the pieces' scatter as in
/// between(). None where a recipe has no piece that is known, or none has two.
[[nodiscard]] std::optional<double> contrast_above(std::span<const Tray> trays, std::span<const double> weights);

/// For each sample P(so large a mean of its pieces' means, were the true one 0), two-sided: Student's t with the scatter of all recipes' pieces within them. Values as they are.
[[nodiscard]] std::map<int, double> from_nought(std::span<const Tray> trays);

}   // namespace oddplate::methods::pieces
