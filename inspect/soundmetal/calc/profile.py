"""A strip of several legs, laid flat from its outside sizes and folded up again: hats, steps, boxes, rocker profiles.

Legs are outside sizes, measured to where the outer faces would meet. A bend goes up (the upper face comes to lie
inside) or down; its angle is the angle bent through. What a bend takes is given as its allowance, so that any rule
will do.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from soundmetal.calc.bend import setback_mm
from soundmetal.calc.limits import positive


@dataclass(frozen=True, slots=True)
class Fold:
    """One bend of a strip: angle bent through [deg], inside radius [mm], neutral length it takes [mm], up or down."""

    bent_deg: float
    radius_mm: float
    allowance_mm: float
    up: bool = True


@dataclass(frozen=True, slots=True)
class FlatFold:
    """Where a bend lies on the flat strip: its line, in the middle of what it takes, and its two ends [mm]."""

    at_mm: float
    start_mm: float
    end_mm: float
    fold: Fold


@dataclass(frozen=True, slots=True)
class FlatStrip:
    """A strip laid flat: its length [mm] and its bends from one end to the other."""

    length_mm: float
    folds: tuple[FlatFold, ...]


def lay_flat(legs_mm: Sequence[float], folds: Sequence[Fold], thickness_mm: float) -> FlatStrip:
    """Give the flat strip of a profile: straight parts plus allowances, with every bend line's place.

    Parameters
    ----------
    legs_mm : sequence of float
        Outside sizes from one end to the other, one more than bends, [mm]
    folds : sequence of Fold
        Bends between them, [deg, mm]
    thickness_mm : float
        Sheet, [mm]

    Returns
    -------
    strip : FlatStrip
        Flat length and bend lines, [mm]

    Notes
    -----
    RANGE OF VALIDITY: bends over 0 and under 180 degrees; every leg at least as long as its setbacks. ValueError
    names the leg or bend.

    Examples
    --------
    >>> square = Fold(90, 3, 6.244)
    >>> lay_flat([50, 50], [square], 3).length_mm
    94.244

    References
    ----------
    Machinery's Handbook, 31st ed., p. 1421: straight parts plus allowances (published-read).
    """
    if len(legs_mm) != len(folds) + 1:
        raise ValueError(f"{len(legs_mm)} legs and {len(folds)} bends do not fit: there is one leg more than bends")
    for number, fold in enumerate(folds, start=1):
        if not 0 < fold.bent_deg < 180:
            raise ValueError(f"bend {number} goes through {fold.bent_deg:g} degrees: it must be over 0 and under 180")
    backs = [0.0, *(setback_mm(fold.bent_deg, fold.radius_mm, thickness_mm) for fold in folds), 0.0]
    at, lines = 0.0, []
    for number, leg in enumerate(legs_mm):
        straight = positive(leg, f"leg {number + 1}") - backs[number] - backs[number + 1]
        if straight < 0:
            raise ValueError(f"leg {number + 1} of {leg:g} mm is shorter than its bends take up")
        at += straight
        if number < len(folds):
            takes = positive(folds[number].allowance_mm, f"allowance of bend {number + 1}")
            lines.append(FlatFold(at + takes / 2, at, at + takes, folds[number]))
            at += takes
    return FlatStrip(at, tuple(lines))


def fold_up(strip: FlatStrip, chords: int = 6) -> tuple[tuple[float, float], ...]:
    """Give the neutral line of a strip once it is bent, from 0,0, its first leg along x.

    Parameters
    ----------
    strip : FlatStrip
        The strip, [mm]
    chords : int
        Straight parts that one bend is drawn with, [-]

    Returns
    -------
    line : tuple of (float, float)
        Corners of the line, [mm]

    Notes
    -----
    RANGE OF VALIDITY: as of `lay_flat`. The line lies within the sheet; the outer face is up to a thickness away.

    Examples
    --------
    >>> strip = lay_flat([50, 50], [Fold(90, 3, 6.244)], 3)
    >>> [round(x, 2) for x in fold_up(strip)[-1]]
    [47.98, 47.98]

    References
    ----------
    Geometry: the neutral line keeps its length.
    """
    here, way, along = 0j, 1 + 0j, 0.0
    points = [here]
    for line in strip.folds:
        here += way * (line.start_mm - along)
        points.append(here)
        angle = math.radians(line.fold.bent_deg) * (1 if line.fold.up else -1) / chords
        chord = 2 * (line.end_mm - line.start_mm) / (abs(angle) * chords) * math.sin(abs(angle) / 2)
        for _ in range(chords):
            here += way * _turned(angle / 2) * chord
            way *= _turned(angle)
            points.append(here)
        along = line.end_mm
    points.append(here + way * (strip.length_mm - along))
    return tuple((point.real, point.imag) for point in points)


def _turned(angle: float) -> complex:
    return complex(math.cos(angle), math.sin(angle))
