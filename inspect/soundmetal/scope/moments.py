"""Mean and standard deviation of the car's hours worked out on paper, to hold the simulation against.

Hours are sum of t_i w_i, t the factor on an operation, w its hours at the growth that shows; t and w are independent.
Var = sum_ij cov(t_i, t_j) E[w_i w_j] + sum_ij E[t_i] E[t_j] cov(w_i, w_j), and a spent inner layer adds its own part.
Covariances are those of the correlated normal scores (`scores`), so simulation and paper agree for every correlation.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from soundmetal.calc.beta import Floats
from soundmetal.grade.models import Spread
from soundmetal.scope.growth import power_mean
from soundmetal.scope.items import AREA, FIXED, LENGTH, Estimate, WorkItem
from soundmetal.scope.scores import TERMS, coefficients, covariances, nodes_and_weights

#: Nodes of the Gauss-Hermite rule for the shared cause of the inner layers.
_NODES = 48
#: Powers of the growth factor by which hours grow: fixed, length, area.
POWERS = (FIXED, LENGTH, AREA)


@dataclass(frozen=True)
class Moments:
    """Mean and standard deviation, in hours."""

    mean: float
    sd: float


@dataclass(frozen=True)
class _Work:
    """Operations as arrays: their panel's row, hours before the factor, coefficients and spread of the factor."""

    items: tuple[WorkItem, ...]
    rows: Floats
    weight: Floats
    coefficients: Floats
    sd: Floats

    @property
    def mean(self) -> Floats:
        """Means of the factors."""
        return np.array([item.mean_factor for item in self.items])


def moments(estimates: Sequence[Estimate], rho: float) -> Moments:
    """Give mean and standard deviation of the hours of several panels; `rho` (0 to 1) correlates their scores."""
    mean = math.fsum(found.mean_h for found in estimates)
    visible = _work([(n, item) for n, found in enumerate(estimates) for item in found.work], estimates)
    inner = _work([(n, item) for n, found in enumerate(estimates) for item in found.inner_work], estimates)
    variance = _visible_variance(visible, estimates, rho) + _inner_variance(inner, visible, estimates, rho)
    return Moments(mean, math.sqrt(max(0.0, variance)))


def _work(pairs: Sequence[tuple[int, WorkItem]], estimates: Sequence[Estimate]) -> _Work:
    items = tuple(item for _, item in pairs)
    return _Work(
        items,
        np.array([row for row, _ in pairs], dtype=float),
        np.array([item.grown_h(estimates[row].hidden.growth) for row, item in pairs]),
        np.array([coefficients(Spread(i.low, 1.0, i.high)) for i in items]).reshape(len(items), TERMS),
        np.array([item.sd_factor for item in items]),
    )


def _visible_variance(work: _Work, estimates: Sequence[Estimate], rho: float) -> float:
    if not work.items:
        return 0.0
    cov_t = covariances(work.coefficients, work.coefficients, rho)
    np.fill_diagonal(cov_t, work.sd**2)
    cov_w = _growth_covariance(work, [found.hidden.growth for found in estimates], rho)
    return float(np.sum(cov_t * (cov_w + np.outer(work.weight, work.weight))) + work.mean @ cov_w @ work.mean)


def _growth_covariance(work: _Work, growths: Sequence[Spread], rho: float) -> Floats:
    """Covariance of the operations' hours that comes from growth: one and the same growth within a panel."""
    variable = np.array([item.variable_h for item in work.items])
    of_item = [(growths[int(row)], item.power) for row, item in zip(work.rows, work.items, strict=True)]
    rows = np.array([coefficients(growth, power) for growth, power in of_item])
    between = covariances(rows, rows, rho)
    for panel in sorted(set(work.rows.tolist())):  # numpy's own imports masked arrays for it, in every process
        places = np.flatnonzero(work.rows == panel)
        for place in places:
            growth, power = of_item[place]
            between[place, places] = [_covariance(growth, power, work.items[other].power) for other in places]
    return np.asarray(between * np.outer(variable, variable))


def _covariance(growth: Spread, one: float, other: float) -> float:
    if growth.low == growth.high or not one or not other:
        return 0.0
    apart = power_mean(growth, one) * power_mean(growth, other)
    return max(0.0, power_mean(growth, one + other) - apart)


def _inner_variance(inner: _Work, visible: _Work, estimates: Sequence[Estimate], rho: float) -> float:
    """Variance that spent inner layers add, their covariance with the visible work's factors included."""
    if not inner.items:
        return 0.0
    chances = np.array([found.hidden.inner_chance for found in estimates])
    mean_h = np.array([found.inner_h for found in estimates])
    of_panel = np.equal.outer(np.arange(len(estimates), dtype=float), inner.rows) * inner.weight
    sums = of_panel @ inner.coefficients
    cov_hours = covariances(sums, sums, rho)
    shared = np.diag(covariances(inner.coefficients, inner.coefficients, rho))
    cov_hours[np.diag_indices_from(cov_hours)] += (of_panel**2) @ (inner.sd**2 - shared)
    joint = _joint_chances(chances, rho)
    spent = float(np.sum(joint * cov_hours) + mean_h @ (joint - np.outer(chances, chances)) @ mean_h)
    seen = (visible.weight @ visible.coefficients).reshape(1, TERMS)
    return spent + 2 * float(chances @ covariances(sums, seen, rho)[:, 0])


def _joint_chances(chances: Floats, rho: float) -> Floats:
    """Chance that two inner layers are both spent when their scores share a cause: Gauss-Hermite over the cause."""
    if rho == 1:
        return np.minimum.outer(chances, chances)
    nodes, weights = nodes_and_weights(_NODES)
    given = np.array([[_given(float(c), float(node), rho) for node in nodes] for c in chances])
    joint = np.asarray((given * (weights / weights.sum())) @ given.T)
    np.fill_diagonal(joint, chances)
    return joint


def _given(chance: float, cause: float, rho: float) -> float:
    if chance <= 0 or chance >= 1 or rho == 0:
        return chance
    limit = NormalDist().inv_cdf(1 - chance)
    return 1 - NormalDist().cdf((limit - math.sqrt(rho) * cause) / math.sqrt(1 - rho))
