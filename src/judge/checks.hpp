#pragma once
// Checks of the panel and of the service, common to all methods. None of them is a verdict.

#include <vector>

#include "joining.hpp"

namespace oddplate::judge {

/// What a round's checks look at.
struct CheckedRound {
    const Case& subject;
    const Joined& joined;
    int round;
    const std::vector<const JoinedSet*>& counted;   ///< sets that count, in order of ballots
    const Tally& tally;
};

using methods::k_alarm;
/// Above it there is nothing of the kind to be seen at all, and no chance is said.
inline constexpr double k_even = 0.99;

/// In the order in which they are read: enough people, order of serving, places picked, sitting, carry-over, told beforehand, missing
/// answers.
[[nodiscard]] std::vector<methods::Check> checks_of(const CheckedRound& checked);

[[nodiscard]] methods::Check check_people(const CheckedRound& checked);
[[nodiscard]] methods::Check check_orders(const CheckedRound& checked);
/// Id "position_picks", with two portions "first_and_second".
[[nodiscard]] methods::Check check_picks(const CheckedRound& checked);
[[nodiscard]] methods::Check check_sitting(const CheckedRound& checked);
/// Fewer right after a portion of the stronger recipe than after one of the other?
[[nodiscard]] methods::Check check_carry_over(const CheckedRound& checked);
[[nodiscard]] methods::Check check_told(const CheckedRound& checked);
[[nodiscard]] methods::Check check_missing(const CheckedRound& checked);

/// Did one evening come out unlike the others? Only where there were several.
[[nodiscard]] methods::Check check_evenings(const CheckedRound& checked);

/// The same where several recipes lie on a tray: what people said of each, all recipes at once (stats::several_groups_p; a person's own level is taken out of scores and ranks).
[[nodiscard]] methods::Check check_evenings_of_several(const CheckedRound& checked);
/// Did one whole piece of a recipe come out unlike the others of it? Several recipes on a tray, several pieces each; the smallest p of a recipe times their number.
[[nodiscard]] methods::Check check_pieces(const CheckedRound& checked);

/// Trays of some of the recipes: how well those that were answered compare all recipes, at the worst spot, as a share of the best design's A-efficiency.
[[nodiscard]] methods::Check check_trays(const CheckedRound& checked);

/// See PlacePick and SittingRight.
[[nodiscard]] std::vector<PlacePick> picks_by_place(const CheckedRound& checked);
[[nodiscard]] std::vector<SittingRight> right_by_place(const CheckedRound& checked);

/// See Adjusted.
[[nodiscard]] std::vector<Adjusted> adjusted_of(const CheckedRound& checked);

/// More than one set in twenty is missing, blank or void.
[[nodiscard]] bool is_much_missing(const Tally& tally);

}   // namespace oddplate::judge
