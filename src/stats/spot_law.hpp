#pragma once
// The law of the spots' totals (T_1, ..., T_s) when each taster's right answers are dealt at random over his own sets.

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace oddplate::stats {

/// One way a taster's right answers can fall on the spots, and how likely it is.
struct Fall {
    std::vector<std::int64_t> right;
    double weight{0.0};
};

/// Tasters with the same sets at each spot and the same number right.
struct SpotGroup {
    std::vector<std::int64_t> sets;
    std::int64_t right{0};
    std::int64_t tasters{0};
    std::vector<Fall> falls;   ///< empty where there are too many to list
};

/// All ways to place `right` answers on `sets` (multivariate hypergeometric); empty when there are more than `most`.
[[nodiscard]] std::vector<Fall> all_falls(std::span<const std::int64_t> sets, std::int64_t right, std::size_t most);

struct WeightedTotals {
    std::vector<std::int64_t> totals;
    double weight{0.0};
};

/// Every reachable vector of totals with its probability, starting from `fixed` (tasters who cannot vary). `symmetric`: all spots
/// are alike, so totals are kept in sorted order. None where the work would exceed `most_steps` or the totals do not fit 64 bits.
[[nodiscard]] std::optional<std::vector<WeightedTotals>> exact_spot_law(std::span<const SpotGroup> groups,
                                                                        std::span<const std::int64_t> fixed,
                                                                        std::span<const std::int64_t> most_right, bool symmetric,
                                                                        double most_steps);

}   // namespace oddplate::stats
