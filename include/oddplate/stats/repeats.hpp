#pragma once
// Two votes of each person between the same two recipes: do people stick to one of them?

#include <cstdint>
#include <optional>

#include "oddplate/stats/power.hpp"

namespace oddplate::stats {

/// P that so few people, or fewer, of `people` change their mind from the first vote to the second, were each of the 2 x people votes, `for_a` of them for the one,
/// dealt to people at random. Exact: people with one vote each way are to their total as heterozygotes are to alleles (Haldane 1954, Journal of Genetics 52:631;
/// Wigginton, Cutler & Abecasis 2005, American Journal of Human Genetics 76:887). changed <= people, as odd or even as for_a; for_a 0..2 x people.
[[nodiscard]] double steady_p(std::int64_t people, std::int64_t for_a, std::int64_t changed);

/// Chance that this p is at most alpha where half of the people like the one better and half the other, each voting for his own with the chance `steadiness` both
/// times: exact, summed over all that people may answer. people from 1; steadiness 1/2..1.
[[nodiscard]] double power_steady(std::int64_t people, double steadiness, double alpha);

/// The fewest people whose chance is at least `power`, and from which on every number has it; looked for within 40 of where the power is met by halving; none where 500 are too few.
[[nodiscard]] std::optional<PanelSize> size_steady(double steadiness, double alpha, double power);

}   // namespace oddplate::stats
