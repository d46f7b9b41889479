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

/// How the answers came out by whole piece of meat, where there are two or more of a version: fields "pieces.<version>
/// <number>.answers" and "pieces.<version> <number>.mean" (the mean score: the proportion right; for votes, for the new recipe
/// less for the current one).
void add_pieces(const Case& subject, const Joined& joined, const RoundSets& sets, methods::Findings& pooled);

}   // namespace oddplate::judge
