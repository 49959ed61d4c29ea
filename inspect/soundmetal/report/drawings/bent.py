"""A bent piece seen from its end: its line, every leg with its outside size, every bend with its letter."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from soundmetal.report.drawings.dimension import SMALL_MM, Both, Field, scale_for
from soundmetal.report.drawings.svg import Drawing, Point
from soundmetal.report.language import Language
from soundmetal.report.palette import INK, QUIET
from soundmetal.scope.models import Blank

#: The bent piece under the flat one is at most this high on paper, in mm; so much is left for sizes above and below
#: it, and for the words under it.
_TALLEST_MM, _ABOVE_MM, _BELOW_MM, _WORDS_MM = 12.0, 7.4, 6.4, 3.2


@dataclass(frozen=True)
class Bent:
    """One way to look at a bent piece: its neutral line, legs and the numbers of its bends, from left to right.

    `level` where its bends are level lines on the flat drawing: it is then seen from the drawing's right-hand end,
    with the lower side at the left; else from the bottom edge, with the left side at the left.
    """

    line: tuple[Point, ...]
    legs_mm: tuple[float, ...]
    bends: tuple[int, ...]
    level: bool = True

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, lower, right and upper end of the line."""
        xs, ys = [x for x, _ in self.line], [y for _, y in self.line]
        return min(xs), min(ys), max(xs), max(ys)

    @property
    def size_mm(self) -> Point:
        """Width and height of the box round the line."""
        x0, y0, x1, y1 = self.bounds
        return x1 - x0, y1 - y0


def bent_ways(made: Blank) -> tuple[Bent, ...]:
    """Give the piece from its right-hand end, and from its bottom edge where it has upright bends; empty for flat."""
    level = [n for n, bend in enumerate(made.bend_lines) if abs(bend.start[1] - bend.end[1]) < 1e-6]
    upright = [n for n in range(len(made.bend_lines)) if n not in level]
    found = []
    sections = [(made.section_mm, made.legs_mm), (made.across_mm, made.across_legs_mm)]
    for numbers, is_level in ((level, True), (upright, False)):
        if numbers and sections and sections[0][0]:
            line, legs = sections.pop(0)
            way = Bent(_lying(line, legs), legs, tuple(numbers), is_level)
            found.append(way if is_level or not made.front_right else _turned(way))
    return tuple(found)


def bent_room_mm(ways: Sequence[Bent], width_mm: float) -> float:
    """Give the height on paper that the bent piece and its words take; 0 for one that stays flat."""
    if not ways:
        return 0.0
    wide = width_mm / len(ways)
    tall = max((way.size_mm[1] / _scale(way, wide) for way in ways), default=0.0)
    return _above(ways) + tall + _BELOW_MM + _WORDS_MM


def folded(
    drawing: Drawing, ways: Sequence[Bent], lang: Language, both: Both, top: float, letters: Sequence[str]
) -> None:
    """Draw the bent piece below the flat one, at a scale of its own, once for each way to look at it."""
    wide = drawing.width_mm / len(ways)
    foot = top + bent_room_mm(ways, drawing.width_mm) - 0.8
    for number, way in enumerate(ways):
        _drawn(drawing, way, both, (number * wide, top + _above(ways), wide), letters)
        words = _seen_from(lang, way, alone=len(ways) == 1)
        drawing.text(number * wide + 0.4, foot, words, SMALL_MM, fill=QUIET)


def _seen_from(lang: Language, way: Bent, *, alone: bool) -> str:
    if not alone:
        return lang.text("from its right-hand end" if way.level else "from its bottom edge").unescape()
    if way.level:
        return lang.text("bent, seen from its right-hand end, the face drawn above up; outside sizes").unescape()
    return lang.text("bent, seen from its bottom edge, the face drawn above up; outside sizes").unescape()


def _above(ways: Sequence[Bent]) -> float:
    """Room over the bent piece: for sizes, where a level leg lies in its upper half."""
    return _ABOVE_MM if any(_has_upper(way) for way in ways) else 1.2


