"""A flat piece under work, in the panel's own mm: outline, bend lines, the section it is bent to."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shapely.geometry import LineString, Polygon, box

from soundmetal.scope.models import BendLine

Line = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True)
class Straight:
    """The straight part of one leg of a bent section: its ends on the panel, measured along the outside.

    On the flat piece it lies `shift_mm` further up.
    """

    low_mm: float
    high_mm: float
    shift_mm: float


@dataclass(frozen=True)
class Flat:
    """Outline with everything worked in, bend lines on it, the bent section's neutral line and its outside legs.

    `family` is flat, flanged, section or rough; `relieved` where corners between two flanges were opened. Where
    flanges stand both ways, `across_mm` and `across_legs_mm` are the section from front to rear. `straights` are the
    legs of a bent section.
    """

    outline: Polygon
    family: str = "flat"
    bends: tuple[BendLine, ...] = ()
    section_mm: tuple[tuple[float, float], ...] = ()
    legs_mm: tuple[float, ...] = ()
    relieved: bool = False
    across_mm: tuple[tuple[float, float], ...] = ()
    across_legs_mm: tuple[float, ...] = ()
    straights: tuple[Straight, ...] = ()

    def bent_as(self, other: Flat) -> Flat:
        """Give it with the bent section of another one."""
        return replace(
            self, section_mm=other.section_mm, legs_mm=other.legs_mm,
            across_mm=other.across_mm, across_legs_mm=other.across_legs_mm,
        )  # fmt: skip


def end_line(opening: Polygon, side: str) -> Line:
    """Give where an opening ends at one side, from end to end."""
    x0, y0, x1, y1 = opening.bounds
    edge = {
        "front": ((x0, y0), (x0, y1)), "rear": ((x1, y0), (x1, y1)),
        "lower": ((x0, y0), (x1, y0)), "upper": ((x0, y1), (x1, y1)),
    }[side]  # fmt: skip
    along = opening.exterior.intersection(LineString(edge))
    a, b, c, d = along.bounds if along.length > 0 else LineString(edge).bounds
    return (a, b), (c, d)


def strip(line: Line, side: str, by_mm: float) -> Polygon:
    """Give the strip that stands out by some mm from the end of an opening at one side."""
    (a, b), (c, d) = line
    return {
        "front": box(a - by_mm, b, c, d), "rear": box(a, b, c + by_mm, d),
        "lower": box(a, b - by_mm, c, d), "upper": box(a, b, c, d + by_mm),
    }[side]  # fmt: skip
