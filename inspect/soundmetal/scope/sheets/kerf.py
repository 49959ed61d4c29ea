"""The cut's own width: the path beside the finished edge, and openings too small to be cut at all."""

from __future__ import annotations

import math

from shapely.geometry import Polygon

from soundmetal.errors import RecordError
from soundmetal.scope.sheets.contour import Contour, Vertex, contour_of

_SAME = 1e-6
_CHORD_DEG = 0.25


def beside(contour: Contour, by_mm: float) -> Contour:
    """Give the outline grown by a distance on every side, shrunk where it is below 0; square corners stay square.

    It runs counter-clockwise. Where arcs meet the next way without a kink, lines and arcs stay what they are; other
    outlines are set off as chords of a quarter degree and read again, good to 0.001 mm up to 400 mm radius.
    RecordError where nothing is left.

    >>> from soundmetal.scope.sheets.contour import circle, rounded_box
    >>> beside(rounded_box(100, 100), 0.75).bounds, beside(circle(0, 0, 10), -0.75).bounds
    ((-0.75, -0.75, 100.75, 100.75), (-4.25, -4.25, 4.25, 4.25))
    """
    if not by_mm:
        return contour
    exact = _exact(contour.running(clockwise=False), by_mm)
    return exact or _by_chords(contour, by_mm)


def _exact(contour: Contour, by_mm: float) -> Contour | None:
    """Every corner moved out; None where one is neither smooth nor between lines, or an arc would turn over."""
    ways = list(contour.ways)
    if any(_radius_after(a, b, by_mm) <= 0 for a, b in ways if a.bulge):
        return None
    moved: list[Vertex] = []
    for n, (here, following) in enumerate(ways):
        before = ways[n - 1][0]
        came, goes = _direction(before, here, end=True), _direction(here, following, end=False)
        smooth = abs(math.remainder(goes - came, math.tau)) < _SAME
        if not smooth and (before.bulge or here.bulge):
            return None
        if abs(math.remainder(goes - came, math.tau)) > math.pi - _SAME:
            return None
        moved.append(_moved(here, came, goes, by_mm))
    grown = Contour(tuple(moved))
    ring = Polygon(grown.ring(5))
    return grown if ring.is_valid and grown.area > 0 and _same_ways(contour, grown) else None


def _moved(here: Vertex, came: float, goes: float, by_mm: float) -> Vertex:
    """Move a corner of a counter-clockwise outline outward: to where the two moved ways meet."""
    out = [(math.sin(angle), -math.cos(angle)) for angle in (came, goes)]
    (ax, ay), (bx, by) = out
    share = by_mm / (1 + ax * bx + ay * by)
    return Vertex(here.x + share * (ax + bx), here.y + share * (ay + by), here.bulge)


def _same_ways(old: Contour, new: Contour) -> bool:
    """Whether every way still runs in its old direction; one that its corners have eaten runs back."""
    pairs = zip(old.ways, new.ways, strict=True)
    return all((b.x - a.x) * (d.x - c.x) + (b.y - a.y) * (d.y - c.y) > 0 for (a, b), (c, d) in pairs)


def _radius_after(a: Vertex, b: Vertex, by_mm: float) -> float:
    radius = math.dist(a[:2], b[:2]) * (1 + a.bulge**2) / (4 * abs(a.bulge))
    return radius + (by_mm if a.bulge > 0 else -by_mm)


def _direction(a: Vertex, b: Vertex, *, end: bool) -> float:
    """Direction of a way at its start or end."""
    half = 2 * math.atan(a.bulge)
    return math.atan2(b.y - a.y, b.x - a.x) + (half if end else -half)


def _by_chords(contour: Contour, by_mm: float) -> Contour:
    grown = Polygon(contour.ring(_CHORD_DEG)).buffer(by_mm, join_style="mitre")
    if not isinstance(grown, Polygon) or grown.is_empty:
        raise RecordError(f"an opening is narrower than the cut ({abs(by_mm) * 2:g} mm)", todo="Make it larger.")
    return contour_of(list(grown.exterior.coords)).running(clockwise=False)
