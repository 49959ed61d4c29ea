"""A panel laid flat, and upright rectangles on it, in the panel's own mm.

0,0 is the front lower corner, x runs along the length, y up. Sides that end at an edge or a flange are `edges`. Other
sides are only the border of the zone; the panel goes on beyond, so a seam is needed there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from soundmetal.car.models import Zone

#: Which sides end at an edge when the catalogue only counts them (common practice, no source: water gathers low).
SIDE_ORDER = ("lower", "upper", "front", "rear")


@dataclass(frozen=True)
class Flat:
    """A panel laid flat: length and height in mm, and the sides that end at an edge or flange."""

    length_mm: float
    height_mm: float
    edges: frozenset[str]

    @property
    def area_mm2(self) -> float:
        """Area of the panel."""
        return self.length_mm * self.height_mm

    def side_length(self, side: str) -> float:
        """Length of one side."""
        return self.length_mm if side in ("lower", "upper") else self.height_mm


@dataclass(frozen=True)
class Box:
    """An upright rectangle in the panel with the findings it holds and the panel sides that it ends at."""

    x0: float
    y0: float
    x1: float
    y1: float
    findings: tuple[str, ...]
    placed: bool = True
    ends: frozenset[str] = frozenset()

    @property
    def middle(self) -> tuple[float, float]:
        """Its middle."""
        return (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2

    def gap_to(self, other: Box) -> float:
        """Width of the bridge between two rectangles; 0 when they touch or overlap."""
        dx = max(self.x0 - other.x1, other.x0 - self.x1, 0.0)
        dy = max(self.y0 - other.y1, other.y0 - self.y1, 0.0)
        return math.hypot(dx, dy)

    def with_(self, other: Box) -> Box:
        """The rectangle round both."""
        ids = self.findings + tuple(f for f in other.findings if f not in self.findings)
        return Box(
            min(self.x0, other.x0), min(self.y0, other.y0), max(self.x1, other.x1), max(self.y1, other.y1),
            ids, self.placed and other.placed, self.ends | other.ends,
        )  # fmt: skip

    def grown(self, by_mm: float) -> Box:
        """The rectangle with a margin all round."""
        x0, y0, x1, y1 = self.x0 - by_mm, self.y0 - by_mm, self.x1 + by_mm, self.y1 + by_mm
        return Box(x0, y0, x1, y1, self.findings, self.placed, self.ends)

    def clipped(self, flat: Flat) -> Box:
        """The part of the rectangle that lies on the panel."""
        return Box(
            max(self.x0, 0.0), max(self.y0, 0.0), min(self.x1, flat.length_mm), min(self.y1, flat.height_mm),
            self.findings, self.placed, self.ends,
        )  # fmt: skip

    def room(self, side: str, flat: Flat) -> float:
        """Distance from the rectangle to one side of the panel; below 0 when it reaches beyond."""
        rooms = {
            "lower": self.y0,
            "upper": flat.height_mm - self.y1,
            "front": self.x0,
            "rear": flat.length_mm - self.x1,
        }
        return rooms[side]

    def taken_to(self, side: str, flat: Flat) -> Box:
        """The rectangle stretched to one side of the panel, and ending there."""
        x0 = 0.0 if side == "front" else self.x0
        y0 = 0.0 if side == "lower" else self.y0
        x1 = flat.length_mm if side == "rear" else self.x1
        y1 = flat.height_mm if side == "upper" else self.y1
        return Box(x0, y0, x1, y1, self.findings, self.placed, self.ends | {side})


def flat_of(zone: Zone) -> Flat:
    """Lay a zone flat by its typical size; its edges are the first of lower, upper, front, rear."""
    return Flat(zone.size_mm[0], zone.size_mm[1], frozenset(SIDE_ORDER[: zone.edges]))
