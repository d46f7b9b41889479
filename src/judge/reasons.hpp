#pragma once
// What people wrote beside their answers, word by word, held against what they chose.

#include "checks.hpp"

namespace oddplate::judge {

/// Adds the lists `reasons` (word, people, p_value, p_adjusted) and `reasons_by` (word, chose, people, of) and what they say. A person writes a word or not,
/// however often; persons are those who wrote anything. A plan's own beginnings of words count whatever begins so; without them every word that five
/// people or more wrote, at most twelve, and what they show is exploratory. Who chose what: votes by their sum, right or wrong by more than half, of several
/// recipes the one most often put first; who is on no side is counted, not compared. p: the chance that luck deals the word so unevenly over the sides
/// (Fisher 1935; the people's words exchanged among the sides, stats::spots_differ), Holm over the words. Privacy: nothing is shown of a word that fewer
/// than five people wrote, nor of any side where one has fewer than five: the others would give it away (common practice).
void add_reasons(const CheckedRound& checked, methods::RoundFindings& findings);

}   // namespace oddplate::judge
