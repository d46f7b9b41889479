"""Chance of a right answer as a function of d'. python3 curves.py OUT.csv (gmpy2 makes it ten times faster; about five minutes)

By quadrature of the decision rules (curve_rules.py) at 50 digits, two-out-of-five at 34 (a double integral). A name with `_back` is
the gain at -d of a curve that has a direction; what is not said by gain(-d) follows from it."""

import sys
from multiprocessing import Pool

from mpmath import mp, mpf, ncdf, npdf

import curve_rules
import reference

DIGITS = {"two_out_of_five": 34}


def three_afc_back(d):
    return curve_rules.line(lambda z: npdf(z + d) * ncdf(z) ** 2, -d / 3, mpf(0)) - curve_rules.chance("three_afc")


def specified_tetrad_back(d):
    pc = 2 * curve_rules.line(lambda z: npdf(z) * ncdf(z) * ncdf(-d - z) ** 2, -d / 3, mpf(0))
    return pc - curve_rules.chance("specified_tetrad")


def row(d):
    cells = [reference.exact(d)]
    for name, rule in curve_rules.RULES.items():
        if name == "two_out_of_five" and d > 0.1 and 2 * d % 1 != 0:   # a double integral: fewer of them
            cells += ["", "", ""]
            continue
        mp.dps = DIGITS.get(name, 50)
        short, slope = rule(d)
        cells += [reference.number(x, 22) for x in (1 - curve_rules.chance(name) - short, short, slope)]
    mp.dps = 50
    return cells + [reference.number(f(d), 22) for f in (three_afc_back, specified_tetrad_back)]


if __name__ == "__main__":
    values = [mpf(2) ** -20, mpf(2) ** -10, mpf(1) / 64] + [mpf(i) / 4 for i in range(1, 49)]
    names = [f"{name}_{part}" for name in curve_rules.RULES for part in ("gain", "shortfall", "slope")]
    with Pool(2) as pool:
        rows = pool.map(row, values, chunksize=1)
    reference.write(sys.argv[1], "gain over guessing, shortfall from certainty and slope of the curves of the methods with a right answer",
                    "make/curves.py with mpmath on 2026-11-25, quadrature of the decision rules at 50 digits (two-out-of-five: 34)",
                    ["d"] + names + ["three_afc_back", "specified_tetrad_back"], rows)
