"""Sizes for the shop: every length in mm and in inches, the reader's own unit first, so that no one has to reckon.

Inches go to a sixteenth (common practice, no source); thicknesses to 0.001 in and 0.01 mm, as gauges show them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

from soundmetal.record.terms import Units
from soundmetal.report.formats import MM_PER_FT, Look, sixteenths
from soundmetal.report.language import Language

#: US measures by what the shop book counts in. Exact: pound 0.45359237 kg, US quart 0.946352946 l, foot 0.3048 m.
US_MEASURES = {"kg": (1 / 0.45359237, "lb"), "l": (1 / 0.946352946, "qt")}
#: Gas is sold by the cubic foot.
CUBIC_FEET_PER_L = 1e6 / MM_PER_FT**3


@dataclass(frozen=True)
class Sizes:
    """Lengths in the reader's units and in the other ones."""

    lang: Language

    @property
    def us(self) -> bool:
        """Whether inches come first."""
        return self.lang.units is Units.US

    @cached_property
    def other_look(self) -> Look:
        """How numbers look in the units that the reader does not use first."""
        return replace(self.lang.look, units=Units.METRIC if self.us else Units.US)

    def main(self, mm: float) -> str:
        """Give a length in the reader's unit: whole mm, or inches to a sixteenth, never feet or metres."""
        return self._length(mm, self.us)

    def other(self, mm: float) -> str:
        """Give the same length in the other unit."""
        return self._length(mm, not self.us)

    def both(self, mm: float) -> str:
        """Give a length in both units.

        >>> from soundmetal.report.language import language
        >>> Sizes(language("en", Units.US, "USD")).both(533.4).replace(chr(160), " ")
        '21 in (533 mm)'
        """
        return f"{self.main(mm)} ({self.other(mm)})"

    def box(self, width_mm: float, height_mm: float) -> tuple[str, str]:
        """Give a size, width by height, in the reader's unit and in the other one."""
        return self._box(width_mm, height_mm, self.us), self._box(width_mm, height_mm, not self.us)

    def thickness(self, mm: float) -> str:
        """Give a thickness of steel in both units."""
        return f"{self.lang.look.thickness(mm)} ({self.other_look.thickness(mm)})"

    def run(self, mm: float) -> str:
        """Give a length of weld in metres or feet, one decimal."""
        value, unit = (mm / MM_PER_FT, "ft") if self.us else (mm / 1000, "m")
        return self.lang.look.with_unit(self.lang.look.number(value, 1), unit)

    def mass(self, kg: float) -> str:
        """Give a mass: kg or lb, one decimal, two under one."""
        value, unit = (kg * US_MEASURES["kg"][0], "lb") if self.us else (kg, "kg")
        return self.lang.look.with_unit(self.lang.look.number(value, 1 if value >= 1 else 2), unit)

    def amount(self, value: float, unit: str, *, gas: bool = False) -> str:
        """Give an amount to lay out: pieces rounded up, litres and kg with one decimal, in the reader's measures."""
        if unit not in US_MEASURES:
            return self.lang.look.whole(math.ceil(value - 1e-9))
        if self.us:
            factor, unit = (CUBIC_FEET_PER_L, "cu ft") if gas else US_MEASURES[unit]
            value *= factor
        decimals = 0 if value >= 20 else 1 if value >= 1 else 2
        return self.lang.look.with_unit(self.lang.look.number(value, decimals), unit)

    def _length(self, mm: float, inches: bool) -> str:
        look = self.lang.look
        return look.with_unit(sixteenths(mm), "in") if inches else look.with_unit(_whole(look, mm), "mm")

    def _box(self, width_mm: float, height_mm: float, inches: bool) -> str:
        look = self.lang.look
        one, other = (sixteenths(s) if inches else _whole(look, s) for s in (width_mm, height_mm))
        return look.with_unit(f"{one} × {other}", "in" if inches else "mm")


def _whole(look: Look, mm: float) -> str:
    """Whole mm; a size under 10 mm keeps one decimal."""
    return look.number(mm, 0 if mm >= 10 else 1)
