"""Sheet gauges: the Manufacturers' Standard Gauge that steel is bought to, the galvanized one, and the old legal one.

A gauge is a name, not a measurement: store mm, and print the gauge for buying.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from soundmetal.handbook.reading import rows

#: Sheet comes from the mill at about +-10 % (supplier's tolerance table, second-hand): further out it is no gauge.
MILL_TOLERANCE = 0.10


@dataclass(frozen=True, slots=True)
class Gauge:
    """One gauge number; `nominal_lb_ft2` is the buying weight, about 2.4 % above the mass of real steel.

    `galvanized_inch` is the coated thickness, None where none is printed; `us_standard_inch` is the old legal gauge.
    """

    number: int
    mm: float
    inch: float
    nominal_lb_ft2: float
    galvanized_inch: float | None
    us_standard_inch: float


@cache
def gauges() -> tuple[Gauge, ...]:
    """Give all gauges, 7 (thickest) to 28."""
    return tuple(
        Gauge(
            row.integer("number"),
            row.number("msg_mm"),
            row.number("msg_inch"),
            row.number("nominal_lb_ft2"),
            row.number_or_none("galvanized_inch"),
            row.number("us_standard_inch"),
        )
        for row in rows("gauge")
    )


def msg(number: int) -> Gauge:
    """Give one gauge of the Manufacturers' Standard Gauge; ValueError outside 7 to 28.

    >>> msg(18).inch, msg(18).mm
    (0.0478, 1.214)
    """
    for one in gauges():
        if one.number == number:
            return one
    raise ValueError(f"no gauge {number}: the table has {gauges()[0].number} to {gauges()[-1].number}")


def nearest_msg(thickness_mm: float) -> Gauge:
    """Give the gauge whose thickness [mm] is nearest; of two as near, the thicker.

    Raises ValueError where the thickness is over 10 % (the mill's tolerance) beyond either end of the table.
    Source: Manufacturers' Standard Gauge (second-hand, re-derived from 41.82 lb/ft2 per inch).

    >>> nearest_msg(0.9).number, nearest_msg(1.2).number
    (20, 18)
    """
    thickest, thinnest = gauges()[0].mm, gauges()[-1].mm
    if not thinnest * (1 - MILL_TOLERANCE) <= thickness_mm <= thickest * (1 + MILL_TOLERANCE):
        raise ValueError(
            f"{thickness_mm:g} mm is no sheet gauge: the table goes from {thinnest:g} to {thickest:g} mm"
            " (7 to 28 gauge); give the thickness in mm"
        )
    return min(gauges(), key=lambda one: (abs(one.mm - thickness_mm), one.number))
