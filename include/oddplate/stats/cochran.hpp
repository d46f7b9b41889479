#pragma once
// Do the spots differ from each other? The same tongues were at all of them, so tasters are blocks.

#include <cstdint>
#include <optional>
#include <span>

#include "oddplate/stats/p_value.hpp"

namespace oddplate::stats {

/// Taster i's answers at spot j: `sets[i * spots + j]` answers of which `correct[i * spots + j]` right; 0 sets where absent.
struct SpotTable {
    std::size_t spots{0};
    std::span<const std::int64_t> sets;
    std::span<const std::int64_t> correct;
};

enum class NoSpotTest { has_one, one_spot, nothing_varies };

struct SpotTest {
    std::optional<PValue> p_value;
    NoSpotTest why{NoSpotTest::has_one};
    double statistic{0.0};   ///< Cochran's Q where every taster has one set at each spot, else the sum of squares between spots
    bool is_cochran_q{false};
};

/// Statistic: Sum_j T_j^2 / N_j - T^2 / N, the sum of squares of the spots' rates about the common rate (T_j right of N_j answers
/// at spot j). With one set a taster at each spot it orders outcomes as Cochran's (1950) Q does. Null law: the right answers of
/// each taster are dealt at random over his own sets (permutation within tasters), P(statistic >= observed). Exact by adding one
/// taster at a time to the law of (T_1, ..., T_s), in sorted form where all spots have the same sets, while that takes fewer than
/// 3e6 steps; else 9,999 seeded permutations (fewer on very large tables, at least 999), p = (1 + hits)/(1 + draws).
/// Where everybody gave one answer in all, the answers of the whole panel are exchanged among the spots instead (two spots: Fisher's exact test).
/// nothing_varies: every taster was all right or all wrong, or sat at one spot only, so no permutation changes anything.
[[nodiscard]] SpotTest spots_differ(const SpotTable& table, std::uint64_t seed);

}   // namespace oddplate::stats
