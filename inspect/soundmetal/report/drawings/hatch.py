"""Hatch lines cut to a shape: plain strokes, because patterns are slow or missing in PDF writers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from shapely.geometry import LineString, MultiLineString, Polygon

from soundmetal.grade.models import Level
from soundmetal.report.drawings.svg import Drawing, Point
from soundmetal.report.palette import LEVEL_FILL, LEVEL_HATCH

#: Hatch lines rise at 45 degrees, cross lines at 135.
ANGLES = (45.0, 135.0)
Stroke = tuple[Point, Point]


def strokes(shape: Polygon, step_mm: float, angle_deg: float) -> list[Stroke]:
    """Give the hatch lines of one direction inside a shape, on a grid common to the whole drawing.

    >>> square = Polygon([(0, 0), (10, 0), (10, 10), (0, 10)])
    >>> len(strokes(square, 5.0, 45.0))
    2
    """
    lines = MultiLineString(list(_sweep(shape, step_mm, angle_deg)))
    inside = shape.intersection(lines)
    parts = inside.geoms if hasattr(inside, "geoms") else (inside,)
    found = [tuple(part.coords) for part in parts if isinstance(part, LineString) and part.length > 0.05]
    return sorted(((a[0], a[1]), (b[0], b[1])) for a, b in found)


def _sweep(shape: Polygon, step_mm: float, angle_deg: float) -> Iterator[LineString]:
    x0, y0, x1, y1 = shape.bounds
    reach = math.hypot(x1 - x0, y1 - y0)
    along = (math.cos(math.radians(angle_deg)), -math.sin(math.radians(angle_deg)))
    across = (-along[1], along[0])
    corners = [x * across[0] + y * across[1] for x in (x0, x1) for y in (y0, y1)]
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    offset = middle[0] * along[0] + middle[1] * along[1]
    for k in range(math.ceil(min(corners) / step_mm), math.floor(max(corners) / step_mm) + 1):
        foot = (across[0] * k * step_mm + along[0] * offset, across[1] * k * step_mm + along[1] * offset)
        start = (foot[0] - along[0] * reach, foot[1] - along[1] * reach)
        end = (foot[0] + along[0] * reach, foot[1] + along[1] * reach)
        yield LineString([start, end])


def fill_level(drawing: Drawing, points: Sequence[Point], level: Level, *, scale: float = 1.0) -> None:
    """Fill a shape by its level: colour, then hatch. `scale` shrinks the hatch's step for small swatches."""
    drawing.polygon(points, fill=LEVEL_FILL[level])
    hatch = LEVEL_HATCH[level]
    if not hatch.step_mm:
        return
    shape = Polygon(points)
    for angle in ANGLES if hatch.crossed else ANGLES[:1]:
        lines = strokes(shape, hatch.step_mm * scale, angle)
        drawing.segments(lines, stroke=hatch.colour, stroke_width=0.12)
