"""The tables of src/stats/curve_tables.cpp. python3 curve_tables.py OUT.cpp (gmpy2 makes it ten times faster; about five minutes)

By Chebyshev interpolation of quadratures of the decision rules (curve_rules.py) at 30 digits, in pieces of equal width:
  near  gain / d^order                        over d in 0..split
  far   shortfall e^(decay d^2) (1 + d)       over 1/(1 + d), d in split..128 (where a double's shortfall is 0)
Starts of the inverse, to about 1e-8, from those tables and from erf:
  near  d / w, w = gain^(1/order)             over w
  far   d / (1 + r), r = sqrt(-log shortfall) over 1/(1 + r)
Prints the largest relative error of each table at points between its nodes."""

import math
import sys
from multiprocessing import Pool

from mpmath import mp, mpf, exp, cos, pi

import curve_rules

mp.dps = 30
FARTHEST = 128
TERMS, START_TERMS = 14, 8
# order of the gain at 0, decay of the shortfall, least multiple of 1/8 from which the shortfall is the smaller, pieces near and far
SHAPES = {"triangle": (2, mpf(1) / 12, mpf("2.375"), 2, 8), "three_afc": (1, mpf(1) / 4, mpf("1.125"), 2, 11),
          "tetrad": (2, mpf(1) / 4, mpf("1.625"), 2, 11), "specified_tetrad": (1, mpf(1) / 4, mpf("1.375"), 2, 11),
          "two_out_of_five": (2, mpf(1) / 10, mpf("2.375"), 2, 8)}


class FiveSlope:
    """The slope of two-out-of-five, itself an integral, by 30-term interpolation, so that it can be integrated again: slope / d over d
    below the split, slope e^(decay d^2) over 1/(1 + d) above it, to d = 400."""
    TERMS, PIECES, FARTHEST_T = 30, 8, mpf(1) / 401

    def __init__(self):
        self.decay, self.split = SHAPES["two_out_of_five"][1:3]
        self.width = (1 / (1 + self.split) - self.FARTHEST_T) / self.PIECES
        slope = curve_rules.two_out_of_five_slope
        self.near = self.fit(lambda d: slope(d) / d, mpf(0), self.split)
        self.far = [self.fit(lambda t: slope(1 / t - 1) * exp(self.decay * (1 / t - 1) ** 2), self.FARTHEST_T + i * self.width,
                             self.FARTHEST_T + (i + 1) * self.width) for i in range(self.PIECES)]

    def fit(self, f, low, high):
        n = self.TERMS
        return monomials([f((low + high) / 2 + (high - low) / 2 * cos(pi * (i + mpf(1) / 2) / n)) for i in range(n)])

    def __call__(self, d):
        if d <= self.split:
            return d * mp.polyval(self.near[::-1], 2 * d / self.split - 1)
        place = (1 / (1 + d) - self.FARTHEST_T) / self.width
        i = min(max(int(place), 0), self.PIECES - 1)
        return mp.polyval(self.far[i][::-1], 2 * (place - i) - 1) * exp(-self.decay * d * d)


five_slope = None   # made once, before the processes part


def scaled_gain(name, d):
    order = SHAPES[name][0]
    if name == "two_out_of_five":
        gain = curve_rules.panels(five_slope, [mpf(0), d], 24)
    else:
        gain = 1 - curve_rules.chance(name) - curve_rules.RULES[name](d)[0]
    return gain / d ** order


def scaled_shortfall(name, t):
    d = 1 / t - 1
    decay = SHAPES[name][1]
    if name == "two_out_of_five":
        step = 1 / (2 * decay * d + mpf("0.45"))
        short = curve_rules.panels(lambda x: five_slope(d + x), [k * step for k in (0, 2, 6, 15, 60)], 20)
    else:
        short = curve_rules.RULES[name](d)[0]
    return short * exp(decay * d * d) * (1 + d)


def monomials(values):
    """Coefficients by power of the polynomial through `values` at the Chebyshev nodes of -1..1."""
    n = len(values)
    cheb = [mpf(2) / n * sum(v * cos(k * pi * (i + mpf(1) / 2) / n) for i, v in enumerate(values)) for k in range(n)]
    cheb[0] /= 2
    total = [mpf(0)] * n
    before, now = [mpf(1)], [mpf(0), mpf(1)]
    for k in range(n):
        for power, c in enumerate(before):
            total[power] += cheb[k] * c
        following = [mpf(0)] + [2 * c for c in now]
        for power, c in enumerate(before):
            following[power] -= c
        before, now = now, following
    return total


def piece(job):
    """One piece: coefficients, and the largest relative error between nodes."""
    f, name, low, high, terms = job
    at = lambda y: f(name, (low + high) / 2 + (high - low) / 2 * y)
    c = monomials([at(cos(pi * (i + mpf(1) / 2) / terms)) for i in range(terms)])
    error = max(abs(sum(mpf(float(k)) * mpf(y) ** p for p, k in enumerate(c)) / at(mpf(y)) - 1) for y in (-0.99, 0.03, 0.97))
    return [float(k) for k in c], float(error)


