#pragma once
// Ranks of three recipes or more: are they alike, which lead, and by how much?
//
//   differ    Friedman's statistic in its general form, exact where it fits           p <= alpha
//   leading   the recipe with the best mean rank, and all that pairs (sign flips, Holm) don't show to be behind it
// A taster with several trays is one row.

#include <algorithm>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "ladder_told.hpp"
#include "leads.hpp"
#include "pieces.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/stats/rank_test.hpp"

namespace oddplate::methods::ranks {

struct Question {
    double alpha{0.05};
    std::vector<int> expected;   ///< samples in the order in which their ranks are expected to rise; empty where none is
    std::optional<double> confidence{};   ///< of worths; 1 - alpha where none is given
    bool quick{false};           ///< only the verdict is wanted, thousands of times
    int looks{1};                ///< over how many spots Holm may divide alpha
};

/// What was ranked, as the statistics take it.
struct Ranked {
    std::vector<std::string> names;            ///< of the samples
    std::vector<stats::RankedTray> trays;
    std::vector<int> spots;                    ///< beside the trays
    bool as_served{false};                     ///< a tray's samples stand in the order in which they were served
    std::vector<int> withdrawn{};              ///< samples that ran out: they lead nothing
    std::vector<std::vector<std::int32_t>> pieces{};   ///< beside the trays, the whole piece of each portion, numbered over all samples; empty where a recipe was one piece

    [[nodiscard]] int samples() const { return static_cast<int>(names.size()); }
    [[nodiscard]] std::int64_t tasters() const;
    [[nodiscard]] std::size_t compared() const;   ///< samples that lay on a tray
    [[nodiscard]] bool ran_out(int sample) const;
};

struct Paired;   // ranks_pairs.hpp

struct Weighed {
    stats::RankStatistic found;
    stats::PValue p{};
    std::vector<stats::RankPair> pairs;    ///< as people put them; p_adjusted by Holm
    std::vector<stats::RankPair> claims;   ///< the same, p_adjusted raised to what pieces, and the order of serving, leave of it: who leads goes by these
    std::vector<int> by_people;            ///< who would lead by people alone
    std::map<std::pair<int, int>, double> with_pieces;   ///< a < b: with pieces taken as a sample of many; empty where that can't be asked
    std::optional<stats::PageTest> page;
    std::optional<double> page_pieces_p{};   ///< of the expected order, pieces taken as a sample of many
    std::vector<int> leading;      ///< ascending by effect
    std::optional<leads::Split> split;
    bool differ{false};
    std::optional<double> pieces_p;      ///< of the recipes, pieces taken as a sample of many; none where that can't be asked
    std::shared_ptr<const Paired> paired{};   ///< trays of two; none where only the verdict was wanted
    std::optional<double> order_p{};     ///< trays of two: what the order of serving leaves of it; none where that needs no asking
    bool order_holds_back{false};        ///< trays of two: a lead would rest on who was served first
    bool pieces_hold_back{false};        ///< these very pieces differ, the recipes are not shown to
    std::string_view verdict;
};

/// The ranks with their pieces; empty where those aren't known.
[[nodiscard]] std::vector<pieces::Tray> piece_trays(const Ranked& ranked);
/// Of the ranks (pieces::between): what is claimed of a recipe has to hold here too; it only ever takes claims back.
[[nodiscard]] std::optional<pieces::Between> by_pieces(const Ranked& ranked, std::optional<double> only_at = std::nullopt);
[[nodiscard]] Weighed weigh(const Question& question, const Ranked& ranked);
/// stats::leading_group of these pairs among what did not run out; what so many in front come to; and who is shown to be behind somebody by the claims.
[[nodiscard]] std::vector<int> leading_of(const Ranked& ranked, const Weighed& weighed, std::span<const stats::RankPair> pairs, double alpha);
[[nodiscard]] std::string_view verdict_of(const Ranked& ranked, bool differ, std::size_t leading);
[[nodiscard]] std::vector<int> behind_of(const Ranked& ranked, const Weighed& weighed, double alpha);
/// The trays of one spot; of all with -1.
[[nodiscard]] Ranked ranked_at(std::span<const Observation> observations, const Plan& plan, int spot);

inline constexpr std::string_view k_some_worse = "some-worse", k_none_worse = "none-worse", k_some_better = "some-better";
inline constexpr std::string_view k_verdicts[] = {leads::k_one, leads::k_some, k_some_worse, k_none_worse, k_some_better, leads::k_none};
[[nodiscard]] inline bool claims_difference(std::string_view verdict) {
    return leads::claims_difference(verdict) || verdict == k_some_worse || verdict == k_some_better;
}

/// One recipe beside the usual one, which is sample 0.
struct Besides {
    stats::RankPair pair{};                  ///< a is the usual one
    std::optional<double> pieces_p{};        ///< with pieces taken as a sample of many; none where that can't be asked
    std::optional<double> order_p{};         ///< trays of two, one of them served first clearly more often: what the order of serving leaves (stats::pairs_but_for_order)
    double q{1};                             ///< the largest of these and the people's, by Holm over the recipes that met it
    double people_q{1};                      ///< the people's p alone, by Holm
    bool several{false};                     ///< somebody had it on several trays with the usual one

