// Answers counted by taster and spot.

#include "right_answer_table.hpp"

#include <algorithm>
#include <cstdlib>

namespace oddplate::methods::right_answer {

Table table_of(std::span<const Observation> observations, std::size_t spots) {
    Table table;
    table.spots = spots;
    for (const Observation& seen : observations) {
        if (seen.taster < 0 || seen.spot < 0 || static_cast<std::size_t>(seen.spot) >= spots) std::abort();
        table.tasters = std::max(table.tasters, static_cast<std::size_t>(seen.taster) + 1);
    }
    table.sets.assign(table.tasters * spots, 0);
    table.correct.assign(table.tasters * spots, 0);
    for (const Observation& seen : observations) {
        const std::size_t cell = static_cast<std::size_t>(seen.taster) * spots + static_cast<std::size_t>(seen.spot);
        ++table.sets[cell];
        if (seen.scored.value > 0) ++table.correct[cell];
    }
    return table;
}

Spot counted(const Table& table, std::size_t first, std::size_t last) {
    Spot spot;
    std::vector<std::int64_t> sets_of_each(table.tasters, 0);
    for (std::size_t taster = 0; taster < table.tasters; ++taster)
        for (std::size_t j = first; j < last; ++j) {
            sets_of_each[taster] += table.sets[taster * table.spots + j];
            spot.count.correct += table.correct[taster * table.spots + j];
        }
    for (const std::int64_t sets : sets_of_each) {
        spot.count.of += sets;
        if (sets > 0) ++spot.tasters;
    }
    if (spot.count.of > spot.tasters) spot.count.groups = stats::set_groups(sets_of_each);
    return spot;
}

std::vector<stats::TasterCount> by_taster(const Table& table) {
    std::vector<stats::TasterCount> tasters(table.tasters);
    for (std::size_t cell = 0; cell < table.sets.size(); ++cell) {
        tasters[cell / table.spots].correct += table.correct[cell];
        tasters[cell / table.spots].of += table.sets[cell];
    }
    return tasters;
}

}   // namespace oddplate::methods::right_answer
