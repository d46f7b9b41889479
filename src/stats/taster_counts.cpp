// Equal tasters taken together, so that no model's cost depends on their number. Tests: tests/unit/stats/beta_binomial.test.cpp

#include "oddplate/stats/taster_counts.hpp"

#include <map>
#include <utility>

#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {

std::vector<AlikeCounts> alike_counts(std::span<const TasterCount> tasters) {
    std::map<std::pair<std::int64_t, std::int64_t>, std::int64_t> found;
    for (const TasterCount& taster : tasters) {
        promise(0 <= taster.correct && taster.correct <= taster.of);
        if (taster.of > 0) ++found[{taster.of, taster.correct}];
    }
    std::vector<AlikeCounts> counts;
    counts.reserve(found.size());
    for (const auto& [count, number] : found) counts.push_back({count.second, count.first, number});
    return counts;
}

CountTotals totals(std::span<const AlikeCounts> counts) {
    CountTotals all;
    for (const AlikeCounts& count : counts) {
        promise(count.tasters >= 1 && count.of >= 1 && 0 <= count.correct && count.correct <= count.of);
        all.tasters += count.tasters;
        all.answers += count.tasters * count.of;
        all.correct += count.tasters * count.correct;
        all.repeats = all.repeats || count.of > 1;
    }
    return all;
}

}   // namespace oddplate::stats
