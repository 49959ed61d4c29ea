"""Cut-outs round rust that was measured as an outline, and round mountings that a cut keeps off."""

from __future__ import annotations

import math

from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

from soundmetal.errors import RecordError
from soundmetal.record.models import Finding
from soundmetal.record.shopbook import Policies
from soundmetal.repair.flat import ARC_SEGMENTS, SIDE_ORDER, Box, Flat

_NEAR = 1e-6
#: Rounding four right angles by r takes this times r^2 off.
_CORNERS = 4 * (1 - math.pi / 4)
#: The inward corners round a mounting's circle are this part of the other corners' radius (own choice).
_INWARD = 0.25


def side_line(side: str, flat: Flat) -> LineString:
    """Give one side of the panel as a line."""
    right, top = flat.length_mm, flat.height_mm
    return {
        "lower": LineString([(0, 0), (right, 0)]), "upper": LineString([(0, top), (right, top)]),
        "front": LineString([(0, 0), (0, top)]), "rear": LineString([(right, 0), (right, top)]),
    }[side]  # fmt: skip


def measured(finding: Finding, flat: Flat) -> Box:
    """Give the rust inside its outline, as far as it lies on the panel. RecordError where none of it does."""
    shape = Polygon(finding.outline).intersection(box(0, 0, flat.length_mm, flat.height_mm))
    if not shape.area:
        raise RecordError(
            f"{finding.id}: the outline lies outside its zone ({flat.length_mm:g} x {flat.height_mm:g} mm)",
            todo="Measure from the zone's front lower corner.",
        )
    whole = shape if isinstance(shape, Polygon) else shape.convex_hull
    x0, y0, x1, y1 = whole.bounds
    return Box(x0, y0, x1, y1, (finding.id,), shape=Polygon(whole.exterior))


def rounded_shape(area: Box, flat: Flat, radius_mm: float) -> Polygon:
    """Round the corners of a measured shape, outward and inward ones; the radius gives way before the margin does."""
    beyond = [_beyond(area, side, flat, 2 * radius_mm) for side in SIDE_ORDER if area.room(side, flat) <= _NEAR]
    stretched = unary_union([area.polygon, *beyond])
    panel = box(0, 0, flat.length_mm, flat.height_mm)
    radius = radius_mm
    while radius > 1:
        opened = stretched.buffer(-radius, quad_segs=ARC_SEGMENTS).buffer(2 * radius, quad_segs=ARC_SEGMENTS)
        shape = opened.buffer(-radius, quad_segs=ARC_SEGMENTS).intersection(panel)
        if isinstance(shape, Polygon) and area.polygon.difference(shape).area <= _CORNERS * radius**2:
            return Polygon(shape.exterior)
        radius /= 2
    return area.polygon


def kept_off(shape: Polygon, area: Box, radius_mm: float) -> Polygon:
    """Leave the steel round a mounting standing; the cut goes round it without a sharp corner."""
    circles = [Point(x, y).buffer(r, quad_segs=ARC_SEGMENTS) for x, y, r in sorted(area.off)]
    if not any(shape.intersects(circle) for circle in circles):
        return shape
    inward = _INWARD * radius_mm
    rest = shape.difference(unary_union(circles))
    smooth = rest.buffer(-inward, quad_segs=ARC_SEGMENTS).buffer(inward, quad_segs=ARC_SEGMENTS)
    parts = [part for part in getattr(smooth, "geoms", [smooth]) if part.area > 0]
    best = max(parts, key=lambda part: (part.area, part.bounds)) if parts else shape
    return Polygon(best.exterior)


def mountings(
    findings: tuple[Finding, ...], rusts: tuple[Box, ...], policies: Policies
) -> frozenset[tuple[float, float, float]]:
    """Give circles round mountings whose place is written down and that no rust reaches into: rust comes first."""
    near = [f.mounting.at for f in findings if f.mounting is not None and f.mounting.at is not None]
    far = policies.mounting_clear
    return frozenset((x, y, far) for x, y in near if all(b.polygon.distance(Point(x, y)) >= far for b in rusts))


def _beyond(area: Box, side: str, flat: Flat, by_mm: float) -> Polygon:
    """Steel beyond the panel's side, where the shape reaches it, so that its corners there stay square."""
    run = area.polygon.intersection(side_line(side, flat))
    if run.is_empty:
        return Polygon()
    a, b, c, d = run.bounds
    left, down, right, up = {
        "front": (-by_mm, 0, 0, 0), "rear": (0, 0, by_mm, 0), "lower": (0, -by_mm, 0, 0), "upper": (0, 0, 0, by_mm),
    }[side]  # fmt: skip
    return box(a + left, b + down, c + right, d + up)
