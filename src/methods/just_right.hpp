#pragma once
// Too little, just right, too much: how the answers spread, whether they change from sample to sample, and what goes with lower liking.
//
//   spread    people in each sort, the share of just right with its interval
//   change    the same people, two samples: marginal homogeneity, exact; and just right or not, McNemar's exact test
//   side      more people on one side than on the other, were they to lean neither way (sign test)
//   drop      mean liking of those who say just right less that of those on one side, only where that side is large enough
// A drop goes with lower liking; that more or less of it would be liked better is for a pair of samples to show.

#include <algorithm>
#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "by_spots.hpp"
#include "pieces.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/marginal_homogeneity.hpp"
#include "oddplate/stats/p_value.hpp"

namespace oddplate::methods::just_right {

inline constexpr std::int64_t k_least_people = 12;   ///< on a side, and just right, before their liking is compared
inline constexpr double k_least_share = 0.2;         ///< of a sample's people on that side (common practice)

enum Sort : std::size_t { too_little, right, too_much };
[[nodiscard]] std::string_view to_text(Sort sort);

/// What one person said of one attribute of one sample.
struct Opinion {
    std::int32_t taster{0}, sample{0}, attribute{0};
    double level{0};                 ///< below 0 too little, above 0 too much
    std::optional<double> liking;    ///< of the sample as a whole

    [[nodiscard]] Sort sort() const { return level < 0 ? too_little : level > 0 ? too_much : right; }
};

struct Opinions {
    std::vector<std::string> samples, tasters, attributes;   ///< one attribute without a name where the table names none
    std::vector<Opinion> rows;                               ///< one at most of a person, sample and attribute
    std::int64_t left_out{0};
    std::int64_t torn{0};          ///< a person's opinions of a sample and attribute that went two ways as often, and count nowhere
    /// Levels by the pieces that they were given to: attribute -> tray; empty where a recipe was one piece.
    std::vector<std::vector<pieces::Tray>> trays{};
    std::vector<int> withdrawn{};  ///< samples that ran out: they lead nothing, and to be behind one of them is not to be behind

    [[nodiscard]] bool ran_out(int sample) const { return std::find(withdrawn.begin(), withdrawn.end(), sample) != withdrawn.end(); }
};

struct Question {
    double alpha{0.05};
    double confidence{0.95};
};

/// One attribute of one sample.
struct Spread {
    std::int32_t attribute{0}, sample{0};
    std::array<std::int64_t, 3> people{};
    double level{0};       ///< mean
    double side_pieces_p{0};                ///< with pieces taken as a sample of many (pieces::from_nought); 0 where that can't be asked
    double p_side{1}, p_side_adjusted{1};   ///< sign test of too little against too much (Dixon & Mood 1946, JASA 41:557), two-sided, exact; by Holm over attributes and samples, of the larger of the two
    double people_adjusted{1};              ///< by Holm, of the people's alone
    bool leads{false};     ///< not shown to be just right less often than any other

    [[nodiscard]] std::int64_t all() const { return people[0] + people[1] + people[2]; }
    [[nodiscard]] double share(Sort sort) const { return static_cast<double>(people[sort]) / static_cast<double>(all()); }
    [[nodiscard]] Sort side() const { return people[too_little] > people[too_much] ? too_little : too_much; }
};

/// Two samples, by those who tasted both.
struct Change {
    std::int32_t attribute{0}, a{0}, b{0};
    std::int64_t people{0}, gained{0}, lost{0};   ///< gained: just right for b and not for a
    std::array<std::int64_t, 3> in_a{}, in_b{};   ///< of them, who said which of either
    std::optional<stats::HomogeneityTest> test;
    /// With pieces taken as a sample of many (pieces::between): of just right, and the smaller of that and of which side, twice (Bonferroni). 0 where it can't be asked.
    double right_pieces_p{0}, pieces_p{0};
    double p_adjusted{1};                          ///< by Holm over attributes and pairs, as the next one of the larger of its test's p and the pieces'
    double people_adjusted{1};                     ///< by Holm, of the test's p alone
    double p_right{1}, p_right_adjusted{1};        ///< by Holm over the pairs of the attribute

    [[nodiscard]] Sort moved_most() const;         ///< the sort whose number of people changed most
};

/// One side of one attribute of one sample.
struct Drop {
    std::int32_t attribute{0}, sample{0};
    Sort side{too_little};
    std::int64_t people{0}, of{0};
    std::optional<double> liking_right, liking_side;
    std::optional<stats::Interval> interval;
    std::optional<stats::PValue> p;
    double p_adjusted{1};   ///< by Holm over attributes, sides and samples
    std::string why;        ///< why nothing is compared

    [[nodiscard]] double drop() const { return *liking_right - *liking_side; }
    [[nodiscard]] double share() const { return static_cast<double>(people) / static_cast<double>(of); }
};

/// Mean liking in each sort, and what it pulls the sample's mean up or down: the pulls of a sample and attribute sum to 0.
struct Liking {
    std::int32_t attribute{0}, sample{0};
    Sort sort{too_little};
    std::int64_t people{0};
    double mean{0}, pull{0};
};

struct Weighed {
    std::vector<Spread> spreads;
    std::vector<Change> changes;
    std::vector<Liking> likings;
    std::vector<Drop> drops;
};
[[nodiscard]] Weighed weigh(const Question& question, const Opinions& opinions);
[[nodiscard]] std::vector<Drop> drops_of(const Question& question, const Opinions& opinions);
/// Spreads and changes: what a verdict rests on.
[[nodiscard]] Weighed weigh_levels(const Question& question, const Opinions& opinions);

[[nodiscard]] Findings findings_of(const Method& method, const Question& question, const Opinions& opinions, const Weighed& weighed);
/// The sides that more people are on than on the other, the surest first.
[[nodiscard]] std::vector<const Spread*> shown_sides(const Question& question, const Weighed& weighed);
[[nodiscard]] std::vector<core::Sentence> words_of(const Question& question, const Opinions& opinions, const Weighed& weighed);

[[nodiscard]] core::Result<Opinions> read_table(const PlainTable& table);
[[nodiscard]] core::Result<Findings> weigh_table(const Method& method, const PlainTable& table, const Settings& settings);
extern const std::span<const Setting> k_weigh_settings, k_size_settings;
/// How many people it takes.
[[nodiscard]] core::Result<Findings> size(const Method& method, const Settings& settings);

extern const std::span<const Setting> k_round_settings;
void settle(const Method& method, Round& round, const Plan& plan, const std::string& place, core::Faults& faults);
/// The round's attributes, in order: "salt, smoke" is two.
[[nodiscard]] std::vector<std::string> attributes_of(const Round& round);
[[nodiscard]] AnswerShape shape(const Round& round);
/// `values`: the liking of each, `levels` that of each attribute. `value`: mean liking, of two recipes the new one's less the current one's.
[[nodiscard]] core::Result<Scored> score(const SetKey& key, const Answer& answer, const Round& round, const Plan& plan);
/// The verdict is about the first attribute: which recipe is most often just right.
[[nodiscard]] RoundFindings analyse(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan);
[[nodiscard]] std::string_view verdict(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan);
[[nodiscard]] Outlook outlook(const Method& method, const Round& round, const Plan& plan);
[[nodiscard]] Answer decide(const Sensed& sensed, std::span<const std::string> codes, const Round& round, const Plan& plan);

}   // namespace oddplate::methods::just_right
