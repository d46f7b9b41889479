#pragma once
// The curves of the methods: normal sensations of variance 1, no bias, the decision rule named at each. d is the distance of the two
// recipes' means; Phi, phi the normal law, Q = 1 - Phi, T Owen's function (Owen 1956, Ann. Math. Stat. 27:1075).
//
// Gain over guessing and shortfall from certainty each keep their relative accuracy, so that inverses do. Within 5e-14 relative (the
// specified tetrad's slope 1e-13) of quadrature of the decision rules (tests/reference/curves.csv), d in 0..12; |Pc - truth| <= 1e-15 there. Where the closed form is
// slow they come from tables that the same quadrature made (src/stats/curve_table.hpp); these end at d = 128, where a double's
// shortfall is 0.

#include "oddplate/stats/link.hpp"

namespace oddplate::stats {

/// Triangle: three portions, two alike; the taster names the one farthest from the other two.
///
/// Let x, y be the two alike and z the odd one (means 0, 0, d). The taster is right when |x - y| is the smallest of the three
/// distances. With U = (x - y)/sqrt 2 and V = (2z - x - y)/sqrt 6 (independent, variance 1, means 0 and d sqrt(2/3)) that is
/// |V| > sqrt 3 |U|: a double wedge of half-angle 30 degrees about the V axis. Owen's T gives the weight of such a wedge:
///     Pc(d) = 1 - 4 T(d/sqrt 6, sqrt 3),   Pc'(d) = (2/sqrt 6) phi(d/sqrt 6) erf(d/2),   chance 1/3.
/// Source: Ura (1960) Rep. Stat. Appl. Res. JUSE 7:107; David & Trivedi (1962); Ennis (1993) J. Sensory Studies 8:353.
[[nodiscard]] const Link& triangle_link();

/// Two-AFC: two portions; which has more of a named property? Right when the sensation of the stronger one is the larger:
///     Pc(d) = P(z - x > 0) = Phi(d/sqrt 2),   Pc'(d) = phi(d/sqrt 2)/sqrt 2,   chance 1/2; d may be negative.
/// gain = erf(d/2)/2, shortfall = erfc(d/2)/2. Source: Thurstone (1927) Psychol. Rev. 34:273; Ennis (1993).
[[nodiscard]] const Link& two_afc_link();

/// Duo-trio: a marked reference r and two coded portions, its like x and the other y; the taster names the one nearer to r.
///
/// |x - r| < |y - r| is (x - y)(x + y - 2r) < 0: the signs of two independent normals with means -d and d, variances 2 and 6, differ.
/// With a = d/sqrt 2, b = d/sqrt 6:
///     Pc(d) = Phi(a) Phi(b) + Q(a) Q(b) = 1/2 + erf(d/2) erf(d/sqrt 12)/2,   chance 1/2,
///     shortfall = Phi(a) Q(b) + Q(a) Phi(b).
/// The same whichever recipe the reference is of. Source: Ura (1960); David & Trivedi (1962); Ennis (1993).
[[nodiscard]] const Link& duo_trio_link();

/// Three-AFC: one stronger portion and two of the other; which has most of a named property? Right when the stronger one's sensation
/// is the largest:
///     Pc(d) = Int Phi(z)^2 phi(z - d) dz = Phi(d/sqrt 2) - 2 T(d/sqrt 2, 1/sqrt 3),   chance 1/3; d may be negative.
/// Differentiated under the integral and by parts, phi(z) phi(z - d) being phi(d/sqrt 2)/sqrt 2 times a normal density in z with mean
/// d/2 and variance 1/2: Pc'(d) = sqrt 2 phi(d/sqrt 2) Phi(d/sqrt 6). T is even, so Pc(-d) = Pc(d) - erf(d/2).
/// Source: Ennis (1993).
[[nodiscard]] const Link& three_afc_link();

/// Tetrad, unspecified: two and two; the taster makes the two pairs that are most alike inside, which in one dimension are the two
/// lowest and the two highest.
///
/// Right when both of one recipe lie below both of the other, either way round (z the higher of the lower pair):
///     Pc(d) = 1 - 2 Int phi(z) [2 Phi(z) Phi(z - d) - Phi(z - d)^2] dz,
///     Pc'(d) = 2 sqrt 2 phi(d/sqrt 2) erf(d/sqrt 12),   chance 1/3.
/// Source: Ennis & Jesionka (2011) J. Sensory Studies 26:371.
[[nodiscard]] const Link& tetrad_link();

/// Tetrad, specified: the taster names the two that have more. Right when both stronger ones lie above both others:
///     Pc(d) = 2 Int phi(z) Phi(z) Phi(d - z)^2 dz,   chance 1/6; d may be negative,
///     Pc'(d) = 2 sqrt 2 phi(d/sqrt 2) Phi2(d/sqrt 6, d/sqrt 6; -1/3) = 2 sqrt 2 phi(d/sqrt 2) [Phi(h) - 2 T(h, sqrt 2)], h = d/sqrt 6.
/// A right grouping names the stronger pair or the weaker one: specified(d) + specified(-d) = unspecified(d).
/// Source: Ennis & Jesionka (2011).
[[nodiscard]] const Link& specified_tetrad_link();

/// Two-out-of-five: two of one recipe (A, mean 0) and three of the other (B, mean d); the taster parts them into two and three so
/// that the sum of squares within the groups is least. (Other rules give other curves; this one is the least-squares grouping.)
///
/// In one dimension only the two lowest or the two highest can be the pair, and the lowest are when the median lies above the mean.
/// Right are: A lowest and min b above the mean of all five; and the mirror event. For the first let m = min b, U = (m - a1) +
/// (m - a2), V the sum of the other two b's less 2 m. Given that the a's lie below m and the b's above, the pairs' differences are
/// independent of their sums, so with probability erf(U/2) and erf(V/2) the sums are what they are, and m's own density integrates
/// out: (U, V) is normal with means 2d and 0, variances 6 and covariance -4. min b is above the mean exactly when U > V:
///     F(d) = 3 IntInt over u > v > 0 of n(u - 2d, v; 6, 6, -4) erf(u/2) erf(v/2) du dv,   Pc(d) = F(d) + F(-d),   chance 1/10.
/// The same curve with three A and two B, by mirroring. Derived here; no published table is known to us (checked by simulation).
[[nodiscard]] const Link& two_out_of_five_link();

}   // namespace oddplate::stats
