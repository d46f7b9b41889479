"""Each method's chance of a right answer, by quadrature of the taster's decision rule in mpmath; no closed form that the program uses.

Every rule gives (shortfall, slope) at d >= 0; `gain` is what chance leaves. d' is in units of one serving's standard deviation, all
sensations are independent normals. Sources: Ennis (1993) J. Sensory Studies 8:353; Ura (1960); Ennis & Jesionka (2011) J. Sensory
Studies 26:371 (tetrads); two-out-of-five derived in include/oddplate/stats/curves.hpp."""

from functools import lru_cache

from mpmath import mp, mpf, sqrt, ncdf, npdf, exp, erf, erfc, pi


def chance(name):
    """At the working precision."""
    return {"triangle": mpf(1) / 3, "three_afc": mpf(1) / 3, "tetrad": mpf(1) / 3, "specified_tetrad": mpf(1) / 6,
            "two_out_of_five": mpf(1) / 10}.get(name, mpf(1) / 2)


@lru_cache(maxsize=None)
def gauss(n, digits):
    """Gauss-Legendre nodes and weights on 0..1, by Newton's method on the Legendre polynomial."""
    with mp.workdps(digits + 10):
        rule = []
        for i in range(n):
            x = mp.cos(pi * (i + mpf(3) / 4) / (n + mpf(1) / 2))
            for _ in range(100):
                p0, p1 = mpf(1), x
                for k in range(2, n + 1):
                    p0, p1 = p1, ((2 * k - 1) * x * p1 - (k - 1) * p0) / k
                slope = n * (x * p1 - p0) / (x * x - 1)
                step = p1 / slope
                x -= step
                if abs(step) < mpf(10) ** (-digits - 5):
                    break
            rule.append(((1 + x) / 2, 1 / ((1 - x * x) * slope ** 2)))
        return rule


def panels(f, knots, n):
    """Int f by n Gauss points between neighbouring knots."""
    total = mpf(0)
    for a, b in zip(knots, knots[1:]):
        total += (b - a) * sum(w * f(a + (b - a) * x) for x, w in gauss(n, mp.dps))
    return total


def line(f, *peaks, low=None):
    """Int f over the line, or from `low` up; f falls off like a normal density around its peaks."""
    knots = {p + step for p in peaks for step in (-18, -13, -9, -6, -4, -2, -1, 0, 1, 2, 4, 6, 9, 13, 18)}
    if low is not None:
        knots = {k for k in knots if k > low} | {mpf(low)}
    return panels(f, sorted(knots), 32)


def upper(z):
    return ncdf(-z)


def triangle(d):
    a = d * sqrt(mpf(2) / 3)
    short = 2 * line(lambda z: (ncdf(z * sqrt(3) - a) - ncdf(-z * sqrt(3) - a)) * npdf(z), a * sqrt(3) / 4, low=0)
    slope = 2 * sqrt(mpf(2) / 3) * line(lambda z: (npdf(a - z * sqrt(3)) - npdf(a + z * sqrt(3))) * npdf(z), a * sqrt(3) / 4, low=0)
    return short, slope


def two_afc(d):
    return line(lambda z: npdf(z - d) * upper(z), d / 2), line(lambda z: npdf(z - d) * npdf(z), d / 2)


def duo_trio(d):
    """z is the reference; its like wins when it is the nearer one: the signs of x - y and of x + y - 2 z, which are independent."""
    a = d / sqrt(2)
    short = line(lambda z: npdf(z) * (ncdf(a) * ncdf(sqrt(2) * z - a) + upper(a) * upper(sqrt(2) * z - a)), 2 * d / 6, mpf(0))
    # Derivative of ncdf(a) ncdf(a - sqrt 2 z) + upper(a) upper(a - sqrt 2 z) in d.
    slope = line(lambda z: npdf(z) / sqrt(2) * (npdf(a) * (ncdf(a - sqrt(2) * z) - ncdf(sqrt(2) * z - a)) +
                                                npdf(a - sqrt(2) * z) * (ncdf(a) - upper(a))), d / 3, mpf(0))
    return short, slope


def three_afc(d):
    return (line(lambda z: npdf(z - d) * upper(z) * (1 + ncdf(z)), d / 2),
            line(lambda z: 2 * ncdf(z) * npdf(z) * npdf(z - d), d / 2))


def tetrad(d):
    return (2 * line(lambda z: npdf(z) * ncdf(z - d) * (2 * ncdf(z) - ncdf(z - d)), d / 2),
            4 * line(lambda z: npdf(z) * npdf(z - d) * (ncdf(z) - ncdf(z - d)), d / 2))


def specified_tetrad(d):
    """z is the higher of the two weaker ones; both stronger ones lie above it."""
    return (2 * line(lambda z: npdf(z) * ncdf(z) * ncdf(z - d) * (1 + ncdf(d - z)), d / 2),
            4 * line(lambda z: npdf(z) * ncdf(z) * ncdf(d - z) * npdf(d - z), d / 2))


def five_side(d, points=20):
    """P(the two of mean 0 lie below the three of mean d and are the closer group): the double integral over u > v > 0."""
    def inner(v):
        weight = erf(v / 2)
        def f(w):
            u = v + w
            x = u - 2 * d
            return exp(-(3 * x * x + 4 * x * v + 3 * v * v) / 20) * erf(u / 2)
        top = max(2 * d, mpf(0)) + 34
        return weight * panels(f, [top * mpf(i) / 12 for i in range(13)], points)
    return 3 / (2 * pi * sqrt(20)) * panels(inner, [mpf(x) for x in (0, 1, 3, 6, 10, 15, 21, 28, 36)], points)


def five_side_slope(d):
    """The slope of five_side: the double integral differentiated and once integrated by parts."""
    def f(v):
        x = v - 2 * d
        edge = exp(-(3 * x * x + 4 * x * v + 3 * v * v) / 20) * erf(v / 2)
        a, b = mpf(2) / 5, (3 * d - v) / 5
        constant = -(12 * d * d - 8 * d * v + 3 * v * v) / 20
        inside = exp(constant + b * b / (4 * a)) * sqrt(pi / a) / 2 * erfc(sqrt(a) * (v - b / (2 * a)))
        return erf(v / 2) * (edge + inside / sqrt(pi))
    return 6 / (2 * pi * sqrt(20)) * panels(f, [k for k in sorted({mpf(0)} | {d + s for s in (-12, -6, -2, 2, 6, 12)} |
                                                                  {mpf(s) for s in (2, 6, 12)}) if k >= 0], 26)


def two_out_of_five_slope(d):
    return five_side_slope(d) - five_side_slope(-d)


def two_out_of_five(d):
    """Shortfall as 1 - P: good to the working digits absolutely."""
    return 1 - five_side(d) - five_side(-d), two_out_of_five_slope(d)


RULES = {"triangle": triangle, "two_afc": two_afc, "duo_trio": duo_trio, "three_afc": three_afc, "tetrad": tetrad,
         "specified_tetrad": specified_tetrad, "two_out_of_five": two_out_of_five}
