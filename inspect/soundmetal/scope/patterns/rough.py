"""Rough blanks for shapes that curve both ways: nobody can lay those flat, so steel is left on and trimmed after."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from soundmetal.scope.patterns.flat import Flat, end_line, strip
from soundmetal.scope.sheets.contour import contour_of
from soundmetal.scope.sheets.kerf import beside


def rough(opening: Polygon, sides: Sequence[str], flange_mm: float, more_mm: float) -> Flat:
    """Give the opening with its flanges still flat, and steel to hold and stretch on every side [mm]."""
    strips = [strip(end_line(opening, side), side, flange_mm) for side in sides]
    whole = unary_union([opening, *strips])
    outline = whole if isinstance(whole, Polygon) else whole.convex_hull
    return Flat(Polygon(beside(contour_of(list(outline.exterior.coords)), more_mm).ring()), "rough")


def lapped(opening: Polygon, ends: Sequence[str], by_mm: float) -> Polygon:
    """Give the opening grown over the old metal on every side that does not end at a flange [mm]."""
    x0, y0, x1, y1 = opening.bounds
    grown = Polygon(beside(contour_of(list(opening.exterior.coords)), by_mm).ring())
    limit = box(
        x0 - (0 if "front" in ends else by_mm), y0 - (0 if "lower" in ends else by_mm),
        x1 + (0 if "rear" in ends else by_mm), y1 + (0 if "upper" in ends else by_mm),
    )  # fmt: skip
    return grown.intersection(limit)
