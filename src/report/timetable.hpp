#pragma once
// When what happens: one timetable for kitchen and room. A pass is one set for one wave of guests.

#include <vector>

#include "oddplate/draw/draw.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::report {

/// Minutes after the plan's start; negative ones lie before it.
struct PassTimes {
    int cut{0}, fill{0}, trays{0}, serve{0}, clear{0};
};

struct Pass {
    int number{0};                ///< from 1
    int set{0};                   ///< place on the ballot, from 0
    int sitting{0};               ///< where people come several times: at which, from 0; each has the clock to itself
    std::vector<int> ballots{};   ///< from 0, ascending
    bool late{false};             ///< spare ballots: filled only when a late guest sits down; no time is set for it
    PassTimes times{};
};

/// Waves in their order, each with all its trays; the spare ballots come last. Where people come several times: so at each sitting.
[[nodiscard]] std::vector<Pass> passes_of(const methods::Plan& plan, const draw::Room& room);

/// Minutes from the first cut to the last bite of a pass.
[[nodiscard]] int minutes_on_the_way(const Pass& pass);
/// Warm meat has changed after this many.
inline constexpr int k_most_minutes_warm = 15;
/// From the start till the first tray: the door, the words, the water.
inline constexpr int k_welcome_minutes = 10;

/// Portions of the current recipe that everybody eats first, knowing what they are: a warm-up, and what a method wants learnt.
[[nodiscard]] int known_portions(const methods::Plan& plan);

/// What one guest eats at one sitting, at most.
struct Load {
    int portions{0};
    double grams{0};       ///< 0 where the plan names no weight
    double sodium_mg{0};   ///< by the saltiest recipe, so that it holds for everybody; 0 where the plan does not tell
};
[[nodiscard]] Load load_of(const methods::Plan& plan, const draw::Room& room);

}   // namespace oddplate::report
