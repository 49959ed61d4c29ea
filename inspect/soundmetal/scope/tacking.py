"""The tack plan of one opening: the lines where new metal meets old, tacks along them, and their order."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import LineString, MultiLineString, Point, Polygon
from shapely.geometry.polygon import orient
from shapely.ops import linemerge

from soundmetal.calc.tacks import tack_order, tack_places_mm, tack_stages
from soundmetal.repair.models import Cutout
from soundmetal.scope.models import TackPlan

Spot = tuple[float, float]
#: A run shorter than this is the corner of another line, mm.
_NEAR_MM = 0.01


def tack_plan(cut: Cutout, pitch_mm: float) -> TackPlan | None:
    """Plan the tacks of one opening, none further apart than `pitch_mm`; None where it has no butt seam.

    Seams that end at panel edges are open lines with a tack at both ends. The order jumps over all lines of the
    opening together, because the heat does not know them apart.
    """
    lines = seam_lines(cut)
    if not lines:
        return None
    spots: list[Spot] = []
    stages: list[list[int]] = []
    widest = 0.0
    for line in lines:
        closed = not cut.ends
        places = tack_places_mm(line.length, pitch_mm, closed)
        spacing = line.length / (len(places) if closed else len(places) - 1)
        widest = max(widest, spacing)
        _add(stages, tack_stages(len(places), spacing, closed), len(spots))
        spots += [_spot(line, place) for place in places]
    shown = tuple(tuple((round(x, 4), round(y, 4)) for x, y in line.coords) for line in lines)
    return TackPlan(shown, not cut.ends, tuple(spots), tack_order(spots, stages), widest)


def seam_lines(cut: Cutout) -> list[LineString]:
    """Give the lines of an opening that are butt welded: its outline without the panel edges that it goes out to.

    A closed line starts in the middle of the lower side and runs counter-clockwise; open ones stand from front to
    rear, lower end first.
    """
    ring = orient(cut.outline).exterior
    if not cut.ends:
        return [_from_below(cut.outline)]
    left = ring.difference(MultiLineString([_side(cut.outline, side) for side in cut.ends]))
    joined = left if isinstance(left, LineString) else linemerge(left)
    parts = [joined] if isinstance(joined, LineString) else list(joined.geoms)
    runs = [line for line in parts if line.length > _NEAR_MM]
    ordered = [line if line.coords[0][::-1] <= line.coords[-1][::-1] else line.reverse() for line in runs]
    return sorted(ordered, key=lambda line: line.bounds)


def _from_below(outline: Polygon) -> LineString:
    ring = list(orient(outline).exterior.coords)[:-1]
    x0, y0, x1, _ = outline.bounds
    whole = LineString([*ring, ring[0]])
    start = whole.project(Point((x0 + x1) / 2, y0))
    cuts = [whole.project(Point(one)) for one in ring]
    first = next((k for k, at in enumerate(cuts) if at > start), 0)
    middle = whole.interpolate(start).coords[0]
    turned = [*ring[first:], *ring[:first]]
    return LineString([middle, *(one for one in turned if one != middle), middle])


def _side(outline: Polygon, side: str) -> LineString:
    x0, y0, x1, y1 = outline.bounds
    return {
        "lower": LineString([(x0, y0), (x1, y0)]), "upper": LineString([(x0, y1), (x1, y1)]),
        "front": LineString([(x0, y0), (x0, y1)]), "rear": LineString([(x1, y0), (x1, y1)]),
    }[side]  # fmt: skip


def _spot(line: LineString, place_mm: float) -> Spot:
    at = line.interpolate(place_mm)
    return round(float(at.x), 4), round(float(at.y), 4)


def _add(stages: list[list[int]], more: Sequence[Sequence[int]], first: int) -> None:
    """Put the rounds of another line beside those there are: the last rounds, of the closest tacks, fall together."""
    while len(stages) < len(more):
        stages.insert(0, [])
    for stage, numbers in zip(stages[len(stages) - len(more) :], more, strict=True):
        stage += [first + n for n in numbers]
