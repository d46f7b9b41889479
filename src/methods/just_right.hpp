#pragma once
// Too little, just right, too much: how the answers spread, whether they change from sample to sample, and what goes with lower liking.
//
//   spread    answers in each sort; the share of just right is the mean over people of their own share of trays, with its interval by people
//   change    the same people, two samples: just right or not, each person's net over the trays that held both turned over by a coin (one tray each: McNemar's exact
//             test); and marginal homogeneity, exact, of those who said one thing of either most often
//   side      each person's answers on one side less those on the other, turned over by a coin (one tray each: the sign test)
// Several trays: one person's answers may differ from spot to spot. Who is torn counts in shares, sides and just right or not; which sort is his can't be told.
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

/// What one person said of one attribute of one sample on one tray.
struct Opinion {
    std::int32_t taster{0}, sample{0}, attribute{0};
    double level{0};                 ///< below 0 too little, above 0 too much
    std::optional<double> liking;    ///< of the sample as a whole
    std::int32_t tray{0};

    [[nodiscard]] Sort sort() const { return level < 0 ? too_little : level > 0 ? too_much : right; }
};

struct Opinions {
    std::vector<std::string> samples, tasters, attributes;   ///< one attribute without a name where the table names none
    std::vector<Opinion> rows;                               ///< one at most of a person, sample, attribute and tray
    std::int64_t left_out{0};
    /// Levels by the pieces that they were given to: attribute -> tray; empty where a recipe was one piece.
    std::vector<std::vector<pieces::Tray>> trays{};
    std::vector<int> withdrawn{};  ///< samples that ran out: they lead nothing, and to be behind one of them is not to be behind

    [[nodiscard]] bool ran_out(int sample) const { return std::find(withdrawn.begin(), withdrawn.end(), sample) != withdrawn.end(); }
};

/// One person's answers about one attribute of one sample; nothing in it where he gave none.
struct Heard {
    std::vector<const Opinion*> answers;
    std::array<std::int64_t, 3> said{};

    /// What was said most often; none where two sorts were said as often. Too little here and too much there is not just right.
    [[nodiscard]] std::optional<Sort> sort() const;
    [[nodiscard]] bool is_torn() const { return !answers.empty() && !sort(); }
    [[nodiscard]] double level() const;                    ///< mean
    [[nodiscard]] std::optional<double> liking() const;    ///< mean of those given
};
/// Sample -> taster.
[[nodiscard]] std::vector<std::vector<Heard>> heard_of(const Opinions& opinions, std::int32_t attribute);

struct Question {
    double alpha{0.05};
    double confidence{0.95};
};

/// One attribute of one sample.
struct Spread {
    std::int32_t attribute{0}, sample{0};
    std::int64_t people{0}, answers{0};
    std::array<std::int64_t, 3> said{};     ///< answers
    double share{0};                        ///< of just right: the mean over people of their own
    stats::Interval interval{};             ///< of it (shares::limits)
    std::int64_t little{0}, much{0};        ///< people who said the one more often than the other
    double level{0};       ///< mean over people of their own mean
    double side_pieces_p{0};                ///< with pieces taken as a sample of many (pieces::from_nought); 0 where that can't be asked
    double p_side{1}, p_side_adjusted{1};   ///< of too little against too much, two-sided, exact (stats::sign_flip_p; one answer each: the sign test, Dixon & Mood 1946, JASA 41:557); by Holm over attributes and samples, of the larger of the two
    double people_adjusted{1};              ///< by Holm, of the people's alone
    bool leads{false};     ///< not shown to be just right less often than any other

    [[nodiscard]] Sort side() const { return said[too_little] > said[too_much] ? too_little : too_much; }
};

/// Two samples, by those who tasted both.
struct Change {
    std::int32_t attribute{0}, a{0}, b{0};
    std::int64_t people{0}, gained{0}, lost{0};   ///< gained: just right more often for b than for a, on the trays that held both
    std::int64_t net{0};                          ///< trays on which b alone was just right less those on which a alone was
    std::int64_t settled{0};                      ///< people who said one thing of either most often
    std::array<std::int64_t, 3> in_a{}, in_b{};   ///< of them, who said which of either
    std::optional<stats::HomogeneityTest> test;
    /// With pieces taken as a sample of many (pieces::between): of just right, and the smaller of that and of which side, twice (Bonferroni). 0 where it can't be asked.
    double right_pieces_p{0}, pieces_p{0};
    double p_adjusted{1};                          ///< by Holm over attributes and pairs, as the next one of the larger of its test's p and the pieces'
    double people_adjusted{1};                     ///< by Holm, of the test's p alone
    double p_right{1}, p_right_adjusted{1};        ///< by Holm over the pairs of the attribute

    [[nodiscard]] int behind() const { return net > 0 ? a : net < 0 ? b : -1; }   ///< the sample that was just right less often; -1 where neither was
    [[nodiscard]] Sort moved_most() const;         ///< the sort whose number of people changed most
};

/// One side of one attribute of one sample.
struct Drop {
    std::int32_t attribute{0}, sample{0};
    Sort side{too_little};
    std::int64_t people{0}, of{0};   ///< who said how much it is liked; of them all, the torn too
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

/// How many times a person was torn over an attribute of a sample.
struct Torn {
    std::int64_t beside{0};   ///< between just right and one side
    std::int64_t apart{0};    ///< between too little and too much
};

struct Weighed {
    Torn torn;
    std::vector<Spread> spreads;
    std::vector<Change> changes;
    std::vector<Liking> likings;
    std::vector<Drop> drops;

    [[nodiscard]] bool several() const { return std::any_of(spreads.begin(), spreads.end(), [](const Spread& one) { return one.answers > one.people; }); }   ///< answers of a person
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
