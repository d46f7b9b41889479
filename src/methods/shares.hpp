#pragma once
// Limits of a share where people may have answered on several trays: the person is the unit, each with a share of his own.

#include <span>

#include "oddplate/stats/interval.hpp"

namespace oddplate::methods::shares {

/// Of the people's mean share. Exact where everybody had one tray (Clopper & Pearson 1934). With several: z-limits of the people's mean after two people more who
/// said it always and two who never did, as Agresti & Coull (1998, American Statistician 52:119) add them to a count; z^2/2 of each where `confidence` is not .95.
/// `rates`: each person's share, 0..1, at least one.
[[nodiscard]] stats::Interval limits(std::span<const double> rates, bool one_each, double confidence);
/// Of a difference of two shares of the same people: z-limits after half a person more in each of the four cells of those who said both, one, the other
/// or neither (Agresti & Min 2005, Statistics in Medicine 24:729). `leans`: each person's rate for the one less that for the other, -1..1.
[[nodiscard]] stats::Interval gap_limits(std::span<const double> leans, double confidence);

}   // namespace oddplate::methods::shares