class Table:
    """Pieces of equal width, as the program evaluates them."""
    def __init__(self, pool, f, name, low, high, pieces, terms):
        self.low, self.width, self.terms = mpf(low), (mpf(high) - low) / pieces, terms
        made = pool([(f, name, self.low + i * self.width, self.low + (i + 1) * self.width, terms) for i in range(pieces)])
        self.pieces = [c for c, _ in made]
        self.error = max(e for _, e in made)

    def __call__(self, x):
        place = (x - float(self.low)) / float(self.width)
        i = min(max(int(place), 0), len(self.pieces) - 1)
        y = 2 * (place - i) - 1
        return sum(c * y ** p for p, c in enumerate(self.pieces[i]))


def root(f, low, high):
    """Where the rising f crosses 0, by bisection to doubles."""
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if f(middle) < 0 else (low, middle)
    return (low + high) / 2


def duo_trio_short(d):
    """log of Phi(a) Q(b) + Phi(b) Q(a)."""
    upper = lambda z: math.erfc(z / math.sqrt(2)) / 2
    a, b = d / math.sqrt(2), d / math.sqrt(6)
    return math.log(upper(-a) * upper(b) + upper(-b) * upper(a))


def curve_of(name, tables):
    """gain and log shortfall in doubles, and the farthest d that a double's shortfall allows."""
    if name == "two_afc":
        return (lambda d: math.erf(d / 2) / 2, lambda d: math.log(math.erfc(d / 2) / 2), 52.0, 1, 1.0)
    if name == "duo_trio":
        return (lambda d: math.erf(d / 2) * math.erf(d / math.sqrt(12)) / 2, duo_trio_short, 90.0, 2, 2.5)
    near, far = tables[name]
    order, decay, split, _, _ = SHAPES[name]
    decay = float(decay)
    return (lambda d: near(d) * d ** order, lambda d: math.log(far(1 / (1 + d)) / (1 + d)) - decay * d * d,
            min(127.0, math.sqrt(740 / decay)), order, float(split))


def starts(name, tables):
    gain, log_short, farthest, order, split = curve_of(name, tables)

    def near(_, w):
        return mpf(root(lambda d: gain(d) - float(w) ** order, 0.0, split * 1.2)) / w

    def far(_, v):
        r = float(1 / v - 1)
        return mpf(root(lambda d: -log_short(d) - r * r, split * 0.8, farthest * 1.001)) * v

    run = lambda jobs: [piece(job) for job in jobs]
    half = (1 - float(curve_rules.chance(name))) / 2
    return (Table(run, near, name, 0, half ** (1 / order), 2, START_TERMS),
            Table(run, far, name, 1 / (1 + math.sqrt(-log_short(farthest))), 1 / (1 + math.sqrt(-math.log(half))), 4, START_TERMS))


def text_of(name, table):
    numbers = [repr(c) for c in sum(table.pieces, [])]
    lines, now = [], "   "
    for n in numbers:
        if len(now) + len(n) + 2 > 128:
            lines.append(now)
            now = "   "
        now += " " + n + ","
    lines.append(now)
    return f"constexpr double k_{name}[]{{\n" + "\n".join(lines) + "\n};\n"


def pieces_of(name, table):
    return f"{{{float(table.low)!r}, {float(1 / table.width)!r}, {len(table.pieces)}, {table.terms}, k_{name}}}"


def main():
    out = ["// Tables of the curves and of the starts of their inverses, generated: tests/reference/make/curve_tables.py, 2026-11-25. Not",
           "// for editing. What each number means: curve_table.hpp. Tests: tests/unit/stats/curves.test.cpp\n",
           '#include "curve_table.hpp"\n', "namespace oddplate::stats {", "namespace {\n"]
    definitions, tables = [], {}
    global five_slope
    five_slope = FiveSlope()
    with Pool(2) as pool:
        for name, (order, decay, split, near_pieces, far_pieces) in SHAPES.items():
            run = lambda jobs: pool.map(piece, jobs, chunksize=1)
            near = Table(run, scaled_gain, name, 0, split, near_pieces, TERMS)
            far = Table(run, scaled_shortfall, name, mpf(1) / (1 + FARTHEST), 1 / (1 + split), far_pieces, TERMS + (2 if far_pieces > 8 else 0))
            print(name, "near", near.error, "far", far.error, flush=True)
            tables[name] = near, far
            out += [text_of(f"{name}_near", near), text_of(f"{name}_far", far)]
            definitions.append(f"const CurveTable k_{name}{{{order}, {float(split)!r}, {float(decay)!r},\n"
                               f"    {pieces_of(name + '_near', near)},\n    {pieces_of(name + '_far', far)}}};")
    for name in curve_rules.RULES:
        near, far = starts(name, tables)
        print(name, "start near", near.error, "far", far.error, flush=True)
        out += [text_of(f"{name}_start_near", near), text_of(f"{name}_start_far", far)]
        order = curve_of(name, tables)[3]
        definitions.append(f"const StartTable k_{name}_start{{{order},\n    {pieces_of(name + '_start_near', near)},\n"
                           f"    {pieces_of(name + '_start_far', far)}}};")
    out += ["}   // namespace\n"] + definitions + ["\n}   // namespace oddplate::stats"]
    with open(sys.argv[1], "w", encoding="ascii", newline="\n") as file:
        file.write("\n".join(out) + "\n")


if __name__ == "__main__":
    main()
