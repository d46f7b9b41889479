#pragma once
// Words ticked for each portion: which fit one recipe more than another?
//
//   word    a taster's ticks of the word put the recipes in two classes; Friedman's statistic of them, ties and all, is Cochran's (1950) Q   Holm over words
//   pair    people who ticked it for the one and not for the other, each person's lean turned over by a coin                                Holm over words x pairs
// A taster with several trays is one row, as in a ranking. No answer is right, and no word says that a recipe is liked.

#include <algorithm>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/methods/method.hpp"
#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/rank_test.hpp"

namespace oddplate::methods::ticks {

inline constexpr std::string_view k_some = "words-differ", k_none = "no-clear-words";
inline constexpr std::string_view k_verdicts[] = {k_some, k_none};
[[nodiscard]] inline bool claims_difference(std::string_view verdict) { return verdict == k_some; }

/// One tray as one taster ticked it: `ticked[i][w]` whether word w was ticked for samples[i].
struct Tray {
    std::int32_t taster{0};
    std::vector<int> samples;
    std::vector<std::vector<bool>> ticked;
    std::vector<std::int32_t> pieces{};   ///< beside the samples, as pieces::Tray; empty where a recipe was one piece
};

struct Ticked {
    std::vector<std::string> samples, words;
    std::vector<Tray> trays;

    [[nodiscard]] std::int64_t tasters() const;
};

struct Question {
    double alpha{0.05};
    double confidence{0.95};
    bool quick{false};   ///< only the verdict is wanted, thousands of times
};

/// How often a word was ticked for a sample: the mean over people of their own share of trays.
struct Share {
    int word{0}, sample{0};
    std::int64_t people{0}, ticks{0}, trays{0};
    double share{0};
    stats::Interval interval{};
};

/// Two samples and a word, by those who had both on a tray.
struct Gap {
    int word{0}, a{0}, b{0};
    std::int64_t people{0}, a_only{0}, b_only{0};   ///< on balance, with several trays
    double difference{0};                            ///< share of b less that of a
    stats::Interval interval{};                      ///< shares::gap_limits, drawn out to 0 where the exact test shows no difference at that confidence
    double p{1}, p_adjusted{1};
    double pieces_p{0};                              ///< as a word's; 0 where it can't be asked
};

struct WordTest {
    int word{0};
    double statistic{0};
    int df{0};
    stats::PValue p{};
    std::optional<double> pieces_p{};   ///< with pieces taken as a sample of many (pieces::between); none where that can't be asked
    double p_adjusted{1};               ///< by Holm, of the larger of the two
    double people_adjusted{1};          ///< by Holm, of the people's alone

    [[nodiscard]] double p_claimed() const { return std::max(p.p, pieces_p.value_or(0)); }
};

struct Weighed {
    std::vector<WordTest> tests;   ///< by word
    std::vector<Share> shares;     ///< by word, then sample
    std::vector<Gap> gaps;
};
[[nodiscard]] Weighed weigh(const Question& question, const Ticked& ticked);

[[nodiscard]] Findings findings_of(const Method& method, const Question& question, const Ticked& ticked, const Weighed& weighed);
[[nodiscard]] std::vector<core::Sentence> words_of(const Question& question, const Ticked& ticked, const Weighed& weighed);
/// The words whose adjusted p is at most alpha, the surest first.
[[nodiscard]] std::vector<const WordTest*> shown(const Question& question, const Weighed& weighed);

[[nodiscard]] core::Result<Findings> weigh_table(const Method& method, const PlainTable& table, const Settings& settings);
extern const std::span<const Setting> k_weigh_settings, k_size_settings;
/// How many people it takes.
[[nodiscard]] core::Result<Findings> size(const Method& method, const Settings& settings);
extern const std::span<const Setting> k_round_settings;
void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults);
/// The round's words, in order: "salty, dry" is two. The number that stands beside a word on paper and in answers is its place here, from 1.
[[nodiscard]] std::vector<std::string> words_in(const Round& round);
[[nodiscard]] AnswerShape shape(const Round& round);
/// `levels`: of each portion 1 for a word that was ticked, 0 for one that wasn't; `values`: how many were.
[[nodiscard]] core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan& plan);
[[nodiscard]] RoundFindings analyse(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan);
[[nodiscard]] std::string_view verdict(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan);
[[nodiscard]] Outlook outlook(const Method& method, const Round& round, const Plan& plan);
[[nodiscard]] Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round& round, const Plan& plan);

}   // namespace oddplate::methods::ticks
