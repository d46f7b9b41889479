#pragma once
// Trays of two out of several: paired comparisons of many. Beside what ranks say: worths, Thurstone's scale, and what being served first did.

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "oddplate/stats/worths.hpp"
#include "ranks.hpp"

namespace oddplate::methods::ranks {

/// A sample's times of being served first, of the times that it was served.
struct ServedFirst {
    int sample{0};
    std::int64_t first{0}, of{0};
};

/// What the order of serving leaves of a lead. Asked where a sample was served first more or less often than luck explains, or where people chose by place.
struct FirstGate {
    std::optional<ServedFirst> uneven;                   ///< the sample served first least evenly, where that is more than luck
    std::optional<double> p;                             ///< stats::alike_but_for_order; none where it needs no asking
    std::map<std::pair<int, int>, double> pairs;         ///< stats::pairs_but_for_order

    [[nodiscard]] bool holds_back(double alpha) const;   ///< of all samples, nothing is left
};

struct Paired {
    std::vector<stats::PairCount> pairs;     ///< by taster, as served
    bool both_ways{false};                   ///< some pair was served in both orders
    stats::Worths worths, scale;             ///< with what being served first adds, where that has a finite estimate; else without
    std::optional<double> first_p;           ///< P of so large a habit for a place, were there none (Wald)
    FirstGate gate;
};

/// Every tray holds two, of three samples or more, and the order of serving is known.
[[nodiscard]] bool are_pairs(const Ranked& ranked);
/// Needs are_pairs.
[[nodiscard]] Paired paired(const Ranked& ranked, FirstGate gate, double confidence);
/// `quick`: fewer permutations. Needs are_pairs.
[[nodiscard]] FirstGate first_gate(const Ranked& ranked, double alpha, bool quick);
/// The list `worths`, or null and why there are none.
void add_worths(Findings& findings, const Ranked& ranked, const stats::Worths& worths);
void add_paired(Findings& findings, const Ranked& ranked, const Paired& found);
/// `differ`: the test of all of them holds.
void say_paired(std::vector<core::Sentence>& words, const Ranked& ranked, const Paired& found, double alpha, bool differ);

}   // namespace oddplate::methods::ranks
