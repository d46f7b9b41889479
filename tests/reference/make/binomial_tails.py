"""P(X = k), P(X <= k), P(X >= k) for X ~ Binomial(n, p). python3 binomial_tails.py OUT.csv

Small n: every term from exact binomial coefficients, all summed. Large n: terms from log-gamma at 60 digits, each one on its own
(the program goes by ratios), summed outward until they no longer count at 40 digits."""

import sys

from mpmath import mp, mpf, binomial, loggamma, exp, log

import reference

mp.dps = 60


def term(n, p, i):
    if n <= 3000:
        return binomial(n, i) * p**i * (1 - p) ** (n - i)
    return exp(loggamma(n + 1) - loggamma(i + 1) - loggamma(n - i + 1) + i * log(p) + (n - i) * log(1 - p))


def side(n, p, k, step):
    """Terms k, k + step, ... while they count; the caller stands at or beyond the mode."""
    total = mpf(0)
    i = k
    while 0 <= i <= n:
        t = term(n, p, i)
        total += t
        if t < total * mpf(10) ** -40:
            break
        i += step
    return total


def row(n, k, p_double):
    p = mpf(p_double)
    if n <= 3000:
        terms = [term(n, p, i) for i in range(n + 1)]
        lower, upper = sum(terms[: k + 1]), sum(terms[k:])
    elif k > n * p:
        upper = side(n, p, k, 1)
        lower = 1 - upper + term(n, p, k)
    else:
        lower = side(n, p, k, -1)
        upper = 1 - lower + term(n, p, k)
    return [str(n), str(k), reference.exact(p_double)] + [reference.number(x) for x in (term(n, p, k), lower, upper)]


def cases():
    for p in (1 / 3, 0.5, 0.1, 1 / 9, 0.6251, 1 / 1024, 1023 / 1024):
        for n in (1, 2, 7, 24, 60, 300, 2000):
            for share in (0, 0.02, 0.1, 0.3, 0.34, 0.5, 0.53, 0.7, 0.95, 1):
                yield n, round(share * n), p
    for p in (1 / 3, 0.5, 0.1, 0.0009765625):
        for n in (20000, 1000000):
            sd = (n * p * (1 - p)) ** 0.5
            for z in (-30, -12, -5, -2, 0, 1, 2.3, 6, 14, 35):
                k = round(n * p + z * sd)
                if 0 <= k <= n:
                    yield n, k, p
    for n, k, p in ((10**7, 5002500, 0.5), (10**7, 3336000, 1 / 3), (10**7, 3290000, 1 / 3), (10**7, 1, 2.0**-24)):
        yield n, k, p


reference.write(sys.argv[1], "P(X = k), P(X <= k), P(X >= k) for X ~ Binomial(n, p)",
                "make/binomial_tails.py with mpmath, 60 digits; no incomplete beta, no ratios of terms",
                ["n", "k", "p", "pmf", "lower", "upper"], [row(*c) for c in sorted(set(cases()))])
