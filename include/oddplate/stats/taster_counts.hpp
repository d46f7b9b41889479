#pragma once
// What every model of several answers a taster looks at: how many tasters gave k right of n.

#include <cstdint>
#include <span>
#include <vector>

namespace oddplate::stats {

/// One taster's answers: 0 <= correct <= of.
struct TasterCount {
    std::int64_t correct{0};
    std::int64_t of{0};
};

/// Tasters with the same count; to a model they are one. Three thousand tasters of four answers make five such groups.
struct AlikeCounts {
    std::int64_t correct{0};
    std::int64_t of{1};
    std::int64_t tasters{1};
};

/// Equal counts taken together, by `of` and then by `correct`; tasters without an answer are left out.
[[nodiscard]] std::vector<AlikeCounts> alike_counts(std::span<const TasterCount> tasters);

struct CountTotals {
    std::int64_t tasters{0}, answers{0}, correct{0};
    bool repeats{false};   ///< somebody gave two answers
};
[[nodiscard]] CountTotals totals(std::span<const AlikeCounts> counts);

}   // namespace oddplate::stats
