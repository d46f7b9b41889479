#pragma once
// How many bites are cut, of what.

#include <vector>

#include "kitchen.hpp"

namespace oddplate::report {

/// One line of the cutting list.
struct Cutting {
    std::string spot;
    int row{0};           ///< index into the key's tub rows
    std::size_t tub{0};   ///< index into Kitchen::tubs; in blind mode the first of its row
    int ballots{0};       ///< bites for the planned ballots
    int late{0};          ///< for the spare ballots, filled only when somebody comes
    int spare{0};         ///< loose bites for spills
    [[nodiscard]] int in_all() const { return ballots + late + spare; }
};

/// Spare bites of a tub: 1 in 8, at least 2.
[[nodiscard]] int spare_bites(int bites);

/// A line a tub. With blind tubs a line a row, of the fullest tub in it: every tub of a row gets the same number of bites, so
/// that the numbers tell nothing about the letters.
[[nodiscard]] std::vector<Cutting> cutting_list(const Kitchen& kitchen);

/// The list's spare bites for each of the kitchen's tubs.
[[nodiscard]] std::vector<int> spares_of(const Kitchen& kitchen);

}   // namespace oddplate::report
