#pragma once
// The family of methods whose answers are right or wrong and whose curve is known. A method of the family is one file in
// registry/ that hands these functions its curve, its orders and its words; nothing here knows which method it serves.
//
// Two exact tests make a verdict (ISO 4120, ISO 5495):
//   D  P(X >= K) by guessing <= alpha                           some can tell
//   S  P(X <= K) at the margin <= alpha, with two guards        few enough can tell
// Guards of S: the most right answers that would pass is not below what guessing gives (else only luck could pass), and K itself
// is not below chance (P(X <= K) by guessing <= alpha: then something is wrong with the key, not with the recipe).

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "difference.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/power.hpp"
#include "oddplate/stats/two_kinds.hpp"

namespace oddplate::methods::right_answer {

/// What the family cannot tell from the method value.
struct Family {
    /// Whether S also guards the other way round (chance 1/2 and a named direction): then also P(X >= K) <= alpha at 1 -
    /// p(margin).
    stats::Sided similar{stats::Sided::one};
    /// How many answers there are to choose among, where a test given the orders is known for so many (2 or 3); else 0. They are
    /// places on the tray, or ways to sort it (Scored::way).
    int ways{0};
    /// Which of them is right in an order; -1 where none or more than one is.
    int (*right_way)(const Order& order, const Round& round, const Plan& plan){nullptr};
};

/// A true difference, said in three ways. d' is absent where no finite one gives the proportion.
struct Difference {
    std::optional<double> d_prime;
    double discriminators{0};
    double proportion{0};
};

/// What a count is held against.
struct Question {
    double alpha{0.05};
    std::optional<double> confidence;   ///< of the interval; nothing where 1 - 2 alpha is not above 0
    stats::IntervalKind interval{stats::IntervalKind::clopper_pearson};   ///< where everyone gave one answer
    bool similarity{false};
    std::optional<Difference> detect;   ///< what the panel should find
    std::optional<Difference> margin;   ///< the largest difference that still counts as the same dish
};

/// K of n, and how many answers each taster gave to it. `groups` is empty where everyone gave one.
struct Count {
    std::int64_t correct{0};
    std::int64_t of{0};
    std::vector<stats::SetGroup> groups;

    [[nodiscard]] bool by_tasters() const { return !groups.empty(); }
};

/// The counts at which something changes, for one n; a verdict is a comparison with these.
struct Limits {
    std::int64_t of{0};
    std::optional<std::int64_t> least;   ///< D from here up
    std::optional<std::int64_t> most;    ///< S's tail up to here; nothing without a margin or where nothing passes
    std::int64_t below{-1};              ///< below chance up to here
    bool only_by_luck{false};            ///< most lies below what guessing gives: S cannot hold
    bool both_ways{false};               ///< S also needs K >= of - most
};

enum class Verdict { different, slight, close_enough, unsettled };
[[nodiscard]] std::string_view to_text(Verdict verdict);
[[nodiscard]] Verdict combine(bool different, bool similar);

[[nodiscard]] Limits limits_of(const Method& method, const Family& family, const Question& question, const Count& count);
[[nodiscard]] bool is_different(const Limits& limits, std::int64_t correct);
[[nodiscard]] bool is_similar(const Limits& limits, std::int64_t correct);
[[nodiscard]] bool is_below_chance(const Limits& limits, std::int64_t correct);
[[nodiscard]] inline Verdict verdict_at(const Limits& limits, std::int64_t correct) {
    return combine(is_different(limits, correct), is_similar(limits, correct));
}

/// One count weighed. Without answers only `limits` holds.
struct Weighed {
    Limits limits;
    double p_different{1};
    std::optional<double> p_similar;           ///< S's tail; both ways: the larger of the two
    std::optional<double> p_order;             ///< D's p given the orders served, where these came out unequal
    bool order_untested{false};                ///< they did, and no exact test given them is known for such answers
    std::optional<stats::Interval> interval;   ///< of the proportion correct
    bool different{false}, similar{false}, below_chance{false};
    difference::Withheld barred{difference::Withheld::no};   ///< why S may not be said of this count, whatever it is
    bool withheld{false};   ///< S would hold, but is barred