    [[nodiscard]] double p_claimed() const { return std::max({pair.p.p, pieces_p.value_or(0), order_p.value_or(0)}); }
    /// P(so many put it before the usual one), were it only the stated share; none where nobody told them apart. With pieces taken as a sample of many the larger of the two.
    std::optional<double> not_less{};
};
/// Every other sample beside the first. `share`: as above, in 0..1. `lasted`: without those that ran out.
[[nodiscard]] std::vector<Besides> besides(const Ranked& ranked, std::optional<double> share, bool lasted = true);
/// Turns what is found of all pairs into the answer to "is any worse than the usual one?".
[[nodiscard]] RoundFindings analyse_against(std::span<const Observation> observations, const Round& round, const Plan& plan, RoundFindings found);
[[nodiscard]] std::string_view verdict_against(std::span<const Observation> observations, const Round& round, const Plan& plan);
/// The votes of a round whose recipes rise in salt: each portion against the usual one of its tray. A person's order of a tray is one vote a recipe.
[[nodiscard]] ladders::Told ladder_at(std::span<const Observation> observations, const Round& round, const Plan& plan, int spot);
/// Which levels ran out, and what the others rest on. Behind the headline, in the order in which they come.
void say_levels_that_ran_out(std::vector<core::Sentence>& words, const Plan& plan, const ladders::Told& told);
void settle_ladder(Round& round, const Plan& plan, const std::string& place, core::Faults& faults);
[[nodiscard]] Outlook outlook_against(const Method& method, const Round& round, const Plan& plan);
/// Its chance and people where pieces count as a sample of many, tried out.
[[nodiscard]] Outlook outlook_beside_pieces(const Method& method, const Round& round, const Plan& plan);
/// With pieces taken as a sample of many: how surely one that is liked just as much as the usual one is held to `margin`, and all of them at once.
[[nodiscard]] std::pair<double, double> chances_to_hold(const Method& method, const Round& round, const Plan& plan, double margin);
[[nodiscard]] std::vector<std::string> version_ids(const Plan& plan);
/// "b, a, c" as indices of those names; nothing where it is not each of them once.
[[nodiscard]] std::optional<std::vector<int>> expected_order(const std::string& text, std::span<const std::string> names);
[[nodiscard]] Findings findings_of(const Method& method, const Question& question, const Ranked& ranked, const Weighed& weighed);
/// The verdict first, then what it rests on.
[[nodiscard]] std::vector<core::Sentence> words_of(const Question& question, const Ranked& ranked, const Weighed& weighed);

extern const std::span<const Setting> k_round_settings, k_weigh_settings, k_size_settings;
/// People for a share of answers that put one recipe before any other, tried out.
[[nodiscard]] core::Result<Findings> size(const Method& method, const Settings& settings);
extern const std::span<const Column> k_weigh_columns;
void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults);
[[nodiscard]] AnswerShape shape(const Round& round);
/// `values`: midranks by serving place, 1 = first; `picked`: the place that was put first, where one was.
[[nodiscard]] core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan& plan);
[[nodiscard]] Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round& round, const Plan& plan);
[[nodiscard]] RoundFindings analyse(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan);
[[nodiscard]] std::string_view verdict(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan);
[[nodiscard]] Outlook outlook(const Method& method, const Round& round, const Plan& plan);
[[nodiscard]] core::Result<Findings> weigh_table(const Method& method, const PlainTable& table, const Settings& settings);

}   // namespace oddplate::methods::ranks
