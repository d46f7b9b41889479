"""Clopper-Pearson and mid-p limits. python3 intervals.py OUT.csv

Roots of the tails at 40 digits by bisection; every tail is the full sum of exact terms."""

import sys

from mpmath import mp, mpf, binomial

import reference

mp.dps = 40


def upper(k, n, p):
    return sum(binomial(n, i) * p**i * (1 - p) ** (n - i) for i in range(k, n + 1))


def mid_upper(k, n, p):
    return upper(k + 1, n, p) + binomial(n, k) * p**k * (1 - p) ** (n - k) / 2


def root(tail, k, n, side):
    low, high = mpf(0), mpf(1)
    for _ in range(110):
        middle = (low + high) / 2
        if tail(k, n, middle) < side:
            low = middle
        else:
            high = middle
    return low


def limits(tail, k, n, side):
    low = root(tail, k, n, side) if k > 0 else mpf(0)
    high = 1 - root(tail, n - k, n, side) if k < n else mpf(1)
    return [reference.number(low), reference.number(high)]


def rows():
    for n in (1, 2, 12, 30, 60):
        for k in sorted({0, 1, n // 3, n // 2, (2 * n) // 3, n - 1, n}):
            for confidence in (0.75, 0.875, 0.9375, 0.9990234375):
                side = (1 - mpf(confidence)) / 2
                yield [str(k), str(n), reference.exact(confidence)] + limits(upper, k, n, side) + limits(mid_upper, k, n, side)


reference.write(sys.argv[1], "Clopper-Pearson and mid-p limits of k of n; confidences exact in binary",
                "make/intervals.py with mpmath, 40 digits; bisection on full sums of exact terms",
                ["k", "n", "confidence", "cp_lower", "cp_upper", "mid_lower", "mid_upper"], list(rows()))
