#pragma once
// A method is a value, not a class tree. Everything downstream asks the value; nobody switches on an id. One file in
// src/methods/registry/ defines one `extern const Method`; the build makes the table from the file names.

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/core/sentence.hpp"
#include "oddplate/methods/answer.hpp"
#include "oddplate/methods/findings.hpp"
#include "oddplate/methods/plan.hpp"
#include "oddplate/methods/settings.hpp"
#include "oddplate/stats/link.hpp"

namespace oddplate::methods {

/// One way of serving a set: the version of each portion from left to right.
struct Order {
    std::vector<int> versions;
    int reference{-1};    ///< version of the marked reference portion, -1 = none
    int trait{0};         ///< what is balanced within a taster beside the order: the odd version, the one served first, ...
    int batch{0};         ///< orders of a batch are dealt one after another, so that each batch is balanced for itself; batches follow from 0, all of one size
};

/// The key's side of one set, as scoring sees it.
struct SetKey {
    std::span<const std::string> codes;   ///< in serving order
    std::span<const int> versions;        ///< same order
    int reference{-1};
};

/// One scored answer.
struct Scored {
    double value{0};                      ///< right-answer methods: 1 right, 0 wrong; preference: +1 new, -1 current, 0 undecided
    int picked{-1};                       ///< serving place of the code that was chosen, from 0; -1 where no one place was
    int way{-1};                          ///< of the method's ways to sort a tray, which one was chosen (a pair of four); -1 where places say it
    std::vector<double> values{};         ///< scores or ranks by serving place, for methods that give several
    std::vector<int> samples{};           ///< beside them, where a set holds several recipes: of which version each is; portions that were not served are left out
    std::vector<std::vector<double>> levels{};   ///< beside them, where more was asked of each: -1 too little, 0 just right, 1 too much
};

/// One answer that counts, with where it came from.
struct Observation {
    std::int32_t taster{0};               ///< 0-based; ballots of one nickname are one taster
    std::int32_t ballot{0};
    std::int32_t spot{0};                 ///< index into the round's spots
    std::int32_t order{0};                ///< index into the method's orders
    std::int32_t place{0};                ///< of the set within the round, from 0, as served
    Scored scored;
    std::vector<std::int32_t> pieces{};   ///< by version: the whole piece that its portion was cut from, from 0; -1 where none lay there. Only for `Scale::each`
};

/// What a taster perceives on one tray of a rehearsal, in units of one serving's standard deviation. The current recipe's mean is 0,
/// the other's the difference; where a method names a direction, the stronger version is the one with more.
struct Sensed {
    std::span<const double> portions;     ///< in serving order
    double reference{0};                  ///< of the marked portion, where there is one
    double d{0};                          ///< this taster's own difference now, for criteria that an unbiased taster holds
};

/// What a cook wants to know when the adviser is asked.
enum class Wanted { noticed, liked, same };

/// One way in which a method answers such a question.
struct Advice {
    Wanted wanted;
    bool directed{false};                 ///< only where the cook can say which way the change goes
    std::string_view reason;              ///< phrase id: why this method, and what it would lose
    std::string_view flag{};              ///< a flag setting of `size` that this way needs ("specified")
};

/// What the scores of a method are.
enum class Scale {
    right,    ///< 1 right, 0 wrong; more right answers speak for a difference
    votes,    ///< +1 for the new recipe, -1 for the current one, 0 undecided
    values,   ///< anything else; what they mean only the method knows
    each      ///< a number for each portion (`values`): a rank, a rating
};

struct Source { std::string_view cite; };

/// Inputs of `count` with a published answer; run as a test of the method without further code.
struct Example {
    std::string_view inputs;              ///< JSON object of count's settings
    std::string_view key;                 ///< "p_value"
    double expected;
    double tolerance;                     ///< absolute: half a unit of the last printed digit
    std::string_view source;
};

/// What a panel could find, before it is asked (for the plan in words and the verdict's 'could not see').
struct Outlook {
    std::optional<std::int64_t> needed;         ///< tasters that the question needs
    std::optional<double> chance;               ///< that this panel reaches the aim, if what the plan says is true
    std::vector<core::Sentence> words;          ///< both ways, as chances; the ways out where the panel is too small
};

/// A table that was not drawn here, as text: `rows[i].cells` go with `columns`.
struct PlainTable {
    struct Row {
        std::size_t line;                 ///< of the file, from 1, for faults
        std::vector<std::string> cells;
    };
    std::vector<std::string> columns;     ///< the method's columns that the file has
    std::vector<Row> rows;

    [[nodiscard]] int column(std::string_view name) const;   ///< -1 where the file has none
};

struct Column {
    std::string_view name;
    bool required{true};
    std::string_view help{};              ///< one plain line, where the name alone does not say it
};

struct Method {
    std::string_view id;                        ///< "triangle"; never reused, never renamed
    int version{1};                             ///< raised whenever the same data could give another answer
    std::span<const core::Phrase> phrases;      ///< its English text: "triangle.title", "triangle.ask", ... (list below)
    Scale scale{Scale::right};
    int portions{0};                            ///< coded portions in a set; 0 where the round and its versions say how many
    int fewest_versions{2};                     ///< of a plan that it can be asked in; most methods hold one recipe against one other
    AnswerShape (*shape)(const Round& round);   ///< what a taster answers; a round may set a scale or ask how sure