    void bar(difference::Withheld why);   ///< the first reason stays
};
[[nodiscard]] Weighed weigh(const Method& method, const Family& family, const Question& question, const Count& count);

/// The keys of `count` for a weighed count: numbers, verdict, words, warnings.
[[nodiscard]] Findings findings_of(const Method& method, const Family& family, const Question& question, const Count& count,
                                   const Weighed& weighed);
/// The words alone.
void say_count(Findings& findings, const Method& method, const Question& question, const Count& count, const Weighed& weighed);

[[nodiscard]] std::optional<Difference> difference_of(const Method& method, const Settings& settings, std::string_view d_key,
                                                      std::string_view pd_key);
[[nodiscard]] Question question_of(const Method& method, const Settings& settings, double alpha);
[[nodiscard]] Question question_of(const Method& method, const Round& round);
/// At most one of the two ways of saying a difference, for the flags of a one-off question.
[[nodiscard]] core::Faults both_given(const Settings& settings);

// ---- a round
/// One spot's, or the pooled, answers of a round.
struct Spot {
    std::string name;
    Count count;
    std::int64_t tasters{0};
    Weighed weighed;
    double p_for_rule{1};   ///< what Holm adjusts: D's p, or the order-conditional one where that is larger
    double p_adjusted{1};
};
/// Why nothing is known about the spots differing.
enum class Untested { no, one_spot, one_answered, nobody_at_two, nothing_varies };
[[nodiscard]] std::string_view to_text(Untested why);
/// A round counted and weighed, before it is put into words.
struct Weighing {
    std::vector<Spot> spots;
    Spot pooled;
    std::optional<double> heterogeneity;
    Untested untested{Untested::no};
    bool different{false}, similar{false};   ///< by the plan's rule
};
/// The verdict's parts alone, or also what only tells of it: the spots' comparison and the pooled count where no verdict turns on them.
enum class Asked { verdict, all };
[[nodiscard]] Weighing weigh_round(const Method& method, const Family& family, const Question& question, std::span<const Observation> observations,
                                   const Round& round, const Plan& plan, Asked asked);
/// The spots' own sentences for the rules any-spot and each-spot: the verdict and the spot that speaks for it.
void say_by_spot(std::vector<core::Sentence>& words, const Method& method, const Question& question, const Weighing& weighing,
                 DecideOn rule);
/// The rule's verdict had one answer at this spot come out otherwise (change: +1 right, -1 wrong), everything else the same.
[[nodiscard]] Verdict verdict_if(const Method& method, const Question& question, const Weighing& weighing, DecideOn rule,
                                 std::size_t spot, int change);
/// The round's own sentences: the plan's rule first, then the gap between the spots, what could not be seen, what to do next.
[[nodiscard]] std::vector<core::Sentence> round_words(const Method& method, const Family& family, const Question& question,
                                                      const Weighing& weighing, const Round& round, const Plan& plan);
/// Whether S looks one way only, though the method asks for a direction: less of it than was said would not be seen.
[[nodiscard]] bool is_one_way(const Method& method, const Limits& limits);
/// Why S does not hold at a count, as a phrase id.
[[nodiscard]] std::string why_not_similar(const Question& question, const Count& count, const Weighed& weighed);
/// What would settle the question or comes after it, with its cost in people.
[[nodiscard]] std::vector<core::Sentence> next_steps(const Method& method, const Family& family, const Question& question,
                                                     const Weighing& weighing, const Round& round, const Plan& plan);

// ---- before the tasting
/// The counts that a rule will look at: one, or one a spot.
struct Panel {
    std::vector<std::int64_t> counts;
    std::int64_t each_gives{1};   ///< answers of one taster to one count
    double looks{1};              ///< alpha is shared among so many
    bool each{false};             ///< all of them have to pass, for a difference too
    int pooled_spots{1};          ///< spots in the one count, everybody at all of them; 0 where people are at different ones
    bool incomparable{false};     ///< several sets each, at one spot only: S over all spots is withheld

