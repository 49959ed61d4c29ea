"""Flanges of 90 degrees on one to four sides of a flat piece, with corners open and relieved where two meet.

The opening's size is an outside size, so is the flange; so the strip beyond the opening's edge is the flange less the
deduction, and the bend line lies half the deduction inside that edge.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely.geometry import MultiPolygon, Point, Polygon, box
from shapely.ops import unary_union

from soundmetal.calc.profile import fold_up, lay_flat
from soundmetal.repair.bending import Bending
from soundmetal.repair.flat import ARC_SEGMENTS, SIDE_ORDER
from soundmetal.scope.models import BendLine
from soundmetal.scope.patterns.flat import Flat, Line, end_line, strip

_NEAR = 1e-6
_UP, _ACROSS = ("lower", "upper"), ("front", "rear")
#: Neutral line and outside legs.
Folded = tuple[tuple[tuple[float, float], ...], tuple[float, ...]]


def flanged(opening: Polygon, sides: Sequence[str], flange_mm: float, bending: Bending, *, up: bool) -> Flat:
    """Give the flat piece of an opening with a flange on some of its sides.

    >>> from soundmetal.repair.bending import Bending
    >>> flat = flanged(box(0, 0, 200, 100), ("lower",), 15, Bending(1.0, 1.0, "tested", 10), up=False)
    >>> [round(v, 2) for v in flat.outline.bounds], round(flat.bends[0].start[1], 2)
    ([0.0, -13.43, 200.0, 100.0], 0.79)
    """
    sides = [side for side in SIDE_ORDER if side in sides]
    if not sides:
        return Flat(opening)
    reach = flange_mm - bending.deduction_mm(90)
    lines = {side: end_line(opening, side) for side in sides}
    whole = unary_union([opening, *(strip(line, side, reach) for side, line in lines.items())])
    corners = list(_corners(opening, lines, bending))
    cut = whole.difference(unary_union([shape for _, shape in corners])) if corners else whole
    outline = cut if isinstance(cut, Polygon) else max(_parts(cut), key=lambda part: part.area)
    trimmed = {side for pair, _ in corners for side in pair}
    back = bending.setback_mm(90)
    bends = tuple(
        _bend(line, side, bending, up, _trims(side, trimmed, corners, back)) for side, line in lines.items()
    )
    ways = [pair for pair in (_UP, _ACROSS) if set(pair) & set(sides)]
    bent = [_folded(opening, pair, sides, flange_mm, bending, up) for pair in ways]
    (section, legs), (across, across_legs) = [*bent, ((), ())][:2]
    return Flat(outline, "flanged", bends, section, legs, bool(corners), across, across_legs)


def _folded(
    opening: Polygon, pair: tuple[str, str], sides: Sequence[str], flange_mm: float, bending: Bending, up: bool
) -> Folded:
    """The piece seen from its end once it is bent, from one side of a pair to the other."""
    x0, y0, x1, y1 = opening.bounds
    middle = y1 - y0 if pair == _UP else x1 - x0
    first, last = ((flange_mm,) if side in sides else () for side in pair)
    legs = (*first, middle, *last)
    folds = [bending.fold(90, None, up=up)] * (len(legs) - 1)
    try:
        return fold_up(lay_flat(legs, folds, bending.thickness_mm)), legs
    except ValueError:
        # A flange that its own bend uses up has a note of its own; there is nothing to draw.
        return (), ()


def _corners(opening: Polygon, lines: dict[str, Line], bending: Bending) -> Iterator[tuple[frozenset[str], Polygon]]:
    """What is taken out where two flanges meet: the square that neither can use, and a round relief at its inside."""
    x0, y0, x1, y1 = opening.bounds
    back = bending.setback_mm(90)
    for down, inward_y, y in (("lower", back, y0), ("upper", -back, y1)):
        for across, inward_x, x in (("front", back, x0), ("rear", -back, x1)):
            meets = down in lines and across in lines and opening.exterior.distance(Point(x, y)) < _NEAR
            if meets:
                inside = (x + inward_x, y + inward_y)
                square = box(min(x, inside[0]), min(y, inside[1]), max(x, inside[0]), max(y, inside[1]))
                relief = Point(inside).buffer(bending.relief_mm / 2, quad_segs=ARC_SEGMENTS)
                yield frozenset((down, across)), _with_strips(square, relief, down, across, back)


def _with_strips(square: Polygon, relief: Polygon, down: str, across: str, back: float) -> Polygon:
    """The square goes on outward through both flanges, which end where the other one's bend begins."""
    x0, y0, x1, y1 = square.bounds
    far = 1000 * back
    wide = box(x0 - (far if across == "front" else 0), y0, x1 + (far if across == "rear" else 0), y1)
    tall = box(x0, y0 - (far if down == "lower" else 0), x1, y1 + (far if down == "upper" else 0))
    return unary_union([wide, tall, relief])


def _trims(
    side: str, trimmed: set[str], corners: Sequence[tuple[frozenset[str], Polygon]], back: float
) -> tuple[float, float]:
    """How much a bend line is shorter at its first and last end, for the flange beside it."""
    if side not in trimmed:
        return 0.0, 0.0
    first, last = ("lower", "upper") if side in _ACROSS else ("front", "rear")
    pairs = {pair for pair, _ in corners}
    return tuple(back if frozenset((side, other)) in pairs else 0.0 for other in (first, last))  # type: ignore[return-value]


def _bend(line: Line, side: str, bending: Bending, up: bool, trims: tuple[float, float]) -> BendLine:
    (a, b), (c, d) = line
    inward = bending.deduction_mm(90) / 2 * (1 if side in ("front", "lower") else -1)
    if side in _ACROSS:
        start, end = (a + inward, b + trims[0]), (c + inward, d - trims[1])
    else:
        start, end = (a + trims[0], b + inward), (c - trims[1], d + inward)
    return BendLine(start, end, 90.0, bending.radius_mm, up)


def _parts(shape: object) -> list[Polygon]:
    return [part for part in shape.geoms if isinstance(part, Polygon)] if isinstance(shape, MultiPolygon) else []
