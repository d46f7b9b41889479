"""Chance of a right answer as a function of d'. python3 curves.py OUT.csv

By quadrature of the decision rule at 50 digits, not by the closed forms that the program uses.
Triangle (Ennis 1993): Pc = 2 Int_0^inf [Phi(-z sqrt 3 + d sqrt(2/3)) + Phi(-z sqrt 3 - d sqrt(2/3))] phi(z) dz.
Two-AFC: Pc = Int phi(z - d) Phi(z) dz. Slopes are the quadrature of the differentiated integrands."""

import sys

from mpmath import mp, mpf, sqrt, quad, ncdf, npdf, inf

import reference

mp.dps = 50


def pieces(*points):
    return sorted({mpf(x) for x in points})


def triangle(d):
    a = d * sqrt(mpf(2) / 3)
    bend = a / sqrt(3)
    knots = pieces(0, 1, bend, bend + 1, bend + 3, bend + 6, 17)
    # shortfall = 2 Int_0^inf [1 - Phi(..) - Phi(..)] phi, so that nothing is lost at large d
    short = 2 * quad(lambda z: (ncdf(z * sqrt(3) - a) - ncdf(-z * sqrt(3) - a)) * npdf(z), knots)
    slope = 2 * sqrt(mpf(2) / 3) * quad(lambda z: (npdf(-z * sqrt(3) + a) - npdf(-z * sqrt(3) - a)) * npdf(z), knots)
    return mpf(2) / 3 - short, short, slope


def two_afc(d):
    knots = pieces(-16, -8, -3, 0, d / 2, d, d + 3, d + 8, d + 16)
    short = quad(lambda z: npdf(z - d) * ncdf(-z), knots)
    slope = quad(lambda z: npdf(z - d) * npdf(z), knots)
    return mpf(1) / 2 - short, short, slope


def rows():
    values = [mpf(2) ** -20, mpf(2) ** -10, mpf(1) / 64] + [mpf(i) / 8 for i in range(1, 97)]
    for d in values:
        yield [reference.exact(d)] + [reference.number(x, 22) for x in triangle(d) + two_afc(d)]


reference.write(sys.argv[1], "gain over guessing, shortfall from certainty and slope of triangle and two-AFC",
                "make/curves.py with mpmath, quadrature at 50 digits; no Owen's T",
                ["d", "triangle_gain", "triangle_shortfall", "triangle_slope", "two_afc_gain", "two_afc_shortfall", "two_afc_slope"],
                list(rows()))
