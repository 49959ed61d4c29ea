"""Call-outs drawn over a photograph: thin black on white, so that they read on any picture and in black and white."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from soundmetal.record.models import CallOut
from soundmetal.record.terms import MarkKind

_Point = tuple[float, float]
#: Line width in parts of the picture's longer side: 4 px on a copy of 1600 px.
_LINE: Final = 1 / 400
_CASING: Final = 2.4
_BADGE: Final = 7.0
_HEAD: Final = 7.0
_BLACK: Final = "#000000"
_WHITE: Final = "#ffffff"


def overlay_svg(
    marks: Sequence[CallOut],
    width: int,
    height: int,
    number_of_first: int = 1,
    *,
    text_of: Callable[[CallOut], str] = lambda mark: mark.text,
    title: str = "",
    pen: float = 1.0,
) -> str:
    """Draw the marks as one SVG of the copy's size, numbered from `number_of_first`.

    Width and height in pixels of the upright copy. `text_of` gives the words beside the number, so that a caller may
    add a length in the reader's units; `title` is read aloud. `pen` makes lines and figures larger, for a picture
    that is set small. All text is escaped. No marks give an empty string, and
    covers are not drawn: they are in the copy's pixels.

    >>> overlay_svg([], 1600, 1200)
    ''
    >>> mark = CallOut(kind="point", points=((0.5, 0.5),), text="a < b")
    >>> "a &lt; b" in overlay_svg([mark], 1600, 1200)
    True
    """
    marks = [mark for mark in marks if mark.kind is not MarkKind.COVER]
    if not marks:
        return ""
    hand = _Pen(width, height, pen)
    drawn = "".join(
        hand.mark(mark, number, _clean(text_of(mark))) for number, mark in enumerate(marks, start=number_of_first)
    )
    label = f" aria-label={quoteattr(_clean(title))}" if title else ' aria-hidden="true"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="call-outs" viewBox="0 0 {width} {height}" '
        f'role="img"{label}>{drawn}</svg>'
    )


def _clean(text: str) -> str:
    """Drop what XML cannot hold."""
    return "".join(c for c in text if c.isprintable())


class _Pen:
    """Knows the picture's size and draws every shape twice: a wide white casing, then the black line."""

    def __init__(self, width: int, height: int, pen: float = 1.0) -> None:
        self.width, self.height = width, height
        self.line = max(width, height) * _LINE * pen

    def mark(self, mark: CallOut, number: int, words: str) -> str:
        """Draw one call-out: its shape, its number, its words."""
        points = [(x * self.width, y * self.height) for x, y in mark.points]
        shape, anchor = self._shape(mark, points)
        return f'<g class="call-out">{self._cased(shape)}{self._label(anchor, number, words)}</g>'

    def _shape(self, mark: CallOut, points: list[_Point]) -> tuple[str, _Point]:
        """Give the shape as path data, and where its number stands."""
        first, last = points[0], points[-1]
        if mark.kind is MarkKind.POINT:
            return _circle(first, 2 * self.line), _moved(first, 9 * self.line)
        if mark.kind is MarkKind.CIRCLE:
            radius = (mark.radius or 0.0) * self.width
            return _circle(first, radius), self._above((first[0], first[1] - radius))
        if mark.kind is MarkKind.BOX:
            (left, top), (right, bottom) = _corners(first, last)
            return _path([(left, top), (right, top), (right, bottom), (left, bottom)], closed=True), self._above(
                (right, top)
            )
        if mark.kind is MarkKind.ARROW:
            return _path(points) + self._head(first, last), first
        if mark.kind is MarkKind.LINE:
            return _path(points) + self._tick(first, last) + self._tick(last, first), self._above(
                _middle(first, last)
            )
        return _path(points, closed=True), self._above(min(points, key=lambda point: (point[1], point[0])))

    def _above(self, point: _Point) -> _Point:
        """Stand clear of a shape, so that the words do not cross its line."""
        return point[0], point[1] - 1.4 * _BADGE * self.line

    def _head(self, tail: _Point, tip: _Point) -> str:
        """Draw the two strokes of an arrow's head."""
        angle = math.atan2(tip[1] - tail[1], tip[0] - tail[0])
        ends = [_polar(tip, angle + turn, _HEAD * self.line) for turn in (math.radians(150), math.radians(-150))]
        return _path([ends[0], tip, ends[1]])

    def _tick(self, end: _Point, other: _Point) -> str:
        """Draw the short stroke across the end of a measured line."""
        across = math.atan2(other[1] - end[1], other[0] - end[0]) + math.pi / 2
        half = 4 * self.line
        return _path([_polar(end, across, half), _polar(end, across + math.pi, half)])

    def _cased(self, data: str) -> str:
        common = 'fill="none" stroke-linecap="round" stroke-linejoin="round"'
        return "".join(
            f'<path d="{data}" {common} stroke="{colour}" stroke-width="{width:.1f}"/>'
            for colour, width in ((_WHITE, self.line * _CASING), (_BLACK, self.line))
        )

    def _label(self, anchor: _Point, number: int, words: str) -> str:
        """Draw the number in a ring, inside the picture, and the words on the side that has more room."""
        radius = _BADGE * self.line
        x, y = _within(anchor[0], radius, self.width), _within(anchor[1], radius, self.height)
        ring = (
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="{_WHITE}" stroke="{_BLACK}" '
            f'stroke-width="{self.line * 0.7:.1f}"/>'
        )
        baseline = y + radius * 0.4
        digits = self._text((x, baseline), str(number), "middle", radius * 1.15, weight=' font-weight="700"')
        if not words:
            return ring + digits
        left_half = x < self.width / 2
        start = x + radius * 1.5 if left_half else x - radius * 1.5
        return ring + digits + self._haloed((start, baseline), words, "start" if left_half else "end", radius * 1.1)

    def _haloed(self, at: _Point, words: str, side: str, size: float) -> str:
        halo = f' stroke="{_WHITE}" stroke-width="{size * 0.3:.1f}" stroke-linejoin="round"'
        return self._text(at, words, side, size, weight=halo) + self._text(at, words, side, size)

    def _text(self, at: _Point, words: str, side: str, size: float, weight: str = "") -> str:
        return (
            f'<text x="{at[0]:.1f}" y="{at[1]:.1f}" text-anchor="{side}" font-size="{size:.1f}" '
            f'fill="{_BLACK}"{weight}>{escape(words)}</text>'
        )


