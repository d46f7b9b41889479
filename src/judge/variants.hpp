#pragma once
// A round weighed under other choices of answers, and told piece by piece.

#include <vector>

#include "joining.hpp"

namespace oddplate::judge {

/// Sets of one round on ballots that were dealt.
using RoundSets = std::vector<const JoinedSet*>;

/// The observations of the sets that count.
[[nodiscard]] std::vector<methods::Observation> observations_of(const RoundSets& sets);

/// With insiders, with late answers, without those told beforehand, and, where much is missing, with the missing at either end.
/// Only those that change something.
[[nodiscard]] std::vector<Variant> variants_of(const Case& subject, const Joined& joined, int round, const RoundSets& sets,
                                               const Tally& tally);

/// A row for each whole piece of meat, where there are two or more of a version.
[[nodiscard]] std::vector<PieceRow> pieces_of(const Case& subject, const Joined& joined, const RoundSets& sets);

/// Recipe sets against blank sets of a round: Fisher's exact test with the labels exchanged within tasters (stats::signal_p), since
/// what a blank and a recipe set share is the taster.
[[nodiscard]] Blanks blanks_of(const methods::Method& method, const RoundSets& recipe, const RoundSets& blank);

}   // namespace oddplate::judge
