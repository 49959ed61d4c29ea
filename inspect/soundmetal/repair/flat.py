"""A panel laid flat, and upright rectangles or measured shapes on it, in the panel's own mm.

0,0 is the front lower corner, x runs along the length, y up. Sides that end at an edge or a flange are `edges`. Other
sides are only the border of the zone; the panel goes on beyond, so a seam is needed there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shapely.geometry import MultiPolygon, Polygon, box
from shapely.ops import unary_union

from soundmetal.car.models import Zone

#: Segments of a quarter circle: the perimeter of a rounded patch comes within 0.01 mm of the true one.
ARC_SEGMENTS = 64
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
    """An upright rectangle in the panel with the findings it holds and the panel sides that it ends at.

    `shape` is what was measured within it, None where it is the rectangle itself; `off` are circles (x, y, radius)
    round mountings that a cut keeps out of.
    """

    x0: float
    y0: float
    x1: float
    y1: float
    findings: tuple[str, ...]
    placed: bool = True
    ends: frozenset[str] = frozenset()
    shape: Polygon | None = None
    off: frozenset[tuple[float, float, float]] = frozenset()

    @property
    def polygon(self) -> Polygon:
        """Its shape: what was measured, else the rectangle."""
        return box(self.x0, self.y0, self.x1, self.y1) if self.shape is None else self.shape

    @property
    def middle(self) -> tuple[float, float]:
        """Its middle."""
        return (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2

    def gap_to(self, other: Box) -> float:
        """Width of the bridge between the two; 0 when they touch or overlap."""
        if self.shape is not None or other.shape is not None:
            return float(self.polygon.distance(other.polygon))
        dx = max(self.x0 - other.x1, other.x0 - self.x1, 0.0)
        dy = max(self.y0 - other.y1, other.y0 - self.y1, 0.0)
        return math.hypot(dx, dy)

    def with_(self, other: Box) -> Box:
        """The rectangle round both; where one was measured, the tightest shape round both without a notch."""
        ids = self.findings + tuple(f for f in other.findings if f not in self.findings)
        measured = self.shape is not None or other.shape is not None
        hull = unary_union([self.polygon, other.polygon]).convex_hull if measured else None
        return Box(
            min(self.x0, other.x0), min(self.y0, other.y0), max(self.x1, other.x1), max(self.y1, other.y1),
            ids, self.placed and other.placed, self.ends | other.ends, hull, self.off | other.off,
        )  # fmt: skip

    def grown(self, by_mm: float) -> Box:
        """The rectangle or shape with a margin all round."""
        shape = None if self.shape is None else self.shape.buffer(by_mm, quad_segs=ARC_SEGMENTS)
        x0, y0, x1, y1 = self.x0 - by_mm, self.y0 - by_mm, self.x1 + by_mm, self.y1 + by_mm
        return replace(self, x0=x0, y0=y0, x1=x1, y1=y1, shape=shape)

    def clipped(self, flat: Flat) -> Box:
        """The part that lies on the panel."""
        x0, y0 = max(self.x0, 0.0), max(self.y0, 0.0)
        x1, y1 = min(self.x1, flat.length_mm), min(self.y1, flat.height_mm)
        shape = None if self.shape is None else _one(self.shape.intersection(box(x0, y0, x1, y1)))
        return replace(self, x0=x0, y0=y0, x1=x1, y1=y1, shape=shape)

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
        """The rectangle or shape stretched to one side of the panel, and ending there."""
        x0 = 0.0 if side == "front" else self.x0
        y0 = 0.0 if side == "lower" else self.y0
        x1 = flat.length_mm if side == "rear" else self.x1
        y1 = flat.height_mm if side == "upper" else self.y1
        shape = None if self.shape is None else _one(unary_union([self.shape, self._shadow(side, x0, y0, x1, y1)]))
        return replace(self, x0=x0, y0=y0, x1=x1, y1=y1, ends=self.ends | {side}, shape=shape)

    def _shadow(self, side: str, x0: float, y0: float, x1: float, y1: float) -> Polygon:
        """From the middle to the panel's side, as wide as the shape, so that nothing is left standing between."""
        x, y = self.middle
        return {
            "lower": box(x0, y0, x1, y), "upper": box(x0, y, x1, y1),
            "front": box(x0, y0, x, y1), "rear": box(x, y0, x1, y1),
        }[side]  # fmt: skip


def _one(shape: object) -> Polygon:
    """Give one polygon: parts that fell apart are joined by their hull, inner rings are cut out with the rest."""
    if isinstance(shape, MultiPolygon):
        return shape.convex_hull
    return Polygon(shape.exterior) if isinstance(shape, Polygon) else Polygon()


def flat_of(zone: Zone) -> Flat:
    """Lay a zone flat by its typical size; its edges are the first of lower, upper, front, rear."""
    return Flat(zone.size_mm[0], zone.size_mm[1], frozenset(SIDE_ORDER[: zone.edges]))