    [[nodiscard]] std::int64_t smallest() const;
};
/// With so many people and sets a spot; a scarce spot keeps its first ballots.
[[nodiscard]] Panel panel_of(const Round& round, const Plan& plan, std::int64_t tasters, int sets);
/// Chance that D comes out by the rule. any-spot: the difference is at one spot only, the one with the fewest answers.
[[nodiscard]] double chance_to_notice(const Panel& panel, double chance, double proportion, double alpha);
/// Chance that S comes out, guards included, when this proportion is the truth everywhere. That the places are not found to be picked
/// unevenly is taken as independent of how many are right, as it is where right places are dealt evenly; `ways` is the family's.
[[nodiscard]] double chance_to_call_few(const Panel& panel, const stats::SimilarityTest& test, int ways, double proportion);
/// The aim's own chance: to notice the difference that matters, or to call few when nobody can tell. Nothing where the plan names
/// no difference.
[[nodiscard]] std::optional<double> chance_of_aim(const Method& method, const Family& family, const Question& question,
                                                  const Panel& panel);
/// The fewest people from whom on that chance is what the round wants, `sets` sets a spot each; nothing where the plan names no
/// difference or no panel to 20,000 people would do.
[[nodiscard]] std::optional<std::int64_t> people_needed(const Method& method, const Family& family, const Question& question,
                                                        const Round& round, const Plan& plan, int sets);
/// The share of people who can tell that n answers find with this power; nothing where even everybody telling would not do.
[[nodiscard]] std::optional<double> visible_share(double chance, std::int64_t n, double alpha, double power);
/// People for a directed question (which has more of it?) at this d', one answer each.
[[nodiscard]] std::optional<std::int64_t> people_for_directed(double d_prime, double alpha, double power);

// ---- what a method value points to
extern const std::span<const Setting> k_count_settings;
extern const std::span<const Setting> k_size_settings;
extern const std::span<const Setting> k_weigh_settings;            ///< count's without the counts
extern const std::span<const Column> k_weigh_columns;
extern const std::span<const Setting> k_round_settings;            ///< aim and margins
extern const std::span<const Setting> k_directed_round_settings;   ///< the same with attribute and stronger
extern const Setting k_sureness;                                   ///< of a round in which one portion is picked: then how sure, too
/// The shape of one picked portion, with how sure where the round asks for it.
[[nodiscard]] AnswerShape picked_code(const Round& round);
inline constexpr int k_sureness_steps = 3;   ///< a guess, fairly sure, sure

[[nodiscard]] core::Result<Findings> count(const Method& method, const Family& family, const Settings& settings);
/// A plain table of right and wrong answers: count's keys by tasters, spots and people.
[[nodiscard]] core::Result<Findings> weigh_table(const Method& method, const Family& family, const PlainTable& plain,
                                                 const Settings& settings);
/// Where tasters also said how sure they were: whether those who were right had been surer.
void add_sureness(const Question& question, std::span<const Observation> observations, RoundFindings& found);
/// See Method::add_tasters.
void add_tasters(const Method& method, std::span<const Observation> observations, std::span<const std::string> names, const Round& round,
                 RoundFindings& found);
[[nodiscard]] core::Result<Findings> size(const Method& method, const Family& family, const Settings& settings);
/// What a panel of `tasters` people (one answer each) finds: `visible`, the least difference with the power wanted (aim similarity: the least line below which
/// it can show that few tell, guards included, at true_d), exact; `power_curve` at shares who can tell 0, .05, ... 1. Faults: flags of several spots or trays.
[[nodiscard]] core::Result<Findings> reach(const Method& method, const Family& family, const Settings& settings);
/// Defaults and checks of a round; for directed methods also that attribute and stronger are there.
void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults);
[[nodiscard]] RoundFindings analyse(const Method& method, const Family& family, std::span<const Observation> observations,
                                    const Round& round, const Plan& plan);
/// Its verdict alone.
[[nodiscard]] std::string_view verdict(const Method& method, const Family& family, std::span<const Observation> observations,
                                       const Round& round, const Plan& plan);
[[nodiscard]] Outlook outlook(const Method& method, const Family& family, const Round& round, const Plan& plan);
[[nodiscard]] bool claims_difference(std::string_view verdict);
[[nodiscard]] inline bool never_abstains(const Round&) {
    return false;
}

inline constexpr std::string_view k_verdicts[] = {"different", "slight", "close-enough", "unsettled"};
/// The shape of a group of two.
[[nodiscard]] inline AnswerShape pair_of_codes(const Round&) { return CodeGroup{2}; }

/// The answer that names the portion at a place.
[[nodiscard]] inline Answer picks(std::span<const std::string> codes, std::ptrdiff_t place) {
    return Codes{{codes[static_cast<std::size_t>(place)]}};
}
[[nodiscard]] inline Answer picks_pair(std::span<const std::string> codes, std::size_t one, std::size_t other) {
    return Codes{{codes[one], codes[other]}};
}
/// Place of the portion that has most of what is asked for.
[[nodiscard]] std::ptrdiff_t most_place(const Sensed& sensed);

