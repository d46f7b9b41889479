#pragma once
// Trays of several recipes: how many lie on one, and in which rows they are served. Ranks and ratings share it.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "oddplate/methods/method.hpp"

namespace oddplate::methods::trays {

inline constexpr int k_most_versions = 12;
inline constexpr Setting k_tray_size{.key = "tray_size",
                                     .kind = Kind::whole,
                                     .lo = 2,
                                     .hi = k_most_versions,
                                     .help = "how many of the recipes lie on a tray (default: all); each pair then shares a tray equally often"};
inline constexpr Setting k_usual_in_every_tray{.key = "usual_in_every_tray", .kind = Kind::flag, .help = "the usual recipe lies on every tray, beside some of the others"};

inline constexpr Setting k_sittings{.key = "sittings", .kind = Kind::whole, .lo = 2, .hi = 6, .help = "each person comes so often, gets one tray each time, and has had every recipe once at the end"};

inline constexpr Setting k_stronger{.key = "stronger", .kind = Kind::version, .help = "the recipe that numbs the tongue most"};
inline constexpr Setting k_strongest_last{.key = "strongest_last", .kind = Kind::flag, .help = "the one that `stronger` names comes last on every tray; its place and its taste can then not be told apart"};

/// Fills `tray_size` in. Faults: fewer versions than the method takes or more than 12, a tray of more than there are, blank sets.
void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults);

/// Where a recipe comes last on every tray, says so right behind the verdict: what is claimed of it may be its place's doing.
void say_always_last(std::vector<core::Sentence>& words, const Round& round, const Plan& plan);

/// Rows in which every recipe comes to every place, every pair shares a tray, and every recipe follows every other equally often (stats::serving_rows).
[[nodiscard]] std::vector<Order> orders(const Round& round, int versions);

/// P that the recipes' differences are the same at every spot: what each recipe scores above its tray's mean, exchanged over a taster's trays; the
/// smallest of the recipes' p, times their number (Bonferroni; of two recipes one says it all).
[[nodiscard]] std::optional<double> spots_differ(std::span<const Observation> observations, const Plan& plan, std::uint64_t seed);

/// The one of the recipes with the least (`most`: the greatest) value; -1 where two share it.
[[nodiscard]] int first_of(const Scored& scored, bool most);
[[nodiscard]] inline int least(const Scored& scored) { return first_of(scored, false); }
[[nodiscard]] inline int most(const Scored& scored) { return first_of(scored, true); }

}   // namespace oddplate::methods::trays