def _has_upper(way: Bent) -> bool:
    middle = way.bounds[1] + way.size_mm[1] / 2
    legs = _leg_ends(way.line, len(way.legs_mm))
    return any(abs(c - a) >= abs(d - b) and (b + d) / 2 > middle + 1e-6 for (a, b), (c, d) in legs)


def _scale(way: Bent, wide_mm: float) -> float:
    margin = 18.0 if wide_mm > 60 else 14.5
    return scale_for(max(way.size_mm[0], 1.0), max(way.size_mm[1], 1.0), (wide_mm - 2 * margin, _TALLEST_MM))


def _drawn(
    drawing: Drawing, way: Bent, both: Both, room: tuple[float, float, float], letters: Sequence[str]
) -> None:  # fmt: skip
    left, top, wide = room
    points, scale = way.line, _scale(way, wide)
    field = Field(*way.bounds, scale, left + (wide - way.size_mm[0] / scale) / 2, top)
    drawing.polyline([field.at(point) for point in points], stroke_width=0.9, stroke=INK, fill="none")
    middle = ((field.left + field.right) / 2, (field.top + field.bottom) / 2)
    for leg, (start, end) in zip(way.legs_mm, _leg_ends(points, len(way.legs_mm)), strict=True):
        _leg_words(drawing, field.at(start), field.at(end), both(leg), middle)
    for number, at in zip(way.bends, _bend_places(points, len(way.legs_mm)), strict=True):
        x, y = field.at(at)
        inward = 2.2 if x < middle[0] else -2.2
        drawing.text(x + inward, y + (-1.4 if y >= middle[1] else 3.4), letters[number], SMALL_MM,
                     font_weight="700", text_anchor="middle", fill=QUIET)  # fmt: skip


def _leg_words(drawing: Drawing, start: Point, end: Point, words: tuple[str, str], middle: Point) -> None:
    """Write a leg's size in both units beside its middle: below or above a level leg, outside an upright one."""
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    if abs(end[0] - start[0]) >= abs(end[1] - start[1]):
        at, anchor = (x, y + 3.4 if y >= middle[1] - 0.1 else y - 1.2 - SMALL_MM * 0.85), "middle"
    elif x < middle[0]:
        at, anchor = (x - 1.4, y), "end"
    else:
        at, anchor = (x + 1.4, y), "start"
    drawing.text(*at, words[0], SMALL_MM, font_weight="700", text_anchor=anchor)
    drawing.text(at[0], at[1] + SMALL_MM * 0.85, words[1], SMALL_MM, fill=QUIET, text_anchor=anchor)


def _lying(points: Sequence[Point], legs: Sequence[float]) -> tuple[Point, ...]:
    """Turn a bent piece so that its longest leg lies level; the face seen on the flat drawing stays above."""
    longest = max(range(len(legs)), key=lambda n: legs[n])
    (a, b), (c, d) = _leg_ends(points, len(legs))[longest]
    long = math.hypot(c - a, d - b)
    cos, sin = (c - a) / long, (d - b) / long
    return tuple((x * cos + y * sin, y * cos - x * sin) for x, y in points)


def _turned(way: Bent) -> Bent:
    """The same from left to right, for a piece whose front lies at the right."""
    return Bent(tuple((-x, y) for x, y in way.line[::-1]), way.legs_mm[::-1], way.bends[::-1], way.level)


def _leg_ends(points: Sequence[Point], legs: int) -> list[tuple[Point, Point]]:
    """Ends of the straight legs: between two legs lie as many short chords as one bend is drawn with."""
    step = _step(points, legs)
    return [(points[n * step], points[n * step + 1]) for n in range(legs)]


def _bend_places(points: Sequence[Point], legs: int) -> list[Point]:
    """The middle of every bend."""
    step = _step(points, legs)
    return [points[n * step + 1 + (step - 1) // 2] for n in range(legs - 1)]


def _step(points: Sequence[Point], legs: int) -> int:
    return (len(points) - 2) // (legs - 1) if legs > 1 else 0
