"""What waiting means: the steel that open air takes from one face, by ISO 9223 and ISO 9224 (W1).

A floor, never a date: wet mud, seams and boxes go faster.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from soundmetal.calc.corrosion import loss_um
from soundmetal.grade.rules import rules
from soundmetal.handbook.corrosivity import exponent, first_year_um
from soundmetal.record.terms import Corrosivity


@dataclass(frozen=True)
class WaitPoint:
    """Loss of bare, openly exposed steel per face after `years`: between the ends of the place's category, in um."""

    years: float
    low_um: float
    high_um: float


def waiting(corrosivity: Corrosivity, years: Sequence[float] | None = None) -> tuple[WaitPoint, ...]:
    """Give the loss per face after each of some years (the rules' own if not named). Raises ValueError under 0 years.

    Source: ISO 9223:2012 Table 2, ISO 9224:2012 exponent B1 (both second-hand).

    >>> waiting(Corrosivity.C3, [10])[0].high_um
    166.7
    """
    low, high = first_year_um(corrosivity.value)
    b = exponent()
    when = rules().waiting.years if years is None else years
    return tuple(WaitPoint(float(t), loss_um(low, t, b), loss_um(high, t, b)) for t in when)
