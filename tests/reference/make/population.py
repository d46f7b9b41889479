"""Log-likelihoods of triangle counts from tasters whose d' is gamma or log-normal. python3 population.py OUT.csv

Independent of the program: SciPy's own Owen's T, gamma law and adaptive quadrature, each law in d' itself."""

import sys

import numpy
import scipy
from scipy import integrate, special, stats

import reference


def likelihood(law, place, spread, k, n):
    if law == "gamma":
        density = stats.gamma(1 / spread**2, scale=numpy.exp(place) * spread**2)
    else:
        density = stats.lognorm(spread, scale=numpy.exp(place))

    def given(t):   # t = log d; below t = -60/shape or so nothing is left of any of these laws
        d = numpy.exp(t)
        wrong = 4 * special.owens_t(d / numpy.sqrt(6), numpy.sqrt(3))
        return density.pdf(d) * d * (1 - wrong) ** k * wrong ** (n - k)

    ends = [*range(-280, -20, 20), *range(-20, 12), *range(12, 40, 4)]
    return sum(integrate.quad(given, a, b, epsabs=1e-16, epsrel=1e-12, limit=200)[0] for a, b in zip(ends, ends[1:]))


def rows():
    for law in ("gamma", "log-normal"):
        for place, spread in ((0.25, 0.5), (0.25, 1.0), (1.0, 0.25), (-0.5, 1.5), (3.0, 3.0)):
            for k, n in ((0, 4), (2, 4), (4, 4), (5, 12), (12, 12)):
                value = numpy.log(likelihood(law, place, spread, k, n))
                yield [law, reference.exact(place), reference.exact(spread), str(k), str(n), reference.number(value, 13)]


reference.write(sys.argv[1], "log of the chance of one sequence with k of n right in triangles when tasters' d' follows a law (place, spread as the program defines them)",
                f"make/population.py with SciPy {scipy.__version__}, adaptive quadrature to 1e-12", ["law", "place", "spread", "k", "n", "log_likelihood"], list(rows()))
