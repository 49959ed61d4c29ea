"""Rusted share of a surface as an ISO 4628-3 degree (Ri) and as an ASTM D610 grade.

ISO 4628-3 prints one area a picture, not bands, so "Ri of 0.6 %" needs a rule (a choice of this project, named in
the report): `ceiling` takes a picture as the upper limit of its degree and never flatters the car; `nearest` takes
the nearest picture on a logarithmic scale, as an eye comparing pictures would. Always show the percentage beside it.
"""

from __future__ import annotations

import math
from enum import StrEnum
from functools import cache
from itertools import pairwise
from typing import Literal

from soundmetal.handbook.reading import rows

Rule = Literal["ceiling", "nearest"]


class Spread(StrEnum):
    """How the rust lies, by the letters of ASTM D610."""

    SPOT = "S"
    GENERAL = "G"
    PINPOINT = "P"
    HYBRID = "H"


def ri(percent: float, rule: Rule = "ceiling") -> int:
    """Give the ISO 4628-3 degree 0 to 5 of a rusted share of the surface.

    Parameters: `percent`, rusted share [%], 0 to 100; `rule`, see the module.
    Raises ValueError for a share outside 0 to 100 or an unknown rule.
    Source: ISO 4628-3 Table 1 (second-hand); the rules between pictures are our own.

    >>> ri(0.6), ri(0.6, rule="nearest")
    (3, 2)
    """
    _check_percent(percent)
    if rule not in ("ceiling", "nearest"):
        raise ValueError(f'no rule "{rule}": use ceiling or nearest')
    if percent == 0:
        return 0
    pictures = {degree: area for degree, area in _pictures() if degree}
    limits = _log_borders(list(pictures.values())) if rule == "nearest" else list(pictures.values())
    return next((degree for degree, limit in zip(pictures, limits, strict=False) if percent <= limit), max(pictures))


def picture_percent(degree: int) -> float:
    """Give the rusted share [%] of the picture of one degree; Ri 5 is printed 40 to 50 %, taken as 45.

    >>> picture_percent(4)
    8.0
    """
    return _of_degree(degree)[0]


def european(degree: int) -> int:
    """Give the degree on the European rust scale (Re) that ISO 4628-3 Annex B sets beside an Ri degree.

    >>> european(5)
    7
    """
    return _of_degree(degree)[1]


def d610(percent: float) -> int:
    """Give the ASTM D610 grade, 10 (none) to 0 (over half), of a rusted share of the surface [%].

    An upper limit belongs to its band: 1.0 % is grade 6. Raises ValueError outside 0 to 100.
    Source: ASTM D610-08(2012) Table 1 (published-read).

    >>> d610(1.0), d610(51)
    (6, 0)
    """
    _check_percent(percent)
    return next(grade for grade, limit in _d610_bands() if percent <= limit)


def d610_mark(percent: float, spread: Spread) -> str:
    """Write an ASTM D610 grade with its letter; grades 10 and 0 carry none.

    >>> d610_mark(0.6, Spread.GENERAL), d610_mark(60, Spread.SPOT)
    ('6-G', '0')
    """
    grade = d610(percent)
    return str(grade) if grade in (0, 10) else f"{grade}-{spread.value}"


def _check_percent(percent: float) -> None:
    if not 0 <= percent <= 100:
        raise ValueError(f"a rusted share of {percent} % cannot be: give 0 to 100")


def _log_borders(areas: list[float]) -> list[float]:
    return [math.sqrt(one * other) for one, other in pairwise(areas)]


def _of_degree(degree: int) -> tuple[float, int]:
    for row in rows("iso_4628_3"):
        if row.integer("ri") == degree:
            return row.number("picture_percent"), row.integer("european")
    raise ValueError(f"no degree Ri {degree}: ISO 4628-3 knows Ri 0 to Ri 5")


@cache
def _pictures() -> tuple[tuple[int, float], ...]:
    return tuple((row.integer("ri"), row.number("picture_percent")) for row in rows("iso_4628_3"))


@cache
def _d610_bands() -> tuple[tuple[int, float], ...]:
    return tuple((row.integer("grade"), row.number("up_to_percent")) for row in rows("astm_d610"))