    /// The serving orders of a round, each to be served equally often.
    std::vector<Order> (*orders)(const Round& round, int versions);

    std::span<const Setting> round_settings;    ///< what a plan's round may say beyond what every round may
    /// Fills the round's defaults and checks it within its plan; faults carry `place` ("/rounds/0").
    void (*settle)(const Method&, Round& round, const Plan& plan, const std::string& place, core::Faults& faults);
    bool (*may_abstain)(const Round& round);    ///< whether `none` is an answer
    /// Portions of the current recipe that everybody eats first, said to be it, to know it by. Absent: none.
    int (*to_learn)(const Round& round){nullptr};

    core::Result<Scored> (*score)(const SetKey& key, const Answer& answer, const Round& round, const Plan& plan);
    RoundFindings (*analyse)(const Method&, std::span<const Observation> observations, const Round& round, const Plan& plan);
    /// The verdict of `analyse` and nothing else, without what only tells of it (estimates, words, sizes): simulations ask thousands of times.
    /// Absent where `analyse` is quick enough.
    std::string_view (*verdict)(const Method&, std::span<const Observation> observations, const Round& round, const Plan& plan){nullptr};
    /// Adds what the answers say beyond the verdict about spots and tasters, whose names go by their numbers; a judged tasting asks for it once,
    /// simulations don't. Absent where there is nothing of the kind.
    void (*add_tasters)(const Method&, std::span<const Observation> observations, std::span<const std::string> names, const Round& round,
                        RoundFindings& found){nullptr};
    /// Says what those who could not choose would change, spot by spot; a judged tasting asks once, where somebody could not. Absent where everybody picks.
    void (*add_undecided)(const Method&, std::span<const std::int64_t> undecided, const Round& round, RoundFindings& found){nullptr};
    /// Of several recipes on a tray the version that the answer puts before the others, -1 where it puts none; what people write is told by it. Absent where
    /// an answer puts none first; votes and right answers tell by themselves.
    int (*favours)(const Scored& scored){nullptr};
    /// Whether a verdict of `analyse` claims that the panel does not take the two recipes for alike.
    bool (*claims_difference)(std::string_view verdict);
    Outlook (*outlook)(const Method&, const Round& round, const Plan& plan);

    /// What a taster answers who perceives this and holds to the method's decision rule (rehearsals only).
    Answer (*decide)(const Sensed& sensed, std::span<const std::string> codes, const Round& round, const Plan& plan){nullptr};
    std::span<const std::string_view> verdicts{};   ///< all that `analyse` can come to
    std::span<const Advice> advice{};               ///< empty where the adviser should not name it

    std::span<const Setting> count_settings;    ///< flags of `count`; empty where nothing is counted
    core::Result<Findings> (*count)(const Method&, const Settings& settings){nullptr};
    std::span<const Setting> size_settings;
    core::Result<Findings> (*size)(const Method&, const Settings& settings){nullptr};

    std::span<const Column> weigh_columns{};    ///< of a table that `weigh` takes; empty where there is none
    std::string_view weigh_sample{};            ///< such a table, as `weigh` reads it: its header and a few answers
    std::span<const Setting> weigh_settings{};
    core::Result<Findings> (*weigh)(const Method&, const PlainTable& table, const Settings&){nullptr};

    bool right_of_n{true};                      ///< what counts is right answers of all; else hits and false alarms, or scores
    const stats::Link* link{nullptr};           ///< absent where no answer is right
    std::span<const Setting> curve_settings{};  ///< what the curve depends on (the specified tetrad); flags of `curve`
    const stats::Link* (*link_by)(const Settings&){nullptr};   ///< where curve_settings says something, the curve that they name
    /// Where the curve is that of two rates (hits, false alarms) and a line between two words: adds criterion, hit_rate and false_alarm_rate at d and answers
    /// the share of right answers there, both kinds served equally often. Absent elsewhere.
    core::Result<double> (*add_rates)(const Settings&, double d, Findings& findings){nullptr};
    std::span<const Source> sources;
    std::span<const Example> examples;
};

// Phrases every method gives, as "<id>.<name>": title ("Triangle"), asks (the question it answers, for lists: "Can anyone tell?"),
// look (what lies on the tray: "Two of these portions are alike. One is different."), how ("Eat them from left to right; ..."), ask ("Ring the one that is DIFFERENT."),
// kind (the kind word under the rings), comment, before (the last box's question). Arguments of all: {attribute}.
// Some give more: ready (the ready-made plan that asks by it), mark (what stands on its marked portion, where that is not R), low and high (the ends of a scale),
// none (how "could not choose" is said), word.<answer> (what a word's tick box says).

[[nodiscard]] inline AnswerShape one_code(const Round&) { return OneCode{}; }

/// The method with the curve that the settings name. Whoever counts, sizes or analyses asks here once, at the door.
[[nodiscard]] Method with_curve(const Method& method, const Settings& settings);

/// Coded portions in a set of this round, with so many versions in the plan.
[[nodiscard]] int portions_of(const Method& method, const Round& round, int versions);

/// All methods, in order of id.
[[nodiscard]] std::span<const Method* const> all();
/// The method with this id, or a usage fault that names the nearest.
[[nodiscard]] core::Result<const Method*> find(std::string_view id);

}   // namespace oddplate::methods
