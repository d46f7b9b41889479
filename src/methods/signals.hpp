#pragma once
// The family of methods that ask for one word about one impression: hits and false alarms. A method of the family is one file in
// registry/ that hands these functions its rule, its orders and its words.
//
// Two tests make a verdict, as in the family of right answers:
//   D  hits are no more frequent than false alarms: Fisher's exact test, or labels exchanged within tasters   p <= alpha
//   S  d' is as large as the margin, whatever the criterion (signal_p_similar)                               p <= alpha
// Guards of S: counts without any gap would pass too (else only luck could), and false alarms are not significantly more frequent
// than hits (then something is wrong with the key).

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "oddplate/methods/method.hpp"
#include "oddplate/stats/signal.hpp"
#include "oddplate/stats/sureness.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::signals {

using right_answer::combine;
using right_answer::to_text;
using right_answer::Verdict;

inline constexpr int k_steps = 3;   ///< of sureness: a guess, fairly sure, sure

struct Family {
    stats::SignalRule rule{stats::SignalRule::yes_no};
    std::span<const std::string_view> answers;   ///< the word for a signal first; tables name their kinds of set so too
    std::string_view words;                      ///< prefix of the family's own sentences: "signals.yes"
    std::string_view kind_column;                ///< of a table: which kind of set a row is about
    bool (*is_signal)(std::span<const int> versions){nullptr};   ///< whether these portions make a signal
};

struct Question {
    double alpha{0.05};
    std::optional<double> confidence;
    bool similarity{false};
    std::optional<double> detect, margin;   ///< as d'
    std::optional<double> criterion;        ///< tasters' criterion assumed for powers; the best one where absent

    [[nodiscard]] double criterion_at(const Family& family, double d) const {
        return criterion.value_or(stats::best_criterion(family.rule, d));
    }
};

/// What each taster said to each kind of set; a taster without answers has zeros.
struct Answers {
    std::vector<stats::SignalCounts> tasters;
    std::vector<stats::SurenessCounts> sure;   ///< by taster; only answers that said how sure

    [[nodiscard]] stats::SignalCounts all() const;
    [[nodiscard]] std::int64_t people() const;
    [[nodiscard]] bool several() const;   ///< a taster gave more than one answer
    void add(std::size_t taster, bool is_signal, bool said_signal, int sureness);
};

struct Weighed {
    stats::SignalCounts counts;
    bool several{false};
    double spread{1};
    double p_different{1};
    std::optional<double> p_similar;
    std::optional<stats::SignalFit> fit;   ///< nothing where one kind of set has no answers
    bool different{false}, similar{false}, below_chance{false}, only_by_luck{false}, withheld{false};
    difference::Withheld why_withheld{difference::Withheld::no};

    [[nodiscard]] Verdict verdict() const { return combine(different, similar); }
};
/// `several`: tasters gave several answers, so they are the units; else every answer is one of its own.
[[nodiscard]] Weighed weigh(const Family& family, const Question& question, const Answers& answers, bool several);
/// The keys of `count` with their words.
[[nodiscard]] Findings findings_of(const Method& method, const Family& family, const Question& question, const Answers& answers,
                                   const Weighed& weighed);
/// What was found and why not more, the verdict first.
[[nodiscard]] std::vector<core::Sentence> words_of(const Method& method, const Family& family, const Question& question,
                                                   const Weighed& weighed);

/// So many answers to one count, at which alpha, and how many counts have to come out.
struct Panel {
    std::int64_t answers{0}, answers_each{1};
    double alpha{0.05};
    int all_of{1};
};
[[nodiscard]] Panel panel_of(const Round& round, std::int64_t tasters);
/// People for so many answers to the count that the rule looks at.
[[nodiscard]] std::int64_t people_for(std::int64_t answers, const Round& round);
[[nodiscard]] stats::SignalShare share_of(const Family& family, const Settings& settings);
/// D at this d, or S at the margin when d is the truth.
[[nodiscard]] stats::SignalQuestion asked_of(const Family& family, const Question& question, double d, bool similarity,
                                             const stats::SignalShare& share, double alpha);
/// The smallest d' that n answers find with this power; nothing where even 8 is missed.
[[nodiscard]] std::optional<double> visible_d(const Family& family, std::int64_t n, const stats::SignalShare& share, double alpha,
                                              double power);

extern const std::span<const Setting> k_count_settings, k_size_settings, k_weigh_settings, k_curve_settings;
[[nodiscard]] Question question_of(const Settings& settings, double alpha);
void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults);
[[nodiscard]] AnswerShape shape(const Family& family, const Round& round);
/// 1 for the right word, else 0; `values` holds how sure, where it was said.
[[nodiscard]] core::Result<Scored> score(const Family& family, const SetKey& key, const Answer& answer, const Round& round);

