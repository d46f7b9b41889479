#pragma once
// Who was right how often, and where.

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "oddplate/methods/method.hpp"
#include "oddplate/stats/taster_counts.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {

/// Every taster's sets and right answers at every spot: entry taster * spots + spot.
struct Table {
    std::size_t tasters{0}, spots{0};
    std::vector<std::int64_t> sets, correct;
};

/// What stands in a column `correct`: 1 or 0, yes or no.
[[nodiscard]] std::optional<bool> right_or_wrong(const std::string& text);

[[nodiscard]] Table table_of(std::span<const Observation> observations, std::size_t spots);
/// The count over the spots first .. last - 1, not yet weighed.
[[nodiscard]] Spot counted(const Table& table, std::size_t first, std::size_t last);
/// Spots and pooled count weighed each for itself: Holm over the spots, whether they differ (and S of all together withheld where
/// they do, or where nobody with several answers was at two of them), and the rule.
void compare_and_decide(const Question& question, const Table& table, DecideOn rule, Asked asked, Weighing& weighing);
/// Each taster's count over all spots, by number; 0 of 0 where he gave none.
[[nodiscard]] std::vector<stats::TasterCount> by_taster(const Table& table);

/// Adds the people behind the tasters: whether they differ (overdispersion), the share who tell, and d' by a model in which it
/// differs from one to another, all from the most likely values of what stands in stats/beta_binomial.hpp and stats/population.hpp.
/// Never part of a verdict. At least one answer.
void add_population(const Method& method, const Question& question, const Table& table, Findings& findings);
/// Adds the list of tasters who gave three answers or more (fewer say nothing about one person), each drawn towards the panel, and the caution
/// against picking winners. Nothing where there is none.
void add_each_taster(const Method& method, const Question& question, const Table& table, std::span<const std::string> names,
                     Findings& findings);

/// What the spots say together, several of them answered.
struct Together {
    std::vector<std::optional<double>> p_closed;            ///< by spot
    std::vector<std::optional<stats::Interval>> intervals;   ///< of the proportion right, all holding together
    double p_anywhere{1};                                   ///< that nobody can tell anywhere: exact for the smallest p
};
[[nodiscard]] Together together(const Method& method, const Question& question, std::span<const Spot> spots);
/// Adds the mean over spots, each counting alike, and p_anywhere.
void add_together(const Table& table, const Together& together, Findings& pooled);

}   // namespace oddplate::methods::right_answer
