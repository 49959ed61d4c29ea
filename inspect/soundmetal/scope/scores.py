"""How strongly two beta-PERT items move together when their normal scores correlate by rho, worked out on paper.

An item is a function of a normal score z; written in Hermite polynomials, x(z) = sum_k a_k He_k(z) / sqrt(k!), two
items whose scores correlate by rho have the covariance sum_k rho^k a_k b_k (k from 1). No draws are needed.
Source: Mehler's formula for the bivariate normal density (from memory); held against the simulation by a test.
"""

from __future__ import annotations

import math
from functools import cache, lru_cache
from statistics import NormalDist

import numpy as np
from numpy.polynomial import hermite_e

from soundmetal.calc.beta import Floats
from soundmetal.calc.three_point import pert_quantile
from soundmetal.grade.models import Spread

#: Polynomials taken along; the share of the variance that is left out is under 1e-4 for PERT shapes.
TERMS = 16
_NODES = 96


@lru_cache(maxsize=2048)
def coefficients(found: Spread, power: float = 1.0) -> tuple[float, ...]:
    """Give a_1 ... a_16 of a power of a beta-PERT number; all 0 where it is fixed.

    >>> sum(a * a for a in coefficients(Spread(5, 8, 14)))
    2.75
    """
    if found.low == found.high or power == 0:
        return (0.0,) * TERMS
    _nodes, weights, shares, rows = _quadrature()
    values = pert_quantile(found.low, found.likely, found.high, np.clip(shares, 0.0, 1.0)) ** power
    weighted = weights / weights.sum() * values
    return tuple(float(weighted @ rows[:, k - 1]) / math.sqrt(math.factorial(k)) for k in range(1, TERMS + 1))


@cache
def nodes_and_weights(count: int) -> tuple[Floats, Floats]:
    """Give the nodes and weights of the Gauss-Hermite rule for the normal density; finding them takes long."""
    nodes, weights = hermite_e.hermegauss(count)
    return np.asarray(nodes), np.asarray(weights)


@lru_cache(maxsize=1)
def _quadrature() -> tuple[Floats, Floats, Floats, Floats]:
    """Give nodes, weights, the shares of the normal below the nodes, the polynomials there: once is enough."""
    nodes, weights = nodes_and_weights(_NODES)
    shares = np.array([NormalDist().cdf(node) for node in nodes])
    rows = hermite_e.hermevander(nodes, TERMS)[:, 1:]
    return nodes, weights, shares, np.asarray(rows)


def covariances(rows: Floats, others: Floats, rho: float) -> Floats:
    """Give the covariance of every row with every other row; each row holds the coefficients of one item."""
    weights = rho ** np.arange(1, TERMS + 1)
    return np.asarray((rows * weights) @ others.T)
