"""Chance-corrected beta-binomial probabilities. python3 beta_binomial.py OUT.csv

P(k of n) as the mean of a polynomial in pi, multiplied out and taken power by power with raw moments of the Beta law - signs alternate, so
120 digits - not by the positive sum that the program uses; the two ends of gamma by their own laws."""

import sys

from mpmath import mp, mpf, binomial, rf

import reference

mp.dps = 120


def probability(chance, pd, gamma, k, n):
    ways = binomial(n, k)
    right = lambda pi: chance + (1 - chance) * pi
    if gamma == 0 or pd in (0, 1):
        return ways * right(pd) ** k * (1 - right(pd)) ** (n - k)
    if gamma == 1:
        return (pd if k == n else 0) + (1 - pd) * ways * chance**k * (1 - chance) ** (n - k)
    size = (1 - gamma) / gamma
    a, b = pd * size, (1 - pd) * size
    polynomial = [mpf(1)]
    for factor in [(chance, 1 - chance)] * k + [(1 - chance, chance - 1)] * (n - k):
        polynomial = [factor[0] * low + factor[1] * high for low, high in zip(polynomial + [0], [0] + polynomial)]
    return ways * sum(c * rf(a, i) / rf(a + b, i) for i, c in enumerate(polynomial))


def rows():
    for chance in (0.5, 0.25, 0.1):
        for pd in (0.0, 0.03125, 0.4, 0.875, 1.0):
            for gamma in (0.0, 0.001, 0.125, 0.5, 0.96875, 1.0):
                for n in (1, 4, 12):
                    for k in sorted({0, 1, n // 2, n}):
                        p = probability(mpf(chance), mpf(pd), mpf(gamma), k, n)
                        yield [reference.exact(chance), reference.exact(pd), reference.exact(gamma), str(k), str(n), reference.number(p)]


reference.write(sys.argv[1], "P(k of n) of the chance-corrected beta-binomial; inputs are doubles",
                "make/beta_binomial.py with mpmath, 120 digits; raw moments of the Beta law", ["chance", "pd", "gamma", "k", "n", "p"], list(rows()))
