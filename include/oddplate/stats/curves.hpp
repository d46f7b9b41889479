#pragma once
// The curves of the methods: normal sensations of equal spread, no bias, the difference rule.

#include "oddplate/stats/link.hpp"

namespace oddplate::stats {

/// Triangle: three portions, two alike; the taster names the one farthest from the other two.
///
/// Let x, y be the two alike and z the odd one (means 0, 0, d, variance 1). The taster is right when |x - y| is the smallest of
/// the three distances. With U = (x - y)/sqrt 2 and V = (2z - x - y)/sqrt 6 (independent, variance 1, means 0 and d sqrt(2/3))
/// that is |V| > sqrt 3 |U|: a double wedge of half-angle 30 degrees about the V axis. Owen's T gives the weight of such a wedge:
///     Pc(d) = 1 - 4 T(d/sqrt 6, sqrt 3),   Pc'(d) = (2/sqrt 6) phi(d/sqrt 6) erf(d/2),   chance 1/3.
/// gain = 4 [T(0, sqrt 3) - T(h, sqrt 3)] by -expm1 under the integral for small h; shortfall = 4 T, by T's reflection for a > 1.
/// Source: Ura (1960) Rep. Stat. Appl. Res. JUSE 7:107; David & Trivedi (1962); Ennis (1993) J. Sensory Studies 8:353; Owen
/// (1956). Within 1e-14 relative (gain, shortfall, slope) of tests/reference/curves.csv, d in 0..12.
[[nodiscard]] const Link& triangle_link();

/// Two-AFC: two portions; which has more of a named property? Right when the sensation of the stronger one is the larger:
///     Pc(d) = P(z - x > 0) = Phi(d/sqrt 2),   Pc'(d) = phi(d/sqrt 2)/sqrt 2,   chance 1/2; d may be negative.
/// gain = erf(d/2)/2, shortfall = erfc(d/2)/2. Source: Thurstone (1927); Ennis (1993).
[[nodiscard]] const Link& two_afc_link();

}   // namespace oddplate::stats
