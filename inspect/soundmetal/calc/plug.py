"""Plug welds along a flange: how many, how far apart, how much metal; resistance spots: size and least spacing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from soundmetal.calc.limits import not_negative, positive

#: End distance and largest pitch where the factory's pitch was not measured (common practice, from memory).
END_MM = 15.0
PITCH_MM = 35.0


@dataclass(frozen=True, slots=True)
class PlugRow:
    """Plugs on one flange: how many, and the distance between them [mm], 0 for a single one."""

    count: int
    pitch_mm: float


def plug_row(flange_mm: float, end_mm: float = END_MM, max_pitch_mm: float = PITCH_MM) -> PlugRow:
    """Spread plug welds evenly along a flange: first and last at the end distance, none further apart than allowed.

    .. math:: n = ceil((L - 2 e) / p) + 1

    Parameters
    ----------
    flange_mm : float
        Length of the flange, L, [mm]
    end_mm : float
        Distance of the first and last plug from the ends, e, [mm]
    max_pitch_mm : float
        Largest distance between plugs, p: the factory's where it was measured, [mm]

    Returns
    -------
    row : PlugRow
        Count and actual pitch, [-, mm]

    Notes
    -----
    RANGE OF VALIDITY: any flange over 0; one no longer than twice the end distance takes a single plug in its middle.
    The count is never under the factory's own: compare before welding.

    Examples
    --------
    >>> plug_row(1000)
    PlugRow(count=29, pitch_mm=34.643)

    References
    ----------
    Geometry; defaults common practice, no source. Factory pitch is usually 25 to 40 mm (trade text, published-read).
    """
    span = positive(flange_mm, "flange_mm") - 2 * not_negative(end_mm, "end_mm")
    positive(max_pitch_mm, "max_pitch_mm")
    if span <= 0:
        return PlugRow(1, 0.0)
    # A hair is taken off, so that a span of exactly three pitches does not become four through rounding.
    gaps = max(1, math.ceil(span / max_pitch_mm - 1e-9))
    return PlugRow(gaps + 1, span / gaps)


def more_than_factory(spots: int, factor: float = 1.3) -> int:
    """Give the least whole number of new welds that is strictly more than a multiple of the factory's spots.

    Parameters
    ----------
    spots : int
        Factory spots counted, [-]
    factor : float
        Multiple asked for, [-]

    Returns
    -------
    count : int
        New welds, [-]

    Notes
    -----
    RANGE OF VALIDITY: the 1.3 is one vehicle maker's rule for resistance spots; plug welds equal the factory's count.

    Examples
    --------
    >>> more_than_factory(20)
    27

    References
    ----------
    Vehicle maker's rule as told by I-CAR (published-read).
    """
    if spots < 0:
        raise ValueError(f"spots is {spots!r}: it must be 0 or more")
    return math.floor(round(spots * positive(factor, "factor"), 9)) + 1


def plug_volume_mm3(hole_mm: float, thickness_mm: float, cap_mm: float, cap_height_mm: float) -> float:
    """Give the weld metal of one plug: the filled hole and a cap shaped as a paraboloid.

    .. math:: pi d^2 t / 4 + pi D^2 h / 8

    Parameters
    ----------
    hole_mm : float
        Diameter of the hole, d, [mm]
    thickness_mm : float
        Sheet that the hole goes through, t, [mm]
    cap_mm : float
        Diameter of the cap, D, [mm]
    cap_height_mm : float
        Height of the cap, h, [mm]

    Returns
    -------
    volume : float
        Weld metal, [mm3]

    Notes
    -----
    RANGE OF VALIDITY: the sheet behind is melted into, not filled.

    Examples
    --------
    >>> plug_volume_mm3(8, 0.9, 9, 1)
    77.048

    References
    ----------
    Geometry.
    """
    hole = math.pi / 4 * positive(hole_mm, "hole_mm") ** 2 * positive(thickness_mm, "thickness_mm")
    cap = math.pi / 8 * not_negative(cap_mm, "cap_mm") ** 2 * not_negative(cap_height_mm, "cap_height_mm")
    return hole + cap


def nugget_mm(thickness_mm: float, factor: float = 5.0) -> float:
    """Give the nugget diameter of a resistance spot that is aimed at, 5 sqrt(t).

    Parameters
    ----------
    thickness_mm : float
        Thinner sheet, t, [mm]
    factor : float
        5 to aim at, 3.5 to 4 at least, [sqrt(mm)]

    Returns
    -------
    nugget : float
        Diameter, [mm]

    Notes
    -----
    RANGE OF VALIDITY: single sheet of 0.4 to 3.0 mm. ValueError outside.

    Examples
    --------
    >>> nugget_mm(1.0)
    5.0

    References
    ----------
    ISO 14373 scope (published-read); the rule of the root from memory.
    """
    if not 0.4 <= thickness_mm <= 3.0:
        raise ValueError(f"thickness_mm is {thickness_mm!r}: the rule is for 0.4 to 3.0 mm")
    return positive(factor, "factor") * math.sqrt(thickness_mm)


def min_spot_spacing_mm(thickness_mm: float, table: Sequence[tuple[float, float]], sheets: int = 2) -> float:
    """Give the least distance between resistance spots, straight between the rows of a spacing table.

    Parameters
    ----------
    thickness_mm : float
        Thinner sheet, [mm]
    table : sequence of tuple of float
        Thickness and spacing, thinnest first, [mm]
    sheets : int
        Sheets welded together, 2 or 3, [-]

    Returns
    -------
    spacing : float
        Least distance between centres, [mm]

    Notes
    -----
    RANGE OF VALIDITY: between the first and the last row of the table; ValueError outside. It keeps current from
    shunting through the neighbour and is not the pitch to build to. Three sheets: 30 % more.

    Examples
    --------
    >>> min_spot_spacing_mm(1.5, [(1.0, 20.0), (2.0, 30.0)])
    25.0

    References
    ----------
    Resistance spot-weld schedule data sheet, SAE 1010 (published-read); three sheets: its note (published-read).
    """
    if sheets not in (2, 3):
        raise ValueError(f"sheets is {sheets!r}: the table is for 2, with an allowance for 3")
    for (thin, near), (thick, far) in pairwise(table):
        if thin <= thickness_mm <= thick:
            spacing = near + (far - near) * (thickness_mm - thin) / (thick - thin)
            return spacing * (1.3 if sheets == 3 else 1.0)
    rows = ", ".join(f"{thickness:g}" for thickness, _spacing in table)
    raise ValueError(f"no spot spacing for {thickness_mm:g} mm: the table has {rows or 'nothing'}")
