#pragma once
// From a true difference to the chance of a right answer, and back.

#include <cstdint>
#include <optional>

namespace oddplate::stats {

/// A method's curve. d (d') is the distance between the two recipes' mean sensations in units of one serving's standard
/// deviation.
///   chance       a right answer by guessing, at d = 0
///   gain(d)      Pc(d) - chance, with full relative accuracy near d = 0
///   shortfall(d) 1 - Pc(d), with full relative accuracy at large d
///   slope(d)     Pc'(d)
///   start_by_gain(g), start_by_shortfall(s)   about where the curve takes these values, for the half of the curve in which each is
///                the smaller one; the inverses mend it. Absent: they search.
/// Unsigned curves take d >= 0 only; signed ones (the taster is told which way to look) any d, and then gain rises all the way.
struct Link {
    double chance{0.5};
    double (*gain)(double d){nullptr};
    double (*shortfall)(double d){nullptr};
    double (*slope)(double d){nullptr};
    bool is_signed{false};
    double (*start_by_gain)(double gain){nullptr};
    double (*start_by_shortfall)(double shortfall){nullptr};
};

/// Pc(d), from whichever of gain and shortfall is the more accurate.
[[nodiscard]] double proportion_correct(const Link& link, double d);

/// d with gain(d) = g. g <= 0 gives 0 on an unsigned curve. None where no finite d gives it (g >= 1 - chance, or g <= -chance
/// on a signed curve). Within 1e-12 relative; Newton from the curve's start, bracketed where that fails.
[[nodiscard]] std::optional<double> d_from_gain(const Link& link, double g);
/// d with shortfall(d) = s, s in 0..1. s = 0 gives none (infinite d); s >= 1 - chance gives 0 on an unsigned curve.
[[nodiscard]] std::optional<double> d_from_shortfall(const Link& link, double s);
/// d with Pc(d) = p, p in 0..1. Below chance an unsigned curve gives 0. None at p = 1 (and at p = 0 on a signed curve).
/// Good to what p itself carries: one ulp of p moves d by 3e-12 at d = 1e-4 (triangle), 3.5e-9 at d = 8 (two-AFC).
[[nodiscard]] std::optional<double> d_from_proportion(const Link& link, double p);
/// d from k right of n: by the gain or by the shortfall, each formed from the integers, whichever is the smaller.
[[nodiscard]] std::optional<double> d_from_count(const Link& link, std::int64_t k, std::int64_t n);

/// Standard error of d' when Pc was estimated from n answers: sqrt(Pc (1 - Pc) / n) / Pc'(d) (delta method; Bi, Ennis & O'Mahony
/// 1997). None where the slope is 0 (an unsigned curve at d = 0) or Pc is 0 or 1 to rounding.
[[nodiscard]] std::optional<double> d_standard_error(const Link& link, double d, std::int64_t n);

/// Share of tasters who would have to tell always, all others guessing: pd = (pc - chance) / (1 - chance); below chance it is 0.
[[nodiscard]] double discriminators_from_proportion(double chance, double p);
/// pc = chance + (1 - chance) pd.
[[nodiscard]] double proportion_from_discriminators(double chance, double pd);
/// pd = gain / (1 - chance), and back to d'.
[[nodiscard]] double discriminators_from_d(const Link& link, double d);
[[nodiscard]] std::optional<double> d_from_discriminators(const Link& link, double pd);

}   // namespace oddplate::stats
