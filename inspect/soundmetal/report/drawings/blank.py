"""The blank to cut, flat and to scale: outline, openings, bend and bead lines, sizes in both units; below it, bent.

It lies as the cut-out beside it that it fills, seen from the same side. Outline and lines are those of the cutting
table's drawing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup
from shapely.geometry import Polygon

from soundmetal.report.drawings.bent import Bent, bent_room_mm, bent_ways, folded
from soundmetal.report.drawings.dimension import ROOM_MM, SMALL_MM, Both, Field, across, scale_for, upright
from soundmetal.report.drawings.svg import Drawing, Point
from soundmetal.report.drawings.view import PLAIN, View, orient
from soundmetal.report.language import Language
from soundmetal.report.palette import INK, PAPER, QUIET
from soundmetal.scope.models import BendLine, Blank
from soundmetal.scope.sheets.pattern import Pattern

_LINE = 0.5
_BEND = "2.4 0.8 0.5 0.8"
_BEAD = "1.6 0.9"
#: Least distance between the words of two bend lines, in mm on paper.
_APART_MM = 3.0
#: Room above and below the middle of a blank's number, in mm on paper.
_NAME_MM = 3.4
#: Room below the piece where nothing but the scale is written there.
_FOOT_MM = 4.6
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
    def bent(self) -> tuple[Bent, ...]:
        """The piece seen from its ends once it is bent: one way, or both; empty for one that stays flat."""
        return bent_ways(self.made)


def letter(number: int) -> str:
    """Give the letter of a bend, from 0.

    >>> letter(0), letter(27)
    ('a', 'b2')
    """
    turn, place = divmod(number, len(_LETTERS))
    return _LETTERS[place] + (str(turn + 1) if turn else "")


def blank(
    piece: Piece, lang: Language, both: Both, *, name: str, scale: float, width_mm: float = 90.0, view: View = PLAIN
) -> Markup:  # fmt: skip
    """Draw one blank at a scale; `name` is its number in the cut list, `both` writes a length in both units."""
    flat = piece.flat
    field = field_of(flat, scale, width_mm)
    foot = ROOM_MM[3] if _upright(piece) or piece.made.template_first else _FOOT_MM
    height = field.bottom + foot
    drawing = Drawing(
        width_mm, height + bent_room_mm(piece.bent, width_mm), alternative(piece, lang, both, name), css="blank"
    )
    drawing.polygon(_on(field, flat), fill="#f1f2f2", stroke=INK, stroke_width=_LINE, stroke_linejoin="round")
    _openings(drawing, piece, field)
    for start, end in piece.pattern.beads:
        drawing.polyline([field.at(start), field.at(end)], stroke_width=0.9, stroke=QUIET, stroke_dasharray=_BEAD)
    across(drawing, (field.left, field.right), field.top - 4.2, field.top, both(field.x1 - field.x0))
    upright(drawing, (field.top, field.bottom), field.left - 5.6, field.left, both(field.y1 - field.y0))
    _bends(drawing, piece, field, lang)
    _radius(drawing, piece, field, both)
    _name(drawing, field, piece, name)
    orient(drawing, field, lang, view, field.bottom + foot - 0.8)
    if piece.made.template_first:
        words = lang.text("template on the car before cutting").unescape()
        drawing.text(field.left, field.bottom + 3.6, words, SMALL_MM, font_weight="700")
    if piece.bent:
        folded(drawing, piece.bent, lang, both, height, [letter(n) for n in range(len(piece.made.bend_lines))])
    return drawing.markup


def _openings(drawing: Drawing, piece: Piece, field: Field) -> None:
    for opening in piece.pattern.inside:
        ring = [field.at(point) for point in opening.ring(6)]
        drawing.polygon(ring, fill=PAPER, stroke=INK, stroke_width=_LINE)
    for mark in piece.pattern.marks:
        x, y = field.at((mark.x, mark.y))
        drawing.segments([((x - 1, y), (x + 1, y)), ((x, y - 1), (x, y + 1))], stroke=INK, stroke_width=0.2)


def _bends(drawing: Drawing, piece: Piece, field: Field, lang: Language) -> None:
    """Each bend line with its letter, which way and by how much it is bent; the notes tell its place."""
    level: list[tuple[Point, str]] = []
    for number, (start, end) in enumerate(piece.pattern.bends):
        ends = [field.at(start), field.at(end)]
        drawing.polyline(ends, stroke_width=0.3, stroke_dasharray=_BEND)
        if not piece.made.bend_lines:
            continue
        words = _bent_words(piece.made.bend_lines[number], letter(number), lang)
        if abs(ends[0][1] - ends[1][1]) < 1e-6:
            level.append((max(ends), words))
        else:
            drawing.text(ends[0][0], field.bottom + 3.4, words, SMALL_MM, font_weight="700", text_anchor="middle")
    _level_words(drawing, field, sorted(level, key=lambda one: one[0][1]))


def _upright(piece: Piece) -> bool:
    return any(abs(a[0] - b[0]) < 1e-6 for a, b in piece.pattern.bends)


def _level_words(drawing: Drawing, field: Field, words: Sequence[tuple[Point, str]]) -> None:
    """Write beside the level bend lines, at the right, pushed apart where lines lie closer than letters are high."""
    places: list[float] = []
    for (_, y), _ in words:
        places.append(max(y, places[-1] + _APART_MM) if places else y)
    over = sum(place - y for place, ((_, y), _) in zip(places, words, strict=True)) / max(len(places), 1)
    for place, ((x, y), text) in zip(places, words, strict=True):
        at = place - over
        drawing.polyline([(x + 0.4, y), (field.right + 1.4, at)], stroke_width=0.15)
        drawing.text(field.right + 1.8, at + 1.0, text, SMALL_MM, font_weight="700")


def _bent_words(bend: BendLine, name: str, lang: Language) -> str:
    angle = lang.look.number(bend.bent_deg, 0 if bend.bent_deg == int(bend.bent_deg) else 1)
    text = "{letter} up {angle}°" if bend.up else "{letter} down {angle}°"
    return lang.text(text, letter=name, angle=angle).unescape()


def _radius(drawing: Drawing, piece: Piece, field: Field, both: Both) -> None:
    """Point at a rounded corner of the outline; the other round ones have the same radius, or are in the notes."""
    arcs = corner_arcs(piece.pattern)
    if not arcs:
        return
    (x, y), radius = max(((field.at(at), r) for at, r in arcs), key=lambda one: (round(one[0][0], 3), -one[0][1]))
    end = (field.right + 2.4, y - 2.0)  # upwards from a low corner too: below it stand other words
    drawing.polyline([(x, y), end], stroke_width=0.2)
    main, other = both(radius)
    drawing.text(end[0] + 0.5, end[1] + 1.2, f"R {main}", SMALL_MM)
    drawing.text(end[0] + 0.5, end[1] + 1.2 + SMALL_MM, f"R {other}", SMALL_MM, fill=QUIET)


def corner_arcs(pattern: Pattern) -> tuple[tuple[Point, float], ...]:
    """Give the round corners of an outline, not its hollows: the middle of each arc, and its radius."""
    found = []
    for a, b in pattern.outside.running(clockwise=False).ways:
        if a.bulge > 1e-3:
            chord = math.dist(a[:2], b[:2])
            radius = chord * (1 + a.bulge**2) / (4 * a.bulge)
            dx, dy = (b.x - a.x) * a.bulge / 2, (b.y - a.y) * a.bulge / 2
            found.append((((a.x + b.x) / 2 + dy, (a.y + b.y) / 2 - dx), radius))
    return tuple(found)


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


def _name(drawing: Drawing, field: Field, piece: Piece, name: str) -> None:
    """The blank's number: in its middle, or where no line runs through it; without room, at the upper left."""
    flat = piece.flat
    x, _ = field.at((flat.centroid.x, flat.centroid.y))
    lines = [field.at(a)[1] for a, b in (*piece.pattern.beads, *piece.pattern.bends) if abs(a[1] - b[1]) < 1e-6]
    holes = [field.at((one.bounds[0], y))[1] for one in piece.pattern.inside for y in one.bounds[1::2]]
    tall = field.bottom - field.top
    places = [field.top + tall * (0.5 + sign * step / 20) for step in range(8) for sign in (1, -1)]
    clear = {at: min([abs(at - y) for y in (*lines, *holes, field.top, field.bottom)]) for at in places}
    best = next((at for at in places if clear[at] >= _NAME_MM), None)
    if best is not None:
        drawing.text(x, best + 1.8, name, 5.2, font_weight="700", text_anchor="middle")
    else:
        drawing.text(0.4, 4.6, name, 4.6, font_weight="700")


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
    for way in piece.bent:
        legs = ", ".join(both(leg)[0] for leg in way.legs_mm)
        words += " " + lang.text("Bent, its outside legs are {legs}.", legs=legs)
    if piece.pattern.beads:
        words += " " + lang.text("Beads to roll: {count}.", count=len(piece.pattern.beads))
    return words.unescape()
