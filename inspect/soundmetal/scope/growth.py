"""What is still hidden: how much a cut-out grows once a place is opened, and the chance of a spent inner layer.

All figures are `data/growth.yaml` (common practice, no source) and narrow as the car is looked at more closely. The
factor is one of *area*; lengths grow with its square root, counts with their length.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Annotated

import numpy as np
from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from soundmetal.calc.three_point import pert_quantile
from soundmetal.car.models import Construction, Zone
from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError
from soundmetal.grade.models import Spread
from soundmetal.record.terms import Basis
from soundmetal.repair.models import Geometry, Method

FILE = "growth.yaml"
#: Equally likely slices by which an expectation over the growth factor is taken; the error is under 1e-5 of it.
SLICES = 2000
NONE = Spread(1.0, 1.0, 1.0)
Factor = Annotated[float, Field(ge=1, le=20)]
Share = Annotated[float, Field(ge=0, le=1)]
Part = Annotated[float, Field(ge=0, le=5)]


class Narrowing(BaseModel):
    """By how much one basis scales what lies beyond the factor 1, and the chance of a spent inner layer."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    low: Part
    likely: Part
    high: Part
    inner: Part


class Growth(BaseModel):
    """All of `growth.yaml`."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    source: str
    factor: dict[Construction, tuple[Factor, Factor, Factor]]
    inner: dict[Construction, Share]
    basis: dict[Basis, Narrowing]

    @model_validator(mode="after")
    def _in_order_on_every_basis(self) -> Growth:
        for basis in self.basis:
            for construction in self.factor:
                found = self.spread(construction, basis)
                if not found.low <= found.likely <= found.high:
                    raise ValueError(f"low, likely, high are out of order for {construction} seen by {basis}")
        return self

    def spread(self, construction: Construction, basis: Basis) -> Spread:
        """Growth factor of the cut-out's area for a construction seen on a basis."""
        low, likely, high = self.factor[construction]
        part = self.basis[basis]
        return Spread(1 + (low - 1) * part.low, 1 + (likely - 1) * part.likely, 1 + (high - 1) * part.high)


@dataclass(frozen=True)
class Hidden:
    """What may still show in one panel: growth of the cut-out's area, chance (0 to 1) of a spent inner layer."""

    growth: Spread
    inner_chance: float


@cache
def growth() -> Growth:
    """Read and check the file once. SettingsError names the key that is wrong.

    >>> growth().spread(Construction.CLOSED_BOX, Basis.WALKROUND)
    Spread(low=1.1, likely=1.6, high=3.0)
    >>> growth().spread(Construction.CLOSED_BOX, Basis.BLASTED)
    Spread(low=1.0, likely=1.0, high=1.0)
    """
    try:
        return Growth.model_validate(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(first["msg"], place=Place(DATA / FILE, key=key), todo="Correct the file.") from error


def hidden(zone: Zone, method: Method, plan: Geometry, basis: Basis, *, inner_known: bool) -> Hidden:
    """Tell what may still show when a panel is repaired by a method.

    A cut-out cannot grow beyond its panel, so the factor ends there. A whole panel does not grow. `inner_known` says
    that the layer behind has been looked at as a zone of its own, so that no chance is left.
    """
    if method is Method.LEAVE:
        return Hidden(NONE, 0.0)
    data = growth()
    chance = 0.0
    if plan.blanks and not inner_known:
        chance = min(1.0, data.inner[zone.construction] * data.basis[basis].inner)
    if method is Method.FULL_PANEL:
        return Hidden(NONE, chance)
    extent = sum(c.area_mm2 for c in plan.cutouts) or plan.strip_mm2
    most = max(1.0, zone.area_mm2 / extent) if extent else 1.0
    found = data.spread(zone.construction, basis)
    return Hidden(Spread(min(found.low, most), min(found.likely, most), min(found.high, most)), chance)


@lru_cache(maxsize=4096)
def power_mean(found: Spread, power: float) -> float:
    """Give the mean of a power of the growth factor, by equally likely slices of its beta-PERT distribution.

    >>> round(power_mean(Spread(1.1, 1.6, 3.0), 1.0), 4)
    1.75
    """
    if power == 0:
        return 1.0
    if found.low == found.high:
        return float(found.low**power)
    shares = (np.arange(SLICES) + 0.5) / SLICES
    return float(np.mean(pert_quantile(found.low, found.likely, found.high, shares) ** power))
