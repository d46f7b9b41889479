#pragma once
// Trays of two out of several: paired comparisons of many. Beside what ranks say: worths, Thurstone's scale, and what being served first did.

#include <optional>
#include <string>
#include <vector>

#include "oddplate/stats/worths.hpp"
#include "ranks.hpp"

namespace oddplate::methods::ranks {

/// A sample's times of being served first, of the times that it was served.
struct ServedFirst {
    int sample{0};
    std::int64_t first{0}, of{0};
};

struct Paired {
    std::vector<stats::PairCount> pairs;     ///< by taster, as served
    bool both_ways{false};                   ///< some pair was served in both orders
    stats::Worths worths, scale;             ///< with what being served first adds, where that has a finite estimate; else without
    std::optional<double> first_p;           ///< P of so large a habit for a place, were there none (Wald)
    std::optional<ServedFirst> uneven;       ///< the sample served first least evenly, where it is less than a third or more than two thirds of the time, by more than luck
    std::optional<double> p_given_first;     ///< where one is uneven: P(all liked alike) with the habit in the model (likelihood ratio, chi-square)
    bool holds_back{false};                  ///< one is uneven, and with the habit in the model nothing is shown (or it can't be asked)
};

/// Every tray holds two, of three samples or more, and the order of serving is known.
[[nodiscard]] bool are_pairs(const Ranked& ranked);
/// With `alpha` the verdict is reached. Needs are_pairs.
[[nodiscard]] Paired paired(const Ranked& ranked, double alpha, double confidence);
/// Whether a lead would rest on who was served first. Quick where orders are even.
[[nodiscard]] bool order_holds_back(const Ranked& ranked, double alpha);
void add_paired(Findings& findings, const Ranked& ranked, const Paired& found);
void say_paired(std::vector<core::Sentence>& words, const Ranked& ranked, const Paired& found, double alpha);

}   // namespace oddplate::methods::ranks
