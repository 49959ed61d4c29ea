"""The flat piece as the cutter needs it: outline, openings, bend and bead lines, centre marks; corner at 0,0, mm.

It lies as it is seen on the car, its lower side at the bottom: its front at the left, on the right-hand side of the
car at the right. So the face that is seen on the drawing is the face that is seen on the car, and bends go up or down
from it on both sides alike.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from shapely.geometry import LineString, Polygon, box
from shapely.ops import unary_union
from shapely.validation import explain_validity

from soundmetal.errors import RecordError
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.contour import Contour, Point, contour_of, rounded_box
from soundmetal.scope.sheets.kerf import beside
from soundmetal.scope.sheets.settings import Cutting

Line = tuple[Point, Point]


@dataclass(frozen=True)
class Mark:
    """The middle of a hole that is too small to cut, and the diameter to drill."""

    x: float
    y: float
    diameter_mm: float


@dataclass(frozen=True)
class Pattern:
    """A flat piece. `outside` runs clockwise and `inside` counter-clockwise: the square side of a plasma cut lies on
    the right of its travel (course and cutter's manual, read). `front` points to the panel's front.
    """

    outside: Contour
    inside: tuple[Contour, ...] = ()
    bends: tuple[Line, ...] = ()
    beads: tuple[Line, ...] = ()
    marks: tuple[Mark, ...] = ()
    front: Point = (-1.0, 0.0)

    @property
    def size_mm(self) -> Point:
        """Width and height of the box round it."""
        x0, y0, x1, y1 = self.outside.bounds
        return x1 - x0, y1 - y0

    @property
    def area_mm2(self) -> float:
        """Area of steel, openings off; holes that are drilled later are still steel."""
        return abs(self.outside.area) - sum(abs(one.area) for one in self.inside)

    def moved(self, dx: float, dy: float) -> Pattern:
        """Give it shifted."""
        return Pattern(
            self.outside.moved(dx, dy),
            tuple(one.moved(dx, dy) for one in self.inside),
            tuple(_line(line, lambda x, y: (x + dx, y + dy)) for line in self.bends),
            tuple(_line(line, lambda x, y: (x + dx, y + dy)) for line in self.beads),
            tuple(replace(mark, x=mark.x + dx, y=mark.y + dy) for mark in self.marks),
            self.front,
        )

    def turned(self) -> Pattern:
        """Give it turned by 90 degrees counter-clockwise, its corner back at 0,0."""
        height = self.size_mm[1]
        return Pattern(
            self.outside.turned(),
            tuple(one.turned() for one in self.inside),
            tuple(_line(line, lambda x, y: (-y, x)) for line in self.bends),
            tuple(_line(line, lambda x, y: (-y, x)) for line in self.beads),
            tuple(replace(mark, x=-mark.y, y=mark.x) for mark in self.marks),
            (-self.front[1], self.front[0]),
        ).moved(height, 0.0)

    def mirrored(self) -> Pattern:
        """Give it as on the other side of the car: left to right, its corner at 0,0; cuts run the same way round.

        Bends keep their order and their directions: it is still the same face that is seen.
        """
        width = self.size_mm[0]
        return Pattern(
            self.outside.mirrored().running(clockwise=True),
            tuple(one.mirrored().running(clockwise=False) for one in self.inside),
            tuple(_line(line, lambda x, y: (-x, y)) for line in self.bends),
            tuple(_line(line, lambda x, y: (-x, y)) for line in self.beads),
            tuple(replace(mark, x=-mark.x) for mark in self.marks),
            (-self.front[0], self.front[1]),
        ).moved(width, 0.0)

    def paths(self, cutting: Cutting) -> Pattern:
        """Give what the machine is to follow: set off by half a kerf where the settings ask for it."""
        half = cutting.kerf_mm / 2 if cutting.compensate else 0.0
        return replace(
            self,
            outside=beside(self.outside, half).running(clockwise=True),
            inside=tuple(beside(one, -half).running(clockwise=False) for one in self.inside),
        )


def pattern_of(blank: Blank, cutting: Cutting) -> Pattern:
    """Lay a blank flat as it is seen on the car: outline with every allowance, openings, those too small as marks.

    RecordError names the findings where an outline crosses itself or falls into pieces.
    """
    opening = _polygon(blank)
    flat = Polygon(blank.flat_mm) if blank.flat_mm else _polygon_only(_grown(opening, blank), blank)
    x0, y0 = flat.bounds[:2]
    found = [contour_of(points) for points in (*(list(ring.coords) for ring in flat.interiors), *blank.openings_mm)]
    least = cutting.least_hole.least_mm(cutting.kerf_mm, blank.thickness_mm)
    whole = Pattern(
        contour_of(list(flat.exterior.coords)).running(clockwise=True),
        tuple(one.running(clockwise=False) for one in found if _least_side(one) >= least),
        _bends(blank, opening),
        blank.beads_mm,
        tuple(_mark(one) for one in found if _least_side(one) < least),
    )
    _openings_lie_inside(whole, blank)
    laid = whole.moved(-x0, -y0)
    return laid.mirrored() if blank.front_right else laid


def _polygon(blank: Blank) -> Polygon:
    """The opening's outline; without one, the box of the blank with its round corners."""
    if not blank.outline_mm:
        return Polygon(rounded_box(blank.width_mm, blank.height_mm, blank.corner_radius_mm).ring())
    if len(blank.outline_mm) < 3:
        raise _wrong(blank, "has an outline of fewer than three corners")
    shape = Polygon(blank.outline_mm)
    if not shape.is_valid or shape.area <= 0:
        raise _wrong(blank, f"has an outline that cannot be cut ({explain_validity(shape)} mm)")
    return shape


def _grown(opening: Polygon, blank: Blank) -> Polygon:
    """The opening with the allowance added: all round, or a strip on each side that has one.

    Corners between two strips stay open, so that two flanges can be bent beside each other.
    """
    bare = set(blank.grown) - set(blank.bent)
    if bare and len(blank.grown) == 4:
        return Polygon(beside(contour_of(list(opening.exterior.coords)), blank.allowance_mm).ring())
    return unary_union([opening, *(_strip(opening, side, blank.allowance_mm) for side in blank.grown)])


def _bend_line(opening: Polygon, side: str) -> Line:
    """Where the opening ends at one side, from end to end."""
    x0, y0, x1, y1 = opening.bounds
    edge = {
        "front": ((x0, y0), (x0, y1)), "rear": ((x1, y0), (x1, y1)),
        "lower": ((x0, y0), (x1, y0)), "upper": ((x0, y1), (x1, y1)),
    }[side]  # fmt: skip
    along = opening.exterior.intersection(LineString(edge))
    a, b, c, d = along.bounds if along.length > 0 else LineString(edge).bounds
    return (a, b), (c, d)


def _bends(blank: Blank, opening: Polygon) -> tuple[Line, ...]:
    """Bend lines in the order of the blank's own; where it has only sides that are bent, the ends of the opening."""
    if blank.flat_mm:
        return tuple((bend.start, bend.end) for bend in blank.bend_lines)
    return tuple(_bend_line(opening, side) for side in blank.bent)


def _strip(opening: Polygon, side: str, by_mm: float) -> Polygon:
    (a, b), (c, d) = _bend_line(opening, side)
    return {
        "front": box(a - by_mm, b, c, d), "rear": box(a, b, c + by_mm, d),
        "lower": box(a, b - by_mm, c, d), "upper": box(a, b, c, d + by_mm),
    }[side]  # fmt: skip


def _polygon_only(shape: object, blank: Blank) -> Polygon:
    if not isinstance(shape, Polygon):
        raise _wrong(blank, "falls into pieces")
    return shape


def _openings_lie_inside(pattern: Pattern, blank: Blank) -> None:
    ring = Polygon(pattern.outside.ring())
    if not all(ring.contains(Polygon(one.ring())) for one in pattern.inside):
        raise _wrong(blank, "has an opening that is not inside its outline")
    if any(not box(*ring.bounds).contains(box(m.x, m.y, m.x, m.y)) for m in pattern.marks):
        raise _wrong(blank, "has a hole that is not inside its outline")


def _least_side(contour: Contour) -> float:
    x0, y0, x1, y1 = contour.bounds
    return min(x1 - x0, y1 - y0)


def _mark(contour: Contour) -> Mark:
    x0, y0, x1, y1 = contour.bounds
    return Mark((x0 + x1) / 2, (y0 + y1) / 2, _least_side(contour))


def _line(line: Line, at: Callable[[float, float], Point]) -> Line:
    (a, b), (c, d) = line
    return at(a, b), at(c, d)


def _wrong(blank: Blank, what: str) -> RecordError:
    ids = ", ".join(blank.findings)
    return RecordError(f"{ids}: the blank {blank.id} {what}", todo="Correct the size or outline of the finding.")
