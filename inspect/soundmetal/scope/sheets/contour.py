"""A closed outline of lines and true arcs, as a cutter follows it: corners, and how the way to the next one bulges.

The bulge is the tangent of a quarter of the arc's angle, above 0 where the arc runs counter-clockwise (the convention
of DXF, from memory); a straight way has bulge 0.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

Point = tuple[float, float]
Bounds = tuple[float, float, float, float]
#: A chord of a flattened arc turns by less than this at each corner; the cut-outs have 1.4 degrees.
_MOST_TURN = math.radians(12)
_LEAST_TURN = math.radians(0.02)
#: Corners of a flattened arc lie this near to it, in mm.
_NEAR_MM = 1e-4
#: So many chords in a row make an arc; fewer are what they seem.
_LEAST_CHORDS = 4
_SAME_MM = 1e-7


class Vertex(NamedTuple):
    """A corner, and the bulge of the way to the next one."""

    x: float
    y: float
    bulge: float = 0.0


def bulge_of(angle_deg: float) -> float:
    """Give the bulge of an arc that turns by that angle [degrees], under 360.

    >>> round(bulge_of(90), 6), round(bulge_of(180), 6)
    (0.414214, 1.0)
    """
    return math.tan(math.radians(angle_deg) / 4)


@dataclass(frozen=True)
class Contour:
    """A closed outline; coordinates in mm unless it was scaled. `area` is above 0 where it runs counter-clockwise."""

    vertices: tuple[Vertex, ...]

    @property
    def ways(self) -> Iterator[tuple[Vertex, Vertex]]:
        """Each corner with the next one."""
        return zip(self.vertices, self.vertices[1:] + self.vertices[:1], strict=True)

    @property
    def area(self) -> float:
        """Area inside, signed."""
        return sum((a.x * b.y - b.x * a.y) / 2 + _segment_area(a, b) for a, b in self.ways)

    @property
    def length(self) -> float:
        """Length of the way round."""
        return sum(_way_length(a, b) for a, b in self.ways)

    @property
    def bounds(self) -> Bounds:
        """Left, lower, right and upper end; arcs count with their bellies."""
        points = [p for a, b in self.ways for p in ((a.x, a.y), *_belly(a, b))]
        return (
            min(x for x, _ in points), min(y for _, y in points),
            max(x for x, _ in points), max(y for _, y in points),
        )  # fmt: skip

    def moved(self, dx: float, dy: float) -> Contour:
        """Give it shifted."""
        return Contour(tuple(Vertex(v.x + dx, v.y + dy, v.bulge) for v in self.vertices))

    def turned(self) -> Contour:
        """Give it turned by 90 degrees counter-clockwise about 0,0."""
        return Contour(tuple(Vertex(-v.y, v.x, v.bulge) for v in self.vertices))

    def mirrored(self) -> Contour:
        """Give it mirrored left to right about 0,0; it then runs the other way round."""
        return Contour(tuple(Vertex(-v.x, v.y, -v.bulge) for v in self.vertices))

    def scaled(self, factor: float) -> Contour:
        """Give it larger or smaller; arcs keep their angle."""
        return Contour(tuple(Vertex(v.x * factor, v.y * factor, v.bulge) for v in self.vertices))

    def running(self, *, clockwise: bool) -> Contour:
        """Give it run through in that direction."""
        if (self.area < 0) is clockwise:
            return self
        back = self.vertices[::-1]
        bulges = [-v.bulge for v in (*back[1:], back[0])]
        return Contour(tuple(Vertex(v.x, v.y, b) for v, b in zip(back, bulges, strict=True)))

    def ring(self, chord_turn_deg: float = 1.0) -> tuple[Point, ...]:
        """Give corners with the arcs flattened into chords that turn by no more than that."""
        return tuple(p for a, b in self.ways for p in ((a.x, a.y), *_along(a, b, math.radians(chord_turn_deg))))


def rounded_box(width: float, height: float, radius: float = 0.0) -> Contour:
    """Give a rectangle from 0,0 with round corners, counter-clockwise.

    >>> round(rounded_box(100, 100, 10).area, 3), round(rounded_box(100, 100, 10).length, 3)
    (9914.159, 382.832)
    """
    r = min(radius, width / 2, height / 2)
    if r <= 0:
        return Contour(tuple(Vertex(x, y) for x, y in ((0, 0), (width, 0), (width, height), (0, height))))
    b = bulge_of(90)
    ways = (
        Vertex(r, 0), Vertex(width - r, 0, b), Vertex(width, r), Vertex(width, height - r, b),
        Vertex(width - r, height), Vertex(r, height, b), Vertex(0, height - r), Vertex(0, r, b),
    )  # fmt: skip
    return _without_doubles(ways)


def circle(x: float, y: float, diameter: float) -> Contour:
    """Give a full circle as two arcs, counter-clockwise."""
    return Contour((Vertex(x - diameter / 2, y, 1.0), Vertex(x + diameter / 2, y, 1.0)))


def contour_of(points: Sequence[Point]) -> Contour:
    """Read an outline from corners (the last may repeat the first); rows of short chords on one circle become arcs.

    A corner within 0.1 um of the one before, or on the line between its neighbours, is left out. ValueError for fewer
    than three corners.
    """
    corners = _plain_corners(points)
    if len(corners) < 3:
        raise ValueError("an outline needs three corners that are not in one line")
    start = _after_longest(corners)
    corners = corners[start:] + corners[:start]
    whole = _whole_circle(corners)
    return whole or Contour(tuple(_arcs([*corners, corners[0]])))


def _without_doubles(ways: Sequence[Vertex]) -> Contour:
    """Leave out corners that a straight way of no length follows."""
    following = [*ways[1:], ways[0]]
    kept = [a for a, b in zip(ways, following, strict=True) if a.bulge or math.dist(a[:2], b[:2]) > _SAME_MM]
    return Contour(tuple(kept))


def _plain_corners(points: Sequence[Point]) -> list[Point]:
    apart: list[Point] = []
    for x, y, *_ in points:
        if not apart or math.dist(apart[-1], (x, y)) > _SAME_MM:
            apart.append((float(x), float(y)))
    while len(apart) > 1 and math.dist(apart[0], apart[-1]) <= _SAME_MM:
        apart.pop()
    count = len(apart)
    return [p for n, p in enumerate(apart) if abs(_turn(apart[n - 1], p, apart[(n + 1) % count])) > 1e-7]


def _after_longest(corners: Sequence[Point]) -> int:
    """Index of the corner where the longest straight way ends, so that no arc is cut in two by the start."""
    count = len(corners)
    longest = max(range(count), key=lambda n: (round(math.dist(corners[n], corners[(n + 1) % count]), 6), -n))
    return (longest + 1) % count


def _whole_circle(corners: Sequence[Point]) -> Contour | None:
    """The circle that all corners lie on, as one outline; None where they do not."""
    if len(corners) < 360 / math.degrees(_MOST_TURN):
        return None
    third = len(corners) // 3
    found = _circle(corners[0], corners[third], corners[2 * third])
    sides = [math.dist(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)]
    if found is None or any(abs(math.dist(found[0], p) - found[1]) > _NEAR_MM for p in corners):
        return None
    if max(sides) > 2 * found[1] * math.sin(_MOST_TURN / 2):
        return None
    (x, y), radius = found
    return circle(x, y, 2 * radius)


def _arcs(closed: Sequence[Point]) -> Iterator[Vertex]:
    """Walk the corners; a row of chords on one circle becomes one arc."""
    n, last = 0, len(closed) - 1
    while n < last:
        end = _arc_end(closed, n)
        if end - n < _LEAST_CHORDS:
            yield Vertex(*closed[n])
            n += 1
            continue
        yield Vertex(*closed[n], _bulge(closed, n, end))
        n = end


def _arc_end(closed: Sequence[Point], n: int) -> int:
    """Index of the corner up to which the corners from `n` on lie on one circle; `n` + 1 where there is none."""
    if n + 2 >= len(closed):
        return n + 1
    turn = _turn(*closed[n : n + 3])
    found = _circle(*closed[n : n + 3])
    if found is None or not _LEAST_TURN < abs(turn) < _MOST_TURN:
        return n + 1
    centre, radius = found
    end = n + 2
    while end + 1 < len(closed):
        bend = _turn(closed[end - 1], closed[end], closed[end + 1])
        on = abs(math.dist(centre, closed[end + 1]) - radius) <= _NEAR_MM
        if not (on and bend * turn > 0 and abs(bend) < _MOST_TURN):
            break
        end += 1
    return end


def _bulge(closed: Sequence[Point], n: int, end: int) -> float:
    """Bulge from `n` to `end`, by the height of the arc's middle over its chord."""
    middle = _circle(closed[n], closed[(n + end) // 2], closed[end])
    if middle is None:
        return 0.0
    radius = middle[1]
    ways = [math.dist(closed[k], closed[k + 1]) for k in range(n, end)]
    angle = sum(2 * math.asin(min(1.0, way / (2 * radius))) for way in ways)
    return math.copysign(math.tan(angle / 4), _turn(*closed[n : n + 3]))


def _turn(a: Point, b: Point, c: Point) -> float:
    """Angle by which the way a, b, c turns at b, counter-clockwise above 0."""
    first = math.atan2(b[1] - a[1], b[0] - a[0])
    second = math.atan2(c[1] - b[1], c[0] - b[0])
    return (second - first + math.pi) % math.tau - math.pi


def _circle(a: Point, b: Point, c: Point) -> tuple[Point, float] | None:
    """Centre and radius of the circle through three points; None where they lie in one line."""
    (bx, by), (cx, cy) = (b[0] - a[0], b[1] - a[1]), (c[0] - a[0], c[1] - a[1])
    twice = 2 * (bx * cy - by * cx)
    if abs(twice) < 1e-12:
        return None
    x = (cy * (bx * bx + by * by) - by * (cx * cx + cy * cy)) / twice
    y = (bx * (cx * cx + cy * cy) - cx * (bx * bx + by * by)) / twice
    return (a[0] + x, a[1] + y), math.hypot(x, y)


def _radius(a: Vertex, b: Vertex) -> float:
    return math.dist(a[:2], b[:2]) * (1 + a.bulge**2) / (4 * abs(a.bulge))


def _segment_area(a: Vertex, b: Vertex) -> float:
    """Area between a chord and its arc, signed like the bulge."""
    if not a.bulge:
        return 0.0
    angle = 4 * math.atan(a.bulge)
    return _radius(a, b) ** 2 * (angle - math.sin(angle)) / 2


def _way_length(a: Vertex, b: Vertex) -> float:
    return _radius(a, b) * 4 * abs(math.atan(a.bulge)) if a.bulge else math.dist(a[:2], b[:2])


def _centre(a: Vertex, b: Vertex) -> Point:
    """Centre of an arc: half the chord, and from its middle to the left by what the bulge says."""
    aside = (1 - a.bulge**2) / (4 * a.bulge)
    dx, dy = b.x - a.x, b.y - a.y
    return (a.x + b.x) / 2 - dy * aside, (a.y + b.y) / 2 + dx * aside


def _belly(a: Vertex, b: Vertex) -> Iterator[Point]:
    """The points of an arc that lie farthest right, up, left and down, where it reaches them."""
    if not a.bulge:
        return
    (cx, cy), radius, angle = _centre(a, b), _radius(a, b), 4 * math.atan(a.bulge)
    start = math.atan2(a.y - cy, a.x - cx)
    for quarter, (dx, dy) in enumerate(((1, 0), (0, 1), (-1, 0), (0, -1))):
        gone = (quarter * math.pi / 2 - start) * math.copysign(1, angle) % math.tau
        if gone <= abs(angle):
            yield cx + dx * radius, cy + dy * radius


def _along(a: Vertex, b: Vertex, turn: float) -> Iterator[Point]:
    """Points between the ends of an arc."""
    if not a.bulge:
        return
    (cx, cy), radius, angle = _centre(a, b), _radius(a, b), 4 * math.atan(a.bulge)
    start = math.atan2(a.y - cy, a.x - cx)
    steps = max(1, math.ceil(abs(angle) / turn))
    for k in range(1, steps):
        at = start + angle * k / steps
        yield cx + radius * math.cos(at), cy + radius * math.sin(at)
