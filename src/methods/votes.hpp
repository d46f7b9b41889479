#pragma once
// Votes for one of two recipes: how they are told, weighed and said. What the preference family shares; a Method value stands in
// registry/.

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "leads.hpp"
#include "oddplate/core/sentence.hpp"
#include "oddplate/methods/findings.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/stats/order_conditional.hpp"

namespace oddplate::methods::votes {

inline constexpr std::string_view k_new = "new-preferred";
inline constexpr std::string_view k_current = "current-preferred";
inline constexpr std::string_view k_neither = "no-clear-preference";

/// Votes of one taster, or of a whole panel.
struct Pile {
    std::int64_t for_new{0}, for_current{0}, undecided{0};

    [[nodiscard]] std::int64_t chose() const { return for_new + for_current; }
    [[nodiscard]] std::int64_t all() const { return chose() + undecided; }
    Pile& operator+=(const Pile& other);
};

/// What is asked of the votes.
struct Ask {
    std::string_view method{};   ///< its id
    double alpha{0.05};
    double confidence{0.95};            ///< of the share's interval
    std::optional<double> not_less{};   ///< the share for the new recipe that has to be surpassed
    bool may_abstain{false};            ///< tasters could say that they like both alike
    std::optional<stats::TwoOrders>
        orders{};   ///< picks by order, where the orders came out unequal: a preference then needs this test too
};

/// The undecided dealt out: half to each side, the odd one to the side behind.
[[nodiscard]] Pile split(Pile pile);
/// All of them to the side behind.
[[nodiscard]] Pile against(Pile pile, bool new_leads);
/// Two normal sensations and a band in which both are liked alike, solved from the three shares: new = Phi((d - tau)/sqrt 2),
/// current = Phi((-d - tau)/sqrt 2), so that a = z(new), b = z(current) give d = (a - b)/sqrt 2 and tau = -(a + b)/sqrt 2. It
/// fits every outcome and so tests nothing. (Thurstone's case V with ties; solved here.)
void add_three_outcomes(Findings& findings, const Pile& pile);

/// The verdict's word: the side with more votes where `p` is small enough.
[[nodiscard]] std::string_view verdict(const Pile& pile, double p, double alpha);

/// count's keys for votes that are one a taster: exact two-sided test of an even split, Clopper-Pearson interval of the share.
[[nodiscard]] Findings weigh(const Pile& pile, const Ask& ask);

/// The same keys, and "tasters" and "answers", where tasters may have several votes. As soon as one has two that chose, the test
/// is the flipping of the signs of the tasters' net votes and the interval inverts it; until then it is `weigh`.
[[nodiscard]] Findings weigh_by_tasters(std::span<const Pile> tasters, const Ask& ask);

/// P(as many votes for the new recipe or more) were its share `share`, with tasters as the units. Nothing where the panel is too
/// large for an exact sum. The larger of two tails (and of the binomial's):
///  - random subsets of tasters whose own share is at most `share` (typical values: Hartigan 1969, J. Am. Stat. Assoc. 64:1303):
///  exact where the
///    tasters' net votes lie evenly about what `share` leads one to expect;
///  - net votes that keep their size and go to the new recipe with the one probability that makes the expected share `share`:
///  exact where every taster
///    gives all his votes to one recipe.
/// Measured at shares .35 to .45 with 12 and 24 tasters of 2 and 4 votes, alike, beta-distributed and of two kinds: false alarms
/// .02 to .05 at .05 (the first tail alone .07, the binomial alone .24).
[[nodiscard]] std::optional<double> not_less_p(std::span<const Pile> tasters, double share);

/// The round's answers, spot by spot and together.
struct Counted {
    std::vector<std::int32_t> tasters;      ///< their numbers, ascending
    std::vector<std::vector<Pile>> spots;   ///< [spot][taster]
    std::vector<Pile> pooled;               ///< [taster]
};
[[nodiscard]] Counted counted(std::span<const Observation> observations, std::size_t spots);

/// Whether people stick to one of the two: `spots` by spot and taster. Exact (stats::steady_p) at one spot where nobody chose more than twice; else votes of a spot change owners, as leads::split_of.
[[nodiscard]] leads::Split own_tastes(std::span<const std::vector<Pile>> spots, const std::string& current, const std::string& fresh);
/// Behind `verdict`, which it never changes. Where nobody chose twice it is said only if the verdict is open.
void say_own_tastes(std::vector<core::Sentence>& words, double alpha, const leads::Split& split, std::string_view verdict);

[[nodiscard]] bool may_abstain(const Round& round);   ///< the plan's `no_preference`
[[nodiscard]] Ask ask_of(const Method& method, const Round& round);
/// Smallest share for one side, above 1/2, that `n` votes find with `power`; nothing where none does.
[[nodiscard]] std::optional<double> share_in_reach(std::int64_t n, double alpha, double power);

// What a Method value of the family points at.
extern const std::span<const Setting> k_round_settings, k_count_settings, k_size_settings, k_weigh_settings;
extern const std::span<const Column> k_weigh_columns;
[[nodiscard]] std::vector<Order> orders(const Round& round, int versions);
void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults);
[[nodiscard]] core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan& plan);
[[nodiscard]] RoundFindings analyse(const Method& method, std::span<const Observation> observations, const Round& round,
                                    const Plan& plan);
/// Its verdict alone.
[[nodiscard]] std::string_view verdict(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan);
[[nodiscard]] bool claims_difference(std::string_view verdict);
[[nodiscard]] Outlook outlook(const Method& method, const Round& round, const Plan& plan);
[[nodiscard]] core::Result<Findings> count(const Method& method, const Settings& settings);
/// A plain table of votes, several a taster.
[[nodiscard]] core::Result<Findings> weigh_table(const Method& method, const PlainTable& plain, const Settings& settings);
[[nodiscard]] core::Result<Findings> size(const Method& method, const Settings& settings);

}   // namespace oddplate::methods::votes