/// What one method of the family says of itself; everything else is the family's.
struct Described {
    std::string_view id;
    std::span<const core::Phrase> phrases;
    int portions{0};
    AnswerShape (*shape)(const Round& round){one_code};
    std::vector<Order> (*orders)(const Round& round, int versions);
    std::span<const Setting> round_settings;
    void (*settle)(const Method&, Round& round, const Plan& plan, const std::string& place, core::Faults& faults){right_answer::settle};
    bool (*may_abstain)(const Round& round){never_abstains};
    void (*add_undecided)(const Method&, std::span<const std::int64_t> undecided, const Round& round, RoundFindings& found){nullptr};
    core::Result<Scored> (*score)(const SetKey& key, const Answer& answer, const Round& round, const Plan& plan);
    Answer (*decide)(const Sensed& sensed, std::span<const std::string> codes, const Round& round, const Plan& plan){nullptr};
    std::span<const Advice> advice{};
    std::span<const Setting> count_settings{k_count_settings};
    core::Result<Findings> (*count)(const Method&, const Settings&){nullptr};   ///< the family's, unless it says more
    std::span<const Setting> size_settings{k_size_settings};
    std::span<const Setting> weigh_settings{k_weigh_settings};
    const stats::Link* link;
    std::span<const Setting> curve_settings{};
    const stats::Link* (*link_by)(const Settings& settings){nullptr};
    std::span<const Source> sources;
    std::span<const Example> examples;
};

/// The method value of a description; everybody picks.
template <const Family& family>
[[nodiscard]] Method method_of(const Described& own) {
    return {.id = own.id,
            .phrases = own.phrases,
            .portions = own.portions,
            .shape = own.shape,
            .orders = own.orders,
            .round_settings = own.round_settings,
            .settle = own.settle,
            .may_abstain = own.may_abstain,
            .score = own.score,
            .analyse = [](const Method& method, std::span<const Observation> observations, const Round& round,
                          const Plan& plan) { return analyse(with_curve(method, round.settings), family, observations, round, plan); },
            .verdict = [](const Method& method, std::span<const Observation> observations, const Round& round,
                          const Plan& plan) { return verdict(with_curve(method, round.settings), family, observations, round, plan); },
            .add_tasters = [](const Method& method, std::span<const Observation> observations, std::span<const std::string> names,
                              const Round& round, RoundFindings& found) {
                add_tasters(with_curve(method, round.settings), observations, names, round, found);
            },
            .add_undecided = own.add_undecided,
            .claims_difference = claims_difference,
            .outlook = [](const Method& method, const Round& round,
                          const Plan& plan) { return outlook(with_curve(method, round.settings), family, round, plan); },
            .decide = own.decide,
            .verdicts = k_verdicts,
            .advice = own.advice,
            .count_settings = own.count_settings,
            .count = own.count != nullptr ? own.count : [](const Method& method, const Settings& settings) { return count(with_curve(method, settings), family, settings); },
            .size_settings = own.size_settings,
            .size = [](const Method& method, const Settings& settings) { return size(with_curve(method, settings), family, settings); },
            .weigh_columns = k_weigh_columns,
            .weigh_sample = "taster,correct,spot\nAnn,1,edge\nBen,0,edge",
            .weigh_settings = own.weigh_settings,
            .weigh = [](const Method& method, const PlainTable& plain,
                        const Settings& settings) { return weigh_table(with_curve(method, settings), family, plain, settings); },
            .link = own.link,
            .curve_settings = own.curve_settings,
            .link_by = own.link_by,
            .sources = own.sources,
            .examples = own.examples};
}

/// Scores an answer that names one code: right at the place `right`. Faults: the answer is no one code of the set (a mark, for one);
/// `right` is -1, and `why` says what the set did not hold.
[[nodiscard]] core::Result<Scored> score_place(const SetKey& key, const Answer& answer, int right, std::string_view why);
/// The places of the two codes that were picked, the left one first; a fault where the answer is not two codes of the set.
[[nodiscard]] core::Result<std::pair<int, int>> picked_pair(const SetKey& key, const Answer& answer);

}   // namespace oddplate::methods::right_answer
