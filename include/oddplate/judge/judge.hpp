#pragma once
// Judging: answers as text, held against the key, scored by the method and weighed by the plan's own rule. A pure function of its case.

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/draw/draw.hpp"
#include "oddplate/methods/findings.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::judge {

/// One answer that stands, after corrections.
struct GivenAnswer {
    int ballot{0};               ///< 0-based
    int set{0};                  ///< 0-based, within the ballot
    std::string text;            ///< canonical text, see methods/answer.hpp
    bool late{false};            ///< entered after close: shown beside, never in the verdict
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

/// Everything that a verdict rests on.
struct Case {
    methods::Plan plan;
    draw::Room room;
    draw::Key key;
    std::vector<GivenAnswer> answers;
    std::vector<std::string> tasters;                    ///< nickname of each ballot, "" = unnamed (a taster of its own)
    std::vector<bool> void_ballots;                      ///< spoiled: no answer of it counts
    std::vector<std::optional<bool>> told_beforehand;    ///< the last box: something gave it away
    std::vector<Swap> swaps;
    std::vector<TubCorrection> tubs;
    std::vector<std::pair<int, int>> opened_sets;        ///< ballot, set: opened in an emergency, do not count
};

/// How many of a round's sets came to what. dealt = counted + blank + void_ + not_served + undecided_left_out + missing + insiders + opened + late.
struct Tally {
    int dealt{0}, counted{0}, blank{0}, void_{0}, not_served{0}, missing{0}, insiders{0}, opened{0}, late{0};
};

/// The same round under another choice of answers: insiders added, late ones added, those told beforehand left out. Exploratory.
struct Variant {
    std::string id;              ///< "with_insiders", "with_late", "without_told"
    int answers{0};              ///< how many answers it adds or leaves out
    std::string verdict;
    methods::Findings pooled;
};

struct JudgedRound {
    int round{0};                ///< 0-based
    std::string method;
    methods::DecideOn decide_on{methods::DecideOn::overall};
    Tally tally;
    methods::RoundFindings findings;
    std::vector<Variant> variants;
};

struct Judged {
    std::vector<JudgedRound> rounds;
    std::string verdict;                       ///< the first round's
    std::vector<core::Sentence> words;         ///< the first round's, then what stands about the tasting as a whole
    std::vector<std::string> warnings;
};

[[nodiscard]] core::Result<Judged> judge(const Case& subject);

}   // namespace oddplate::judge
