#pragma once
// What a plan comes to on the evening, counted before anything is drawn.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/methods/plan.hpp"
#include "timetable.hpp"

namespace oddplate::report {

/// What is cut from one spot of one recipe.
struct Bites {
    std::string spot;   ///< as the plan names it; may be empty
    int version{0};
    int ballots{0};   ///< for the planned ballots
    int spare{0};     ///< loose bites for spills: 1 in 8, at least 2 a tub
    int late{0};      ///< for the spare ballots
    [[nodiscard]] int in_all() const { return ballots + spare + late; }
};

struct PlanFacts {
    Load load;
    std::vector<Pass> passes;
    std::vector<Bites> bites;   ///< spot by spot in the plan's order, the current recipe first
    std::optional<double> trays_compare{};   ///< where trays hold some of the recipes: how well the trial draw's compare them, of what the best could; 0: not all
    std::optional<double> beside_usual{};    ///< where the usual one lies on each of them: the same, each other one beside it
    std::optional<int> balanced_at{};        ///< draw::Drawn
};

/// Who gets which trays is taken from a trial draw (a fixed seed, thrown away); the bites are what is expected when every order
/// is served equally often, rounded up, so the draw itself may move one or two from one recipe to the other. Faults: what `draw`
/// would refuse.
[[nodiscard]] core::Result<PlanFacts> facts_of(const methods::Plan& plan);

/// Of several evenings the one with the most people, as a plan of its own: what the clock and the carrying are about.
[[nodiscard]] methods::Plan fullest_evening(const methods::Plan& plan);

/// Portions on one tray, a reference included.
[[nodiscard]] int portions_of_set(const methods::Round& round, std::size_t versions);
/// Portions a head at most, references included; no draw is needed for it.
[[nodiscard]] int portions_a_head(const methods::Plan& plan);

/// What a course promises at the level at which it will be judged: looks take their share of alpha.
[[nodiscard]] methods::Outlook outlook_of(const methods::Plan& plan, std::size_t round);
/// The most people that a round of the plan needs; nothing where no round says what it wants to find.
[[nodiscard]] std::optional<std::int64_t> people_needed(const methods::Plan& plan);

/// The largest wave whose meat is no longer on its way than is good for warm meat, below the plan's own; nothing where even one
/// guest takes longer.
[[nodiscard]] std::optional<int> wave_in_time(const methods::Plan& plan);

}   // namespace oddplate::report