def _path(points: Iterable[_Point], *, closed: bool = False) -> str:
    joined = " L".join(f"{x:.1f},{y:.1f}" for x, y in points)
    return f"M{joined}{' Z' if closed else ''} "


def _circle(centre: _Point, radius: float) -> str:
    x, y = centre
    arc = f"A{radius:.1f},{radius:.1f} 0 1 1"
    return f"M{x - radius:.1f},{y:.1f} {arc} {x + radius:.1f},{y:.1f} {arc} {x - radius:.1f},{y:.1f} Z "


def _corners(one: _Point, other: _Point) -> tuple[_Point, _Point]:
    return (min(one[0], other[0]), min(one[1], other[1])), (max(one[0], other[0]), max(one[1], other[1]))


def _moved(point: _Point, step: float) -> _Point:
    """Go up and to the right."""
    return point[0] + step, point[1] - step


def _middle(one: _Point, other: _Point) -> _Point:
    return (one[0] + other[0]) / 2, (one[1] + other[1]) / 2


def _polar(start: _Point, angle_rad: float, distance: float) -> _Point:
    return start[0] + distance * math.cos(angle_rad), start[1] + distance * math.sin(angle_rad)


def _within(value: float, margin: float, size: float) -> float:
    """Keep a label inside the picture; the mark itself stays where it is."""
    return min(max(value, margin), max(margin, size - margin))
