"""Mean and standard deviation of the car's hours worked out on paper, to hold the simulation against.

Hours are sum of t_i w_i, t the factor on an operation, w its hours at the growth that shows; t and w are independent.
Var = sum_ij cov(t_i, t_j) E[w_i w_j] + sum_ij E[t_i] E[t_j] cov(w_i, w_j), and a spent inner layer adds its own part.
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
from soundmetal.scope.items import Estimate, WorkItem

#: Nodes of the Gauss-Hermite rule for the shared cause of the inner layers.
_NODES = 48


@dataclass(frozen=True)
class Moments:
    """Mean and standard deviation, in hours."""

    mean: float
    sd: float


def moments(estimates: Sequence[Estimate], rho: float) -> Moments:
    """Give mean and standard deviation of the hours of several panels whose causes correlate by `rho` (0 to 1).

    `rho` is taken as the product-moment correlation; that of the simulation comes out a little lower for leaning
    items, so for 0 < rho < 1 the two differ by a few per cent; for 0 they must agree, and nearly for 1.
    """
    mean = math.fsum(found.mean_h for found in estimates)
    return Moments(mean, math.sqrt(max(0.0, _variance(estimates, rho))))


def _variance(estimates: Sequence[Estimate], rho: float) -> float:
    work = [(row, item) for row, found in enumerate(estimates) for item in found.work]
    growths = [found.hidden.growth for found in estimates]
    weight = np.array([item.grown_h(growths[row]) for row, item in work])
    mean_t = np.array([item.mean_factor for _, item in work])
    sd_t = np.array([item.sd_factor for _, item in work])
    same = np.eye(len(work))
    cov_t = (rho + (1 - rho) * same) * np.outer(sd_t, sd_t)
    cov_w = _growth_covariance(work, growths, rho)
    direct = float(np.sum(cov_t * (cov_w + np.outer(weight, weight))) + mean_t @ cov_w @ mean_t)
    return direct + _inner_variance(estimates, work, weight, sd_t, rho)


def _growth_covariance(work: Sequence[tuple[int, WorkItem]], growths: Sequence[Spread], rho: float) -> Floats:
    """Covariance of the operations' hours that comes from growth: exact within a panel, by `rho` between panels."""
    rows = np.array([row for row, _ in work], dtype=int)
    variable = np.array([item.variable_h if item.power else 0.0 for _, item in work])
    power = np.array([item.power for _, item in work])
    powers = (0.5, 1.0)
    sds = {p: np.array([_covariance(g, p, p) ** 0.5 for g in growths]) for p in powers}
    mixed = np.array([_covariance(g, 0.5, 1.0) for g in growths])
    sd = np.where(power == 1.0, sds[1.0][rows], sds[0.5][rows]) if len(work) else np.zeros(0)
    between = rho * np.outer(sd, sd)
    within = np.where(np.equal.outer(power, power), np.outer(sd, sd), mixed[rows][:, None] if len(work) else 0.0)
    together = np.where(np.equal.outer(rows, rows), within, between)
    return together * np.outer(variable, variable)


def _covariance(growth: Spread, one: float, other: float) -> float:
    if growth.low == growth.high:
        return 0.0
    apart = power_mean(growth, one) * power_mean(growth, other)
    return max(0.0, power_mean(growth, one + other) - apart)


def _inner_variance(
    estimates: Sequence[Estimate], work: Sequence[tuple[int, WorkItem]], weight: Floats, sd_t: Floats, rho: float
) -> float:
    """Variance that spent inner layers add, their covariance with the visible work's factors included."""
    chances = np.array([found.hidden.inner_chance for found in estimates])
    mean_h = np.array([found.inner_h for found in estimates])
    spreads = [np.array([i.sd_factor * i.grown_h(f.hidden.growth) for i in f.inner_work]) for f in estimates]
    total_sd = np.array([float(s.sum()) for s in spreads])
    own = np.array([rho * float(s.sum()) ** 2 + (1 - rho) * float((s**2).sum()) for s in spreads])
    joint = _joint_chances(chances, rho)
    cov_inner = joint - np.outer(chances, chances)
    cov_hours = rho * np.outer(total_sd, total_sd)
    np.fill_diagonal(cov_hours, own)
    spent = float(np.sum(joint * cov_hours) + mean_h @ cov_inner @ mean_h)
    with_work = 2 * rho * float(chances @ total_sd) * float(weight @ sd_t) if len(work) else 0.0
    return spent + with_work


def _joint_chances(chances: Floats, rho: float) -> Floats:
    """Chance that two inner layers are both spent when their scores share a cause: Gauss-Hermite over the cause."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(_NODES)
    weights = weights / weights.sum()
    given = np.array([[_given(float(c), float(node), rho) for node in nodes] for c in chances])
    given = given.reshape(len(chances), _NODES)
    joint: Floats = (given * weights) @ given.T
    np.fill_diagonal(joint, chances)
    return joint


def _given(chance: float, cause: float, rho: float) -> float:
    if chance <= 0 or chance >= 1 or rho == 0:
        return chance
    limit = NormalDist().inv_cdf(1 - chance)
    if rho == 1:
        return 1.0 if cause > limit else 0.0
    return 1 - NormalDist().cdf((limit - math.sqrt(rho) * cause) / math.sqrt(1 - rho))
