#pragma once
// Questions that every method with a curve answers in the same way.

#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/methods/findings.hpp"
#include "oddplate/methods/method.hpp"

namespace oddplate::methods {

/// The method's curve at a true difference d: keys method, d_prime, proportion_correct, discriminators.
/// d is finite, from 0 up; a method that asks for a direction takes a d below 0 too (then fewer are right than by guessing, and
/// discriminators are 0). Where answers are one word about one impression, keys criterion, hit_rate and false_alarm_rate beside them: at the criterion
/// of the settings, else at the one with most right answers. Faults: a method without a curve (usage), a d that is not finite or below 0 where the curve has
/// no such side, a criterion of pairs that is not above 0.
[[nodiscard]] core::Result<Findings> curve(const Method& method, const Settings& settings, double d);

/// One row of the planning table: the fewest tasters who find that share of discriminators, and the count from which every larger
/// panel does.
struct SizeRow {
    double alpha{0}, power{0}, discriminators{0};
    std::int64_t tasters{0}, tasters_safe{0};
};

/// alpha .2 .1 .05 .01 .001 x power .5 .8 .9 .95 .99 x discriminators .5 .4 .3 .2 .1, in that nesting, one-sided (ISO 4120 table
/// A.3, ISO 5495 table A.4). Fault: a method without a curve (usage).
[[nodiscard]] core::Result<std::vector<SizeRow>> size_table(const Method& method, const Settings& settings);

}   // namespace oddplate::methods
