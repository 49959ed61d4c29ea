"""ISO 9223 corrosivity categories of carbon steel and the ISO 9224 exponents for longer times.

Both speak of bare steel, openly exposed, one face. Wet mud, seams and box sections go faster: use them as a floor for
what waiting costs, never to promise a date.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from soundmetal.handbook.reading import rows

Curve = Literal["B1", "B2"]


@dataclass(frozen=True, slots=True)
class Category:
    """One ISO 9223 category; losses are of the first year, more than `over` and up to `up_to`."""

    name: str
    over_um: float
    up_to_um: float
    over_g_m2: float
    up_to_g_m2: float
    outside: str
    inside: str


@cache
def categories() -> tuple[Category, ...]:
    """Give all categories, C1 to CX, mildest first."""
    return tuple(
        Category(
            name=row.text("category"),
            over_um=row.number("over_um"),
            up_to_um=row.number("up_to_um"),
            over_g_m2=row.number("over_g_m2"),
            up_to_g_m2=row.number("up_to_g_m2"),
            outside=row.cells["outside"],
            inside=row.text("inside"),
        )
        for row in rows("iso_9223")
    )


def of_name(name: str) -> Category:
    """Give the category with this name; ValueError for any other.

    >>> of_name("C3").outside
    'town, light industry, coast with little salt'
    """
    for one in categories():
        if one.name == name:
            return one
    raise ValueError(f'no corrosivity category "{name}": ISO 9223 knows {", ".join(c.name for c in categories())}')


def first_year_um(name: str) -> tuple[float, float]:
    """Give the range of the first-year loss of steel, one face [um]: more than the first, up to the second.

    Source: ISO 9223:2012 Table 2 (second-hand).

    >>> first_year_um("C3")
    (25.0, 50.0)
    """
    one = of_name(name)
    return one.over_um, one.up_to_um


def first_year_g_m2(name: str) -> tuple[float, float]:
    """Give the range of the first-year mass loss of steel, one face [g/m2], as printed beside the um.

    >>> first_year_g_m2("C3")
    (200.0, 400.0)
    """
    one = of_name(name)
    return one.over_g_m2, one.up_to_g_m2


def category(loss_um: float) -> str:
    """Classify a measured first-year loss of steel [um]; a limit belongs to the milder category.

    Raises ValueError under 0 and over 700 um, where the table ends.

    >>> category(25.0), category(25.1)
    ('C2', 'C3')
    """
    return _classified(loss_um, "um", [one.up_to_um for one in categories()])


def category_by_mass(loss_g_m2: float) -> str:
    """Classify a measured first-year mass loss of steel [g/m2]; ValueError outside 0 to 5500.

    >>> category_by_mass(650.0)
    'C4'
    """
    return _classified(loss_g_m2, "g/m2", [one.up_to_g_m2 for one in categories()])


def exponent(metal: str = "carbon steel", curve: Curve = "B1") -> float:
    """Give the ISO 9224 time exponent of a metal: B1 typical, B2 cautious (mean plus two standard deviations).

    Source: ISO 9224:2012 Table 3 (second-hand). Raises ValueError for a metal or curve the table lacks.

    >>> exponent(), exponent("zinc", "B2")
    (0.523, 0.873)
    """
    if curve not in ("B1", "B2"):
        raise ValueError(f'no curve "{curve}": ISO 9224 knows B1 and B2')
    for row in rows("iso_9224"):
        if row.text("metal") == metal:
            return row.number(curve.lower())
    known = ", ".join(row.text("metal") for row in rows("iso_9224"))
    raise ValueError(f'no exponent for "{metal}": the table has {known}')


def _classified(loss: float, unit: str, limits: list[float]) -> str:
    if not 0 <= loss <= limits[-1]:
        raise ValueError(f"a first-year loss of {loss} {unit} is outside ISO 9223 (0 to {limits[-1]:g} {unit})")
    return next(one.name for one, limit in zip(categories(), limits, strict=True) if loss <= limit)
