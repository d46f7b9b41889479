#pragma once
// What a panel will find, tried out on made-up panels: seeded, so that the same question has the same answer on every machine and with any number of
// threads, and with its own error.

#include <cstdint>
#include <functional>
#include <optional>

#include "oddplate/core/philox.hpp"
#include "oddplate/methods/findings.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::methods::tried_out {

struct Chance {
    double estimate{0};
    double error{0};             ///< its standard error, sqrt(p (1 - p) / panels)
    std::int64_t panels{0};
};

/// Whether a made-up panel of so many people, on these random numbers, finds it.
using Panel = std::function<bool(std::int64_t people, core::PhiloxStream& stream)>;

/// How often it does, over `panels` of them, on all the machine's cores.
[[nodiscard]] Chance try_out(const Panel& panel, std::int64_t people, std::int64_t panels);

/// The fewest people (from `least`, within 2 %) whose chance is at least `power`: doubled, then halved, every size tried on the same random numbers, and no longer than till
/// it is clear on which side of the power it lies (four standard errors).
/// Nothing where `most` people are too few.
struct People {
    std::int64_t people{0};
    Chance chance;
};
[[nodiscard]] std::optional<People> people_for(const Panel& panel, double power, std::int64_t panels, std::int64_t least, std::int64_t most);

/// `tasters`, `power_actual`, `power_error`, `panels`, `found`; nulls where `most` people are too few.
void add_people(Findings& findings, const std::optional<People>& found, std::int64_t panels, std::int64_t most);

/// What the plan's rule over spots makes of a panel: who tastes how many trays where the verdict falls, at which alpha, and how surely each of them has to be found.
struct AtRule {
    double alpha{0.05}, power{0.8};
    int trays{1};              ///< of a person, where the verdict falls
    double all_of{1};          ///< each spot: so many have to show it
    std::int64_t spots{1}, spots_each{1};
    bool together{true};       ///< all spots are one count

    [[nodiscard]] std::int64_t here(std::int64_t people) const;       ///< of the plan's people, those at one spot
    [[nodiscard]] std::int64_t of_plan(std::int64_t people) const;    ///< people of the plan that put so many at one spot
    [[nodiscard]] double chance(double found) const;                  ///< of the verdict, where one spot shows it with this chance
};
[[nodiscard]] AtRule at_rule(const Round& round);

}   // namespace oddplate::methods::tried_out
