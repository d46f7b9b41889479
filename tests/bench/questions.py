"""The same questions with SciPy, vectorised: seconds a call, the fastest of several."""
import time

import numpy as np
from scipy import optimize, special, stats


def fastest(times, work):
    took = []
    for _ in range(times):
        begin = time.perf_counter()
        work()
        took.append(time.perf_counter() - begin)
    return min(took)


def table_of(chance):
    n = np.arange(2, 3001)
    rows = []
    for alpha in (0.2, 0.1, 0.05, 0.01, 0.001):
        needed = stats.binom.isf(alpha, n, chance)
        for pd in (0.5, 0.4, 0.3, 0.2, 0.1):
            reached = special.bdtrc(needed, n, chance + (1 - chance) * pd)
            for power in (0.5, 0.8, 0.9, 0.95, 0.99):
                passes = reached >= power
                fails = np.nonzero(~passes)[0]
                rows.append((alpha, power, pd, n[passes.argmax()], n[fails[-1] + 1] if len(fails) else n[0]))
    return rows


def inverse_of(p):
    if p <= 1 / 3:
        return 0.0
    return optimize.brentq(lambda d: 1 - 4 * special.owens_t(d / 6**0.5, 3**0.5) - p, 0, 30, xtol=1e-13)


def d_of(k, n):
    return [inverse_of(p) for p in (k / n, special.betaincinv(k, n - k + 1, 0.05), special.betaincinv(k + 1, n - k, 0.95))]


if __name__ == "__main__":
    assert len(table_of(1 / 3)) == 125
    print(f"table {fastest(9, lambda: table_of(1 / 3)):.9f}")
    print(f"d {fastest(9, lambda: [d_of(k, 48) for k in range(20, 40)]) / 20:.9f}")
    for value in d_of(30, 48):
        print(f"value {value:.9f}")
