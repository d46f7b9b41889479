"""Hits, false alarms and their curves. python3 signals.py OUT.csv

By quadrature of the decision rules at 40 digits, not by the closed forms that the program uses. yes_no: one sensation
N(+d/2, 1) or N(-d/2, 1) above c. same_different: the difference of two sensations, N(d, 2) or N(0, 2), larger than tau either
way. The best criterion of pairs is the maximum of (H + 1 - F)/2, found by a root search on its derivative by quadrature's own
densities. Estimates: d and the criterion that give the rates back, by Newton at 40 digits."""

import sys

from mpmath import mp, mpf, sqrt, quad, npdf, findroot, inf, acosh, exp, ncdf

import reference

mp.dps = 40


def above(mean, spread, t):
    """P(N(mean, spread^2) > t) by quadrature."""
    knots = sorted({t, max(t, mean), max(t, mean) + spread, max(t, mean) + 4 * spread, max(t, mean) + 20 * spread})
    return quad(lambda x: npdf(x, mean, spread), knots)


def pair_rates(d, tau):
    r = sqrt(mpf(2))
    return above(d, r, tau) + above(-d, r, tau), 2 * above(mpf(0), r, tau)


def best_tau(d):
    r = sqrt(mpf(2))
    density = lambda t, m: npdf(t, m, r) + npdf(t, -m, r)
    return findroot(lambda t: density(t, d) - density(t, mpf(0)), d / 2 + mpf(1))


def rows():
    for d in [mpf(2) ** -10, mpf(1) / 16] + [mpf(i) / 4 for i in (1, 2, 3, 4, 6, 8, 10, 12, 16, 20, 28, 36, 48)]:
        for c in (mpf(-1), mpf(0), mpf(1) / 2, mpf(2)):
            tau = c + mpf(5) / 4
            hit, alarm = pair_rates(d, tau)
            best = best_tau(d)
            bh, bf = pair_rates(d, best)
            gain = (bh - bf) / 2
            yield [reference.exact(d), reference.exact(c), reference.exact(tau)] + [
                reference.number(x, 22)
                for x in (above(d / 2, 1, c), above(-d / 2, 1, c), hit, alarm, best, gain, mpf(1) / 2 - gain,
                          above(d / 2, 1, mpf(0)) - mpf(1) / 2, above(-d / 2, 1, mpf(0)))]


reference.write(sys.argv[1], "rates of yes-no and same-different, the best criterion of pairs, and both curves",
                "make/signals.py with mpmath, quadrature at 40 digits",
                ["d", "c", "tau", "yes_hit", "yes_alarm", "pair_hit", "pair_alarm", "best_tau", "pair_gain", "pair_shortfall",
                 "yes_gain", "yes_shortfall"], list(rows()))
