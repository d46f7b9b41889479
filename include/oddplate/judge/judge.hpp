#pragma once
// Judging: answers as text, held against the key, scored by the method and weighed by the plan's own rule. A pure function of its
// case.

#include <cstdint>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/methods/findings.hpp"
#include "oddplate/methods/method.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::judge {

/// One answer that stands, after corrections.
struct GivenAnswer {
    int ballot{0};      ///< 0-based
    int set{0};         ///< 0-based, within the ballot
    std::string text;   ///< canonical text, see methods/answer.hpp
    bool late{false};   ///< entered after close: shown beside, never in the verdict
    std::string note{};   ///< what the taster wrote beside it
};

/// Two ballots whose trays of one set were exchanged: each is scored by the tray that was eaten.
struct Swap {
    int ballot_a{0}, ballot_b{0};
    int set{0};
};

/// A row of tubs whose letters were found the other way round: `letter` really held `version`.
struct TubCorrection {
    std::string spot;
    std::string letter;
    int version{0};
};

/// A recipe that ran out at an evening and, where `until` is one, was served again from that one on; evenings from 0.
struct Withdrawal {
    int version{0};
    int from{0}, until{std::numeric_limits<int>::max()};
};

/// Everything that a verdict rests on.
struct Case {
    methods::Plan plan;
    draw::Room room;
    draw::Key key;
    std::vector<GivenAnswer> answers;
    std::vector<std::string> tasters;                   ///< nickname of each ballot, "" = unnamed (a taster of its own)
    std::vector<bool> void_ballots;                     ///< spoiled: no answer of it counts
    std::vector<std::optional<bool>> told_beforehand;   ///< the last box: something gave it away
    std::vector<Swap> swaps;
    std::vector<TubCorrection> tubs;
    std::vector<std::pair<int, int>> opened_sets;   ///< ballot, set: opened in an emergency, do not count
    std::vector<bool> handed{};                 ///< handed out; a ballot with a name, an answer or a spoiled mark is dealt anyway
    std::vector<Withdrawal> withdrawals{};      ///< trays that hold one then may lack it, and without an answer were not served
    std::vector<std::string> stopped_spots{};   ///< ran out: sets of them without an answer were not served
};

/// How many of a round's sets on ballots that were dealt came to what; a vote that could not choose (`none`) is counted, any other one undecided. Each
/// set falls under the first that is true of it: its taster is an insider; its ballot was spoiled (void); its tray was opened;
/// nothing was entered (missing, or not served where its spot was stopped); entered late; and then what the answer says. dealt =
/// counted + undecided + blank + void_ + not_served + missing + insiders + opened + late.
struct Tally {
    int dealt{0}, counted{0}, undecided{0}, blank{0}, void_{0}, not_served{0}, missing{0}, insiders{0}, opened{0}, late{0};
};

/// The same round under another choice of answers: insiders added, late ones added, those told beforehand left out, the missing
/// ones imagined. Exploratory.
struct Variant {
    std::string id;   ///< "with_insiders", "with_late", "without_told", "missing_high", "missing_low" (see worst case in judge())
    int answers{0};   ///< how many answers it adds or leaves out
    std::string verdict;
    methods::Findings pooled;
};

/// How the answers came out to trays that held a portion of one whole piece of meat.
struct PieceRow {
    int version{0}, piece{0};        ///< 0-based; the piece is of that version
    std::int64_t trays{0};           ///< counted answers to such trays
    std::optional<double> mean;      ///< of their scores: the share right, or votes for the new recipe less those for the current one; nothing without trays
};

/// The coded sets of two pieces of one recipe, beside those of two recipes.
struct Blanks {
    std::int64_t sets{0}, right{0};                 ///< blank sets that count, and how many were right
    std::int64_t recipe_sets{0}, recipe_right{0};   ///< the same of the round's other sets, by tasters who had a blank too or not
    std::optional<double> p_value;                  ///< that recipe sets are no more often right than blanks: labels exchanged within tasters, exact
    std::string why;                                ///< why there is none
};

/// The share of right answers (or of votes for the new recipe, of those that chose) had something been served alike for everybody: beside the plain share,
/// never instead of it.
struct Adjusted {
    std::string id;                    ///< "orders": each serving order weighs the same; "before": after each recipe alike; "sitting": on the first tray
    std::optional<double> share;       ///< nothing where `why` says so
    std::optional<double> d_prime;     ///< by the method's curve, where it has one
    std::string why;                   ///< plain words
};

/// How often a place on the tray was picked, and how often people without a habit would have.
struct PlacePick {
    std::int64_t picked{0};
    double even{0};
};

/// Right answers among those at one place of the sitting.
struct SittingRight {
    std::int64_t right{0}, of{0};
};

struct JudgedRound {
    int round{0};   ///< 0-based
    std::string method;
    methods::DecideOn decide_on{methods::DecideOn::overall};
    double alpha{0.05};   ///< at which it was judged: the round's, less what looks take
    Tally tally;
    methods::RoundFindings findings;
    std::vector<Variant> variants;
    std::vector<PieceRow> pieces;              ///< where the plan has two or more of a version, else empty
    std::optional<Blanks> blanks;              ///< where the plan has blank sets
    methods::Scale scale{methods::Scale::right};   ///< what the scores are
    std::vector<PlacePick> picks{};            ///< by place, for pictures; empty where nothing is picked
    std::vector<SittingRight> sitting{};       ///< by place in the sitting; empty where no answer is right
    std::vector<Adjusted> adjusted{};          ///< where answers are right or wrong, or votes, and there are some
};

struct Judged {
    std::vector<JudgedRound> rounds;
    std::string verdict;                 ///< the first round's
    std::vector<core::Sentence> words;   ///< the first round's, then what stands about the tasting as a whole
    std::vector<std::string> warnings;
};

/// Scores every answer against the tray that was eaten and weighs each round by its method.
///
/// After a swap the taster of ballot A ate B's tray: an answer with codes of that tray is taken as written; one with codes of his
/// own slip means the places that he ringed, and is read on the tray before him. A tub's correction exchanges two versions at its
/// spot, in all rounds. Tasters are nicknames (case and outer spaces aside); an unnamed ballot is a taster of its own. Where more
/// than one set in twenty is missing, blank or void, the round is weighed twice more with all of those at the high end (right;
/// for the new recipe) and at the low end of what a set can score. Faults: a method that is not known, an answer that does not
/// fit its tray (place "ballot 7, set 2"). Sizes that do not match stop the program.
[[nodiscard]] core::Result<Judged> judge(const Case& subject);

/// By ballot and set, how many portions each tray holds of recipes that are off at its evening, its tubs corrected; trays that hold none left out. The sizes of
/// room and key have to match.
[[nodiscard]] core::Result<std::map<std::pair<int, int>, std::size_t>> ran_out_of(const Case& subject);

}   // namespace oddplate::judge
