#pragma once
// Ratings of several samples: what the scores say of the samples, who leads, and where the scatter comes from.
//
// Nobody is told from the best by a hair: the leading group is the sample with the highest mean and all that are not shown to be lower
// by comparisons that hold for all pairs at once.

#include <algorithm>
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "by_spots.hpp"
#include "leads.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/stats/cumulative_link.hpp"
#include "oddplate/stats/rating_model.hpp"

namespace oddplate::methods::ratings {

inline constexpr double k_could_show_power = 0.8;

/// Scores with the names of what they are of.
struct Scoring {
    std::vector<std::string> samples, tasters;
    std::vector<stats::Rating> ratings;
    std::optional<std::int32_t> control;   ///< the sample that the others are held against
    std::int64_t left_out{0};              ///< cells of the table without a score
    bool has_positions{false};
    std::vector<int> withdrawn{};          ///< samples that ran out: they lead nothing
    std::vector<int> versions{};           ///< of the plan, by sample; empty where they are the samples themselves

    [[nodiscard]] int version(std::size_t sample) const { return versions.empty() ? static_cast<int>(sample) : versions[sample]; }
    [[nodiscard]] std::size_t lasted() const { return samples.size() - withdrawn.size(); }
    [[nodiscard]] bool ran_out(std::size_t sample) const { return std::find(withdrawn.begin(), withdrawn.end(), static_cast<int>(sample)) != withdrawn.end(); }
};

struct Question {
    double alpha{0.05};
    double confidence{0.95};
    bool carry_over{false};   ///< let the sample before shift a score
};
[[nodiscard]] Question question_of(const Settings& settings, double alpha);

/// The same scores as words in an order: how much higher the words for a sample are, as odds.
struct Ordered {
    stats::OrderedFit fit;
    std::optional<stats::OrderedTest> test;             ///< none where something is left out
    std::vector<std::string> left_out;                  ///< scatter that the fit does not know: its intervals are too narrow for it
    std::vector<std::optional<stats::Interval>> odds;   ///< one a pair of samples, in the model's order: of the log odds ratio, each by itself
    std::vector<double> log_odds;                       ///< of each sample against the first
};

struct Weighed {
    std::vector<std::optional<double>> means;   ///< plain ones, by sample
    std::optional<stats::RatingModel> model;
    std::string why;                            ///< there is no model, or no test of the samples
    std::vector<std::size_t> pieces_in_front;   ///< each sample is one whole piece: which of these very pieces lead
    std::optional<Ordered> ordered;
    std::string why_not_ordered;
    std::vector<bool> leads;                    ///< by sample; empty where nothing is judged
    std::optional<std::size_t> best;
    std::optional<leads::Split> split;          ///< by everybody or by half
    std::optional<double> could_show;           ///< about the difference that these people show with the power above
    std::string_view verdict{leads::k_none};
};
/// Who is shown to be below nobody at this level, among what did not run out.
[[nodiscard]] std::vector<bool> leads_at(const stats::RatingModel& model, const Scoring& scoring, double alpha);
/// `with_more`: what a report shows beside the verdict too (ordered words).
[[nodiscard]] Weighed weigh(const Question& question, const Scoring& scoring, bool with_more);

/// Each taster's scores of one sitting as a tray; a sample scored again in it begins another one.
[[nodiscard]] std::vector<stats::TasteTray> taste_trays(const Scoring& scoring);

/// The proportional-odds model beside the scores; nothing, and why, where they are no few words.
[[nodiscard]] std::optional<Ordered> ordered_of(const Question& question, const Scoring& scoring, const stats::RatingModel& model, std::string& why);

/// The samples whose scores scatter most and least, where that differs clearly: one scatter for all is then wrong about the widest.
struct UnequalScatter {
    std::size_t widest{0}, narrowest{0};
};
[[nodiscard]] std::optional<UnequalScatter> unequal_scatter(const Scoring& scoring, const stats::RatingModel& model);

/// How people used the scale and what a person's level and a sample's mean leave over; nothing below 8 scores.
[[nodiscard]] std::optional<ScoreLooks> looks_of(const Scoring& scoring);
[[nodiscard]] Findings findings_of(const Method& method, const Question& question, const Scoring& scoring, const Weighed& weighed);
/// Each sample held against the control, where there is one and pieces allow it.
void say_against(std::vector<core::Sentence>& words, const Question& question, const Scoring& scoring, const Weighed& weighed);
[[nodiscard]] std::vector<core::Sentence> words_of(const Question& question, const Scoring& scoring, const Weighed& weighed);

/// What a plain table holds, or what is wrong with it.
[[nodiscard]] core::Result<Scoring> read_table(const PlainTable& table, const Settings& settings);
[[nodiscard]] core::Result<Findings> weigh_table(const Method& method, const PlainTable& table, const Settings& settings);
extern const std::span<const Setting> k_weigh_settings, k_size_settings;
/// How many people it takes.
[[nodiscard]] core::Result<Findings> size(const Method& method, const Settings& settings);

extern const std::span<const Setting> k_round_settings;
void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults);
[[nodiscard]] AnswerShape shape(const Round& round);
/// `values`: the scores by serving place; `value`: their mean, of two recipes the new one's less the current one's.
[[nodiscard]] core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan& plan);
[[nodiscard]] RoundFindings analyse(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan);
void add_tasters(const Method& method, std::span<const Observation> observations, std::span<const std::string> names, const Round& round, RoundFindings& found);
[[nodiscard]] std::string_view verdict(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan);
[[nodiscard]] Outlook outlook(const Method& method, const Round& round, const Plan& plan);
[[nodiscard]] Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round& round, const Plan& plan);

/// "A", "A and B", "A, B and C": of these samples, in this order.
[[nodiscard]] core::Argument names_of(const Scoring& scoring, std::span<const std::size_t> samples);
/// Samples by their means in the model, the highest first.
[[nodiscard]] std::vector<std::size_t> by_mean(const stats::RatingModel& model);

}   // namespace oddplate::methods::ratings