[[nodiscard]] core::Result<Findings> count(const Method& method, const Family& family, const Settings& settings);
[[nodiscard]] core::Result<Findings> size(const Method& method, const Family& family, const Settings& settings);
/// What `tasters` answers find or show, and their power at d' from 0 to 4 (`power_curve`). Fault: more answers than can be counted in a second.
[[nodiscard]] core::Result<Findings> reach(const Method& method, const Family& family, const Settings& settings);
/// Fault: a criterion of pairs that is not above 0 (usage).
[[nodiscard]] core::Status check_criterion(const Family& family, const Settings& settings);
/// The rates at d and at the criterion of the settings (default: the one with most right answers), by the rule's own two formulas (stats/signal.hpp: Green &
/// Swets 1966; Sorkin 1962); the share of right answers is (H + 1 - F)/2. Fault: check_criterion's.
[[nodiscard]] core::Result<double> add_rates(const Family& family, const Settings& settings, double d, Findings& findings);
[[nodiscard]] RoundFindings analyse(const Method& method, const Family& family, std::span<const Observation> observations,
                                    const Round& round, const Plan& plan);
/// Its verdict alone.
[[nodiscard]] std::string_view verdict(const Method& method, const Family& family, std::span<const Observation> observations,
                                       const Round& round, const Plan& plan);
[[nodiscard]] Outlook outlook(const Method& method, const Family& family, const Round& round, const Plan& plan);
[[nodiscard]] core::Result<Findings> weigh_table(const Method& method, const Family& family, const PlainTable& table,
                                                 const Settings& settings);

extern const std::span<const Setting> k_round_settings;   ///< aim, margins and sureness
/// What one method of the family says of itself; everything else is the family's.
struct Described {
    std::string_view id;
    std::span<const core::Phrase> phrases;
    int portions{0};
    std::vector<Order> (*orders)(const Round& round, int versions);
    std::span<const Setting> round_settings{k_round_settings};
    int (*to_learn)(const Round& round){nullptr};
    Answer (*decide)(const Sensed& sensed, std::span<const std::string> codes, const Round& round, const Plan& plan);
    std::span<const Advice> advice;
    std::span<const Column> weigh_columns;
    std::string_view weigh_sample;
    const stats::Link* link;
    std::span<const Source> sources;
    std::span<const Example> examples;
};

/// The method value of a description; everybody says a word.
template <const Family& family>
[[nodiscard]] Method method_of(const Described& own) {
    return {.id = own.id,
            .phrases = own.phrases,
            .portions = own.portions,
            .shape = [](const Round& round) { return shape(family, round); },
            .orders = own.orders,
            .round_settings = own.round_settings,
            .settle = settle,
            .may_abstain = right_answer::never_abstains,
            .to_learn = own.to_learn,
            .score = [](const SetKey& key, const Answer& answer, const Round& round,
                        const Plan&) { return score(family, key, answer, round); },
            .analyse = [](const Method& method, std::span<const Observation> observations, const Round& round,
                          const Plan& plan) { return analyse(method, family, observations, round, plan); },
            .verdict = [](const Method& method, std::span<const Observation> observations, const Round& round,
                          const Plan& plan) { return verdict(method, family, observations, round, plan); },
            .claims_difference = right_answer::claims_difference,
            .outlook = [](const Method& method, const Round& round,
                          const Plan& plan) { return outlook(method, family, round, plan); },
            .decide = own.decide,
            .verdicts = right_answer::k_verdicts,
            .advice = own.advice,
            .count_settings = k_count_settings,
            .count = [](const Method& method, const Settings& settings) { return count(method, family, settings); },
            .size_settings = k_size_settings,
            .size = [](const Method& method, const Settings& settings) { return size(method, family, settings); },
            .weigh_columns = own.weigh_columns,
            .weigh_sample = own.weigh_sample,
            .weigh_settings = k_weigh_settings,
            .weigh = [](const Method& method, const PlainTable& table,
                        const Settings& settings) { return weigh_table(method, family, table, settings); },
            .right_of_n = false,
            .link = own.link,
            .curve_settings = k_curve_settings,
            .add_rates = [](const Settings& settings, double d, Findings& findings) { return add_rates(family, settings, d, findings); },
            .sources = own.sources,
            .examples = own.examples};
}

}   // namespace oddplate::methods::signals
