"""Hours and price of the whole car as ranges: a seeded, rank-correlated simulation.

Every operation takes a beta-PERT factor; all of them share one cause (one worker, one car). Every panel's hidden
growth is beta-PERT and shares another; every spent inner layer is a chance and shares a third. The three causes are
independent of each other, so the mean of the sum is the sum of the means, exactly; that is the figure the lines of
the price add up to. A fixed seed from the findings gives the same record the same range.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from soundmetal.calc.beta import Floats
from soundmetal.calc.spread import item_draws
from soundmetal.record.models import Inspection
from soundmetal.scope.items import Estimate, Material, WorkItem

#: Seeds of the three causes are this far apart, so that they share nothing.
_CAUSES = 3


@dataclass(frozen=True)
class Draws:
    """Simulated hours and net price: one row a panel, one column a draw. Days away are no hours."""

    hours: Floats
    money: Floats


def seed_of(inspection: Inspection) -> int:
    """Make a seed from what was found, never from the clock: the same findings give the same range."""
    text = "\n".join(finding.model_dump_json() for finding in inspection.findings)
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:6], "big")


def simulate(estimates: Sequence[Estimate], rho: float, draws: int, seed: int) -> Draws:
    """Draw hours and net price of every panel. `rho` (0 to 1) correlates the normal scores of each cause."""
    hours = np.zeros((len(estimates), draws))
    money = np.zeros((len(estimates), draws))
    grown = _growths(estimates, rho, draws, seed * _CAUSES)
    inner = _inners(estimates, rho, draws, seed * _CAUSES + 1)
    factors = iter(_factors(estimates, rho, draws, seed * _CAUSES + 2))
    for row, found in enumerate(estimates):
        powers = {0.5: np.sqrt(grown[row]), 1.0: grown[row], 0.0: np.ones(draws)}
        for item in found.work:
            spent = next(factors) * (item.fixed_h + item.variable_h * powers[item.power])
            hours[row] += spent
            money[row] += spent * float(found.rates[item.rate])
        for item in found.inner_work:
            spent = next(factors) * inner[row] * item.grown_h(found.hidden.growth)
            hours[row] += spent
            money[row] += spent * float(found.rates[item.rate])
        for bought in found.materials:
            money[row] += next(factors) * float(bought.price) * powers[bought.power]
        for bought in found.inner_materials:
            money[row] += next(factors) * inner[row] * bought.mean(found.hidden.growth)
    return Draws(hours, money)


def _items(found: Estimate) -> tuple[WorkItem | Material, ...]:
    return (*found.work, *found.inner_work, *found.materials, *found.inner_materials)


def _factors(estimates: Sequence[Estimate], rho: float, draws: int, seed: int) -> list[Floats]:
    items = [item for found in estimates for item in _items(found)]
    lows, highs = [item.low for item in items], [item.high for item in items]
    return list(item_draws(lows, [1.0] * len(items), highs, rho, draws, seed=seed))


def _growths(estimates: Sequence[Estimate], rho: float, draws: int, seed: int) -> list[Floats]:
    spreads = [found.hidden.growth for found in estimates]
    lows, likelies, highs = ([getattr(s, name) for s in spreads] for name in ("low", "likely", "high"))
    return list(item_draws(lows, likelies, highs, rho, draws, seed=seed))


def _inners(estimates: Sequence[Estimate], rho: float, draws: int, seed: int) -> list[Floats]:
    """Draw 1 where the inner layer is spent: the highest ranks of a symmetric score, as many as the chance says."""
    ones = [1.0] * len(estimates)
    scores = item_draws([0.0] * len(estimates), [0.5] * len(estimates), ones, rho, draws, seed=seed)
    return [_highest(score, found.hidden.inner_chance) for score, found in zip(scores, estimates, strict=True)]


def _highest(score: Floats, chance: float) -> Floats:
    spent = np.zeros(score.size)
    count = round(chance * score.size)
    if count:
        spent[np.argsort(score)[-count:]] = 1.0
    return spent
