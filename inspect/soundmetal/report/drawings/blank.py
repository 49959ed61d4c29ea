"""The blank to cut, flat and to scale: outline, openings, bend and bead lines, sizes in both units; below it, bent.

The panel's front lies at the left and its lower side at the bottom, as in the cut-out that it fills. Outline and
lines are those of the cutting table's drawing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup
from shapely.geometry import Polygon

from soundmetal.report.drawings.dimension import ROOM_MM, SMALL_MM, Both, Field, across, scale_for, upright
from soundmetal.report.drawings.svg import Drawing, Point
from soundmetal.report.language import Language
from soundmetal.report.palette import INK, PAPER, QUIET
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.pattern import Pattern

_LINE = 0.5
_BEND = "2.4 0.8 0.5 0.8"
_BEAD = "1.6 0.9"
#: Room for the bent piece under the flat one, in mm on paper: its own height, and with its words.
_BENT_MM, _BENT_ROOM_MM = 16.0, 26.0
_LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True)
class Piece:
    """A blank and its flat pattern."""

    made: Blank
    pattern: Pattern

    @property
    def flat(self) -> Polygon:
        """The flat outline, arcs as short chords, its corner at 0,0."""
        return Polygon(self.pattern.outside.ring())

    @property
    def bent(self) -> tuple[Point, ...]:
        """The piece seen from its end once it is bent; empty for one that stays flat."""
        if not (self.made.bend_lines and self.made.section_mm):
            return ()
        return _lying(self.made.section_mm, self.made.legs_mm)


def letter(number: int) -> str:
    """Give the letter of a bend, from 0.

    >>> letter(0), letter(27)
    ('a', 'b2')
    """
    turn, place = divmod(number, len(_LETTERS))
    return _LETTERS[place] + (str(turn + 1) if turn else "")


def blank(
    piece: Piece, lang: Language, both: Both, *, name: str, scale: float, width_mm: float = 90.0
) -> Markup:  # fmt: skip
    """Draw one blank at a scale; `name` is its number in the cut list, `both` writes a length in both units."""
    flat = piece.flat
    field = field_of(flat, scale, width_mm)
    height = field.bottom + ROOM_MM[3]
    room = _BENT_ROOM_MM if piece.bent else 0.0
    drawing = Drawing(width_mm, height + room, alternative(piece, lang, both, name), css="blank")
    drawing.polygon(_on(field, flat), fill="#f1f2f2", stroke=INK, stroke_width=_LINE, stroke_linejoin="round")
    _openings(drawing, piece, field)
    for start, end in piece.pattern.beads:
        drawing.polyline([field.at(start), field.at(end)], stroke_width=0.9, stroke=QUIET, stroke_dasharray=_BEAD)
    _bends(drawing, piece, field)
    across(drawing, (field.left, field.right), field.top - 4.2, field.top, both(field.x1 - field.x0))
    upright(drawing, (field.top, field.bottom), field.left - 5.6, field.left, both(field.y1 - field.y0))
    _name(drawing, field, flat, name, lower=bool(piece.pattern.beads))
    orient(drawing, field, lang, scale)
    if piece.bent:
        _folded(drawing, piece, lang, both, height)
    return drawing.markup


def _openings(drawing: Drawing, piece: Piece, field: Field) -> None:
    for opening in piece.pattern.inside:
        ring = [field.at(point) for point in opening.ring(6)]
        drawing.polygon(ring, fill=PAPER, stroke=INK, stroke_width=_LINE)
    for mark in piece.pattern.marks:
        x, y = field.at((mark.x, mark.y))
        drawing.segments([((x - 1, y), (x + 1, y)), ((x, y - 1), (x, y + 1))], stroke=INK, stroke_width=0.2)


def _bends(drawing: Drawing, piece: Piece, field: Field) -> None:
    """Each bend line with its letter at its end, by which the notes tell place, direction and angle."""
    for number, (start, end) in enumerate(piece.pattern.bends):
        ends = [field.at(start), field.at(end)]
        drawing.polyline(ends, stroke_width=0.3, stroke_dasharray=_BEND)
        if piece.made.bend_lines:
            (x, y), level = max(ends), abs(ends[0][1] - ends[1][1]) < 1e-6
            at = (x + 1.2, y + 1.0) if level else (x - 0.9, max(ends[0][1], ends[1][1]) + 3.2)
            drawing.text(*at, letter(number), SMALL_MM, font_weight="700")


def _folded(drawing: Drawing, piece: Piece, lang: Language, both: Both, top: float) -> None:
    """The bent piece seen from its end, each leg with its outside size, at a scale of its own."""
    points = piece.bent
    x0, x1 = min(x for x, _ in points), max(x for x, _ in points)
    y0, y1 = min(y for _, y in points), max(y for _, y in points)
    scale = scale_for(max(x1 - x0, 1.0), max(y1 - y0, 1.0), (drawing.width_mm - 36.0, _BENT_MM - 4.0))
    field = Field(x0, y0, x1, y1, scale, 18.0, top + 5.0)
    drawing.polyline([field.at(point) for point in points], stroke_width=0.9, stroke=INK, fill="none")
    for leg, (x, y) in zip(piece.made.legs_mm, _leg_middles(points, len(piece.made.legs_mm)), strict=True):
        at = field.at((x, y))
        drawing.text(at[0] + 1.2, at[1] + 3.4, both(leg)[0], SMALL_MM)
    words = lang.text("bent, seen from its end, the face that you see above; outside sizes").unescape()
    drawing.text(0.4, top + _BENT_ROOM_MM - 1.2, words, SMALL_MM, fill=QUIET)


def _lying(points: Sequence[Point], legs: Sequence[float]) -> tuple[Point, ...]:
    """Turn a bent piece so that its longest leg lies level; the face seen on the flat drawing stays above."""
    longest = max(range(len(legs)), key=lambda n: legs[n])
    (a, b), (c, d) = _leg_ends(points, len(legs))[longest]
    long = math.hypot(c - a, d - b)
    cos, sin = (c - a) / long, (d - b) / long
    return tuple((x * cos + y * sin, y * cos - x * sin) for x, y in points)


def _leg_middles(points: Sequence[Point], legs: int) -> list[Point]:
    return [((a + c) / 2, (b + d) / 2) for (a, b), (c, d) in _leg_ends(points, legs)]


def _leg_ends(points: Sequence[Point], legs: int) -> list[tuple[Point, Point]]:
    """Ends of the straight legs: between two legs lie as many short chords as one bend is drawn with."""
    step = (len(points) - 2) // (legs - 1) if legs > 1 else 0
    return [(points[n * step], points[n * step + 1]) for n in range(legs)]


def field_of(shape: Polygon, scale: float, width_mm: float) -> Field:
    """Lay a shape on paper, in the middle of the room that its dimensions leave."""
    x0, y0, x1, y1 = shape.bounds
    room = width_mm - ROOM_MM[0] - ROOM_MM[2]
    left = ROOM_MM[0] + max(0.0, (room - (x1 - x0) / scale) / 2)
    return Field(x0, y0, x1, y1, scale, left, ROOM_MM[1])


def scale_of(shapes: Sequence[Polygon], width_mm: float = 90.0, tallest_mm: float = 26.0) -> float:
    """Give one usual scale at which all shapes fit, so that the cut-out and its blank can be held side by side."""
    room = (width_mm - ROOM_MM[0] - ROOM_MM[2], tallest_mm)
    sizes = [(s.bounds[2] - s.bounds[0], s.bounds[3] - s.bounds[1]) for s in shapes]
    return max(scale_for(wide, tall, room) for wide, tall in sizes)


def orient(drawing: Drawing, field: Field, lang: Language, scale: float) -> None:
    """Write under a drawing which way it lies, and its scale."""
    y = field.bottom + ROOM_MM[3] - 0.8
    drawing.text(0.4, y, f"← {lang.text('front')}", SMALL_MM, fill=QUIET)
    words = lang.text("lower side at the bottom, 1 : {scale}", scale=lang.look.number(scale, int(scale % 1 > 0)))
    drawing.text(drawing.width_mm - 0.4, y, words, SMALL_MM, fill=QUIET, text_anchor="end")


def _name(drawing: Drawing, field: Field, flat: Polygon, name: str, *, lower: bool) -> None:
    """The blank's number, in its middle where it has room, else beside it."""
    x, y = field.at((flat.centroid.x, flat.centroid.y))
    tall = field.bottom - field.top
    if tall >= 8.0:
        drawing.text(
            x, y + (6.2 if lower and tall >= 16.0 else 1.8), name, 5.2, font_weight="700", text_anchor="middle"
        )
    else:
        drawing.text(field.left, field.bottom + 4.8, name, 4.6, font_weight="700")


def _on(field: Field, shape: Polygon) -> list[Point]:
    return [field.at((x, y)) for x, y, *_ in shape.exterior.coords[:-1]]


def alternative(piece: Piece, lang: Language, both: Both, name: str) -> str:
    """Say the drawing in words."""
    x0, y0, x1, y1 = piece.flat.bounds
    words = lang.text(
        "Blank {name}, flat: {long} by {wide}.", name=name, long=both(x1 - x0)[0], wide=both(y1 - y0)[0]
    )
    made = piece.made
    if made.bend_lines:
        words += " " + lang.plural("{count} bend to make.", "{count} bends to make.", len(made.bend_lines))
    if made.legs_mm and made.bend_lines:
        legs = ", ".join(both(leg)[0] for leg in made.legs_mm)
        words += " " + lang.text("Bent, its outside legs are {legs}.", legs=legs)
    if piece.pattern.beads:
        words += " " + lang.text("Beads to roll: {count}.", count=len(piece.pattern.beads))
    return words.unescape()
