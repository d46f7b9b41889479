#pragma once
// What an analysis answers, as data: screens, pages, JSON and pictures render it, and none of them knows a method's keys.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <utility>
#include <vector>

#include "oddplate/core/sentence.hpp"
#include "oddplate/stats/interval.hpp"

namespace oddplate::methods {

/// null, or a value. Doubles are finite.
using Value = std::variant<std::monostate, bool, std::int64_t, double, std::string>;

/// One named number. A key with a dot lies within an object: "d_prime.upper". A null says why, as a phrase id or plain words.
struct Field {
    std::string key;
    Value value;
    std::string why{};
};

/// A name as the last part of a dotted key: its own dots don't nest (they are kept as another sign till the key is written).
[[nodiscard]] std::string plain_name(std::string name);
/// The name back from such a part.
[[nodiscard]] std::string named(std::string part);

/// The picture of a count: one mark an answer, some of them ringed, against the line of luck.
struct Marks {
    std::int64_t of{0};       ///< answers that count
    std::int64_t ringed{0};   ///< right answers; votes for the new recipe
    double luck{0};           ///< how many would be ringed by luck alone
    std::string caption;      ///< phrase id; arguments k, n, luck
};

/// Several of a kind: pairs of samples, tasters, pieces. Every row has the same keys, none with a dot.
struct List {
    std::string key;                        ///< "pairs"
    std::vector<std::vector<Field>> rows;
};

/// What lies behind a model of scores, for pictures alone.
struct ScoreLooks {
    struct Use {
        double low{0}, mean{0}, high{0};
    };
    std::vector<Use> use;                                ///< a person each, by mean, without names
    std::vector<std::pair<double, double>> left_over;    ///< standardised residuals: a normal law's quantile, and what is there; at most 60
    std::int64_t scores{0};
};

/// What lies along a ladder of levels, for its picture alone. Shares are of 1.
struct LevelLooks {
    struct Step {
        double level{0};
        std::int64_t count{0}, of{0};                    ///< of 0 where nobody chose
        std::optional<stats::Interval> limits{};         ///< of the share; nothing where there are none (one person, nobody)
        bool ran_out{false};                             ///< so fewer answered
    };
    std::vector<Step> steps;                             ///< ascending, one or more
    std::vector<std::pair<double, double>> curve{};      ///< level and share, ascending; empty where no curve was fitted
    bool logarithmic{false};                             ///< the curve is one in the logarithm of the level
    double luck{0};                                      ///< the share that luck gives
    double wanted{0.5};                                  ///< the curve's share at the point, in (luck, 1)
    struct Point {
        double at{0};
        std::optional<stats::Interval> limits{};         ///< infinite (or 0, of a logarithm) on a side that the levels tasted don't bound
    };
    std::optional<Point> point{};                        ///< read off the curve
    std::optional<Point> beside{};                       ///< the same by another rule, where there is one
    std::string words;                                   ///< begin of its phrase ids (title, axis, luck, wanted, curve, beside): "picture.ladder"
    double confidence{0.95};
};

struct Findings {
    std::string verdict;                     ///< "different", "new-preferred", ...; empty where nothing is judged (sizes)
    std::vector<Field> fields;               ///< in the order in which they are shown
    std::vector<core::Sentence> words;       ///< the plain sentence first
    std::vector<std::string> warnings;       ///< stable codes: "below_chance"
    std::vector<List> lists{};               ///< after the fields
    std::optional<Marks> marks{};            ///< where the answers can be shown as marks

    std::optional<ScoreLooks> score_looks{};   ///< where the answers are scores of several samples
    std::optional<LevelLooks> level_looks{};   ///< where they were given along a ladder of levels

    [[nodiscard]] const Value* find(std::string_view key) const;
    [[nodiscard]] std::optional<double> number(std::string_view key) const;   ///< integers too; nothing where null or absent
    void add(std::string key, Value value, std::string why = {}) { fields.push_back({std::move(key), std::move(value), std::move(why)}); }
    /// An absent estimate becomes null with its reason.
    void add_optional(std::string key, const std::optional<double>& value, std::string why);
};

/// A check that is off raises an alarm at this p.
inline constexpr double k_alarm = 0.05;

/// A check of the panel or of the design. Never a verdict.
struct Check {
    std::string id;                          ///< "position_picks"
    std::optional<double> p_value;           ///< nothing where it could not be computed; `words` then says why
    bool alarm{false};
    core::Sentence words;
};

struct SpotFindings {
    std::string spot;
    Findings findings;
};

/// The sentence that names recipes which ran out; those about a ladder's levels begin with the other. It goes with the verdict's own: whoever reads no further has to know who was left to come first.
inline constexpr std::string_view k_ran_out = "leads.withdrawn", k_level_ran_out = "ladder.ran_out";
[[nodiscard]] inline bool says_ran_out(const core::Sentence& sentence) { return sentence.id == k_ran_out || sentence.id.starts_with(k_level_ran_out); }

/// One round judged.
struct RoundFindings {
    std::vector<SpotFindings> spots;
    Findings pooled;
    std::optional<double> heterogeneity;     ///< p that the spots agree
    std::string heterogeneity_why;           ///< why there is none
    std::string verdict;
    std::vector<core::Sentence> words;       ///< the verdict first, then what it rests on, what the panel could not see, what next
    std::vector<std::string> warnings;
    std::vector<Check> checks;
};

}   // namespace oddplate::methods
