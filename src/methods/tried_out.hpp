#pragma once
// What a panel will find, tried out on made-up panels: seeded, so that the same question has the same answer on every machine and with any number of
// threads, and with its own error.

#include <cstdint>
#include <functional>
#include <optional>

#include "oddplate/core/philox.hpp"
#include "oddplate/methods/findings.hpp"

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

}   // namespace oddplate::methods::tried_out
