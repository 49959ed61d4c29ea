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
from soundmetal.calc.three_point import pert_mean
from soundmetal.record.models import Inspection
from soundmetal.record.substance import substance
from soundmetal.scope.items import Estimate, Material, WorkItem

#: The three causes that are shared by all of their kind, each uncorrelated with the others.
_GROWN, _SPENT, _WORKED = range(3)

#: What a part of the spread comes from: the work itself, hidden growth, a spent inner layer, somebody else's price.
WORK, GROWTH, INNER, PRICE = "work", "growth", "inner layer", "price"


@dataclass(frozen=True)
class Part:
    """What one cause adds to the net price of each draw; all parts add up to the price, draw by draw."""

    cause: str
    panel: str
    name: str
    money: Floats


@dataclass(frozen=True)
class Draws:
    """Simulated hours and net price: one row a panel, one column a draw. Days away are no hours.

    `parts` are the same price taken apart by cause.
    """

    hours: Floats
    money: Floats
    parts: tuple[Part, ...] = ()


def seed_of(inspection: Inspection) -> int:
    """Make a seed from what was found, never from the clock: the same findings give the same range.

    Notes and photographs are left out, so that a better sentence or one more picture moves no price.
    """
    text = "\n".join(substance(finding) for finding in inspection.findings)
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:6], "big")


def simulate(estimates: Sequence[Estimate], rho: float, draws: int, seed: int) -> Draws:
    """Draw hours and net price of every panel. `rho` (0 to 1) correlates the normal scores of each cause."""
    hours = np.zeros((len(estimates), draws))
    money = np.zeros((len(estimates), draws))
    grown = _growths(estimates, rho, draws, seed)
    inner = _inners(estimates, rho, draws, seed)
    factors = iter(_factors(estimates, rho, draws, seed))
    parts: list[Part] = []
    for row, found in enumerate(estimates):
        panel = _Panel(found, {0.5: np.sqrt(grown[row]), 1.0: grown[row], 0.0: np.ones(draws)}, inner[row])
        for item in found.work:
            hours[row] += panel.work(item, next(factors))
        for item in found.inner_work:
            hours[row] += panel.inner_work(item, next(factors))
        for bought in found.materials:
            panel.buy(bought, next(factors))
        for bought in found.inner_materials:
            panel.inner_buy(bought, next(factors))
        money[row] = panel.money
        parts += panel.parts()
    return Draws(hours, money, tuple(parts))


class _Panel:
    """One panel's draws under way: the money, and what of it each cause brings.

    An item costs factor x size. Its mean factor x size is the growth's part, (factor - mean) x size is its own.
    """

    def __init__(self, found: Estimate, powers: dict[float, Floats], inner: Floats) -> None:
        self.found, self.powers, self.spent = found, powers, inner
        self.money = np.zeros(inner.size)
        self.growth = np.zeros(inner.size)
        self.behind = np.zeros(inner.size)
        self.own: list[Part] = []

    def work(self, item: WorkItem, factor: Floats) -> Floats:
        size = item.fixed_h + item.variable_h * self.powers[item.power]
        rate = float(self.found.rates[item.rate])
        self._split(WORK, item.operation.kind, factor, item.mean_factor, size * rate)
        return np.asarray(factor * size)

    def buy(self, bought: Material, factor: Floats) -> None:
        mean = pert_mean(bought.low, 1.0, bought.high)
        self._split(PRICE, bought.name or bought.kind, factor, mean, float(bought.price) * self.powers[bought.power])

    def inner_work(self, item: WorkItem, factor: Floats) -> Floats:
        spent = factor * self.spent * item.grown_h(self.found.hidden.growth)
        self._behind(spent * float(self.found.rates[item.rate]))
        return np.asarray(spent)

    def inner_buy(self, bought: Material, factor: Floats) -> None:
        self._behind(factor * self.spent * bought.mean(self.found.hidden.growth))

    def parts(self) -> list[Part]:
        """All parts of this panel."""
        panel = self.found.panel
        return [*self.own, Part(GROWTH, panel, "", self.growth), Part(INNER, panel, "", self.behind)]

    def _split(self, cause: str, name: str, factor: Floats, mean: float, size: Floats) -> None:
        self.money += factor * size
        self.growth += mean * size
        self.own.append(Part(cause, self.found.panel, name, (factor - mean) * size))

    def _behind(self, money: Floats) -> None:
        self.money += money
        self.behind += money


def _items(found: Estimate) -> tuple[WorkItem | Material, ...]:
    return (*found.work, *found.inner_work, *found.materials, *found.inner_materials)


def _factors(estimates: Sequence[Estimate], rho: float, draws: int, seed: int) -> list[Floats]:
    items = [item for found in estimates for item in _items(found)]
    lows, highs = [item.low for item in items], [item.high for item in items]
    return list(item_draws(lows, [1.0] * len(items), highs, rho, draws, seed=seed, cause=_WORKED))


def _growths(estimates: Sequence[Estimate], rho: float, draws: int, seed: int) -> list[Floats]:
    spreads = [found.hidden.growth for found in estimates]
    lows, likelies, highs = ([getattr(s, name) for s in spreads] for name in ("low", "likely", "high"))
    return list(item_draws(lows, likelies, highs, rho, draws, seed=seed, cause=_GROWN))


def _inners(estimates: Sequence[Estimate], rho: float, draws: int, seed: int) -> list[Floats]:
    """Draw 1 where the inner layer is spent: the highest ranks of a symmetric score, as many as the chance says."""
    ones = [1.0] * len(estimates)
    scores = item_draws([0.0] * len(estimates), [0.5] * len(estimates), ones, rho, draws, seed=seed, cause=_SPENT)
    return [_highest(score, found.hidden.inner_chance) for score, found in zip(scores, estimates, strict=True)]


def _highest(score: Floats, chance: float) -> Floats:
    spent = np.zeros(score.size)
    count = round(chance * score.size)
    if count:
        spent[np.argsort(score)[-count:]] = 1.0
    return spent
