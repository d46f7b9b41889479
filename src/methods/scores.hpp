#pragma once
// Scores of how different: each taster's mean for the test product less that for the blind control, and the flipping of signs.
//
//   D  the differences are centred at or below 0: sign-flip test, one-sided                   p <= alpha
//   S  they are centred at or above the line (`same_below_score`): the same from the other side  p <= alpha
// The blind control takes up what people score for no difference at all, so the marked control itself is never scored.

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "oddplate/methods/method.hpp"
#include "oddplate/stats/interval.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::scores {

inline constexpr double k_scale = 10;   ///< top of the scale where nothing else is said

struct Question {
    double alpha{0.05};
    std::optional<double> confidence, margin, detect, spread;   ///< margin, detect and spread in points of the scale
    bool similarity{false};
};
[[nodiscard]] Question question_of(const Settings& settings, double alpha);

/// One taster's sums; a set gives both scores at once.
struct Taster {
    double test{0}, control{0};
    std::int64_t sets{0};

    [[nodiscard]] double difference() const { return (test - control) / static_cast<double>(sets); }
};
using Tasters = std::map<std::string, Taster>;   ///< only those with a set

struct Weighed {
    std::vector<double> differences;   ///< one a taster
    std::int64_t answers{0};
    double mean{0}, test{0}, control{0};
    double p_different{1};
    std::optional<double> p_similar;
    std::optional<stats::Interval> interval;
    std::string no_interval;
    bool different{false}, similar{false}, below_chance{false}, withheld{false}, drawn{false};
    difference::Withheld why_withheld{difference::Withheld::no};   ///< of all spots together
};
[[nodiscard]] Weighed weigh(const Question& question, const Tasters& tasters);
[[nodiscard]] Findings findings_of(const Method& method, const Question& question, const Weighed& weighed);
[[nodiscard]] std::vector<core::Sentence> words_of(const Question& question, const Weighed& weighed);

extern const std::span<const Setting> k_round_settings, k_size_settings, k_weigh_settings;
void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults);
[[nodiscard]] AnswerShape shape(const Round& round);
/// `value`: the test product's score less the blind control's; `values`: both by serving place.
[[nodiscard]] core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan& plan);
[[nodiscard]] RoundFindings analyse(const Method& method, std::span<const Observation> observations, const Round& round,
                                    const Plan& plan);
[[nodiscard]] Outlook outlook(const Method& method, const Round& round, const Plan& plan);
[[nodiscard]] core::Result<Findings> size(const Method& method, const Settings& settings);
[[nodiscard]] core::Result<Findings> weigh_table(const Method& method, const PlainTable& table, const Settings& settings);

}   // namespace oddplate::methods::scores
