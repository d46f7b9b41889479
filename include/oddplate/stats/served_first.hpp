#pragma once
// Habits of place: whether there is one, and, of trays of two, what one of choosing the first served leaves of a difference between samples.

#include <cstdint>
#include <map>
#include <span>
#include <utility>

#include "oddplate/stats/p_value.hpp"
#include "oddplate/stats/rank_test.hpp"

namespace oddplate::stats {

/// P of so uneven a count of the first and of the second served chosen, were there no habit: sign test (Dixon & Mood 1946, JASA 41:557), exact, two-sided; ties are left out.
/// `trays`: of two samples each, in the order in which they were served.
[[nodiscard]] double first_habit_p(std::span<const RankedTray> trays);

/// The same for trays of several: P that the places of the trays part so clearly in rank, were there no habit. rank_p (Friedman 1937, JASA 32:675) with places for samples: as the
/// orders of serving are drawn at random, whatever is said of the samples is dealt to the places at random, also where samples differ. `trays`: as above, of two samples or more;
/// a taster's trays are one row. `quick`: the asymptotic p, for simulations.
[[nodiscard]] double place_habit_p(std::span<const RankedTray> trays, std::uint64_t seed, bool quick = false);

/// P that samples part so clearly, were only the order of serving at work: then what is said of the first served (chosen, not chosen, a tie) is dealt to the trays at random,
/// however strong the habit is. With y = 1, 1/2, 0 for the first of a tray and m its mean over all trays, S_s sums y - m over the trays that served s first and m - y over those
/// that served it second; the statistic is the sum over samples of S_s^2 / trays of s. Seeded permutations (`draws`; fewer where 250 reach it, Besag & Clifford 1991).
/// Source: randomisation test, Fisher (1935), section 21; for two samples it is Gart's test (1969, Biometrika 56:75). Trays of one taster count as trays of several.
[[nodiscard]] PValue alike_but_for_order(std::span<const RankedTray> trays, int samples, std::uint64_t seed, std::int64_t draws = 9'999);

/// For each pair a < b that met, P of so uneven a choice whatever the habit (Gart 1969), two-sided, by Holm over the pairs. Pairs served one way more
/// often than the other by no more than the root of their votes - one standard deviation of luck - have 0: there the plain test errs by little (a habit that takes four in five
/// makes .05 into about .09 at that border), and Gart's costs much of what few votes can show.
[[nodiscard]] std::map<std::pair<int, int>, double> pairs_but_for_order(std::span<const RankedTray> trays);

}   // namespace oddplate::stats
