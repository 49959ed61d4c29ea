"""Work and material of one panel as numbers that can be summed, grown and simulated.

An item's hours are `fixed_h + variable_h x growth ** power`, times a beta-PERT factor from `low` over 1 to `high`.
Power 1 is an area, 0.5 a length or a count along it, 0 what does not grow. Materials likewise, in money.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from soundmetal.calc.three_point import pert_mean, pert_variance
from soundmetal.grade.models import Spread
from soundmetal.scope.growth import Hidden, power_mean
from soundmetal.scope.models import Blank, Consumable, Operation

#: Powers of the growth factor of an area: by area, by length (and counts along it), not at all.
AREA, LENGTH, FIXED = 1.0, 0.5, 0.0


@dataclass(frozen=True)
class WorkItem:
    """One operation with what the simulation needs to know of it. `rate` names the hourly rate."""

    operation: Operation
    rate: str
    fixed_h: float
    variable_h: float
    power: float
    low: float
    high: float

    @property
    def likely_h(self) -> float:
        """Hours for what can be seen now."""
        return self.fixed_h + self.variable_h

    @property
    def mean_factor(self) -> float:
        """Mean of the factor on the hours."""
        return pert_mean(self.low, 1.0, self.high)

    @property
    def sd_factor(self) -> float:
        """Standard deviation of the factor on the hours."""
        return float(pert_variance(self.low, 1.0, self.high) ** 0.5)

    def mean_h(self, growth: Spread) -> float:
        """Expected hours, growth and factor independent of each other."""
        return self.mean_factor * self.grown_h(growth)

    def grown_h(self, growth: Spread) -> float:
        """Hours at the expected growth, before the factor."""
        return self.fixed_h + self.variable_h * power_mean(growth, self.power)


@dataclass(frozen=True)
class Material:
    """Something bought: its price with mark-up for what can be seen now, and how it grows; `low`/`high` as above."""

    kind: str
    price: Decimal
    power: float = 0.0
    low: float = 1.0
    high: float = 1.0
    name: str = ""
    source: str = ""

    def mean(self, growth: Spread) -> float:
        """Expected price."""
        return float(self.price) * power_mean(growth, self.power) * pert_mean(self.low, 1.0, self.high)


@dataclass(frozen=True)
class Estimate:
    """All work and material of one option on one panel. `inner_*` is what a spent inner layer would add."""

    panel: str
    findings: tuple[str, ...]
    hidden: Hidden
    work: tuple[WorkItem, ...]
    materials: tuple[Material, ...]
    blanks: tuple[Blank, ...] = ()
    consumables: tuple[Consumable, ...] = ()
    inner_work: tuple[WorkItem, ...] = ()
    inner_materials: tuple[Material, ...] = ()
    days_away: int = 0
    rates: dict[str, Decimal] = field(default_factory=dict)

    @property
    def likely_h(self) -> float:
        """Hours for what can be seen now."""
        return sum(item.likely_h for item in self.work)

    @property
    def inner_h(self) -> float:
        """Expected hours that a spent inner layer adds, once it is known to be spent."""
        return sum(item.mean_factor * item.grown_h(self.hidden.growth) for item in self.inner_work)

    @property
    def inner_money(self) -> float:
        """Expected price that a spent inner layer adds, once it is known to be spent."""
        growth = self.hidden.growth
        work = sum(i.mean_factor * i.grown_h(growth) * float(self.rates[i.rate]) for i in self.inner_work)
        return work + sum(m.mean(growth) for m in self.inner_materials)

    @property
    def mean_h(self) -> float:
        """Expected hours: growth, chance of a spent inner layer and the lean of every estimate included."""
        grown = sum(item.mean_h(self.hidden.growth) for item in self.work)
        return grown + self.hidden.inner_chance * self.inner_h

    @property
    def mean_money(self) -> float:
        """Expected price before tax, likewise."""
        growth = self.hidden.growth
        work = sum(item.mean_h(growth) * float(self.rates[item.rate]) for item in self.work)
        bought = sum(m.mean(growth) for m in self.materials)
        return work + bought + self.hidden.inner_chance * self.inner_money
