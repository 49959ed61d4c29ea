"""The blank to cut, flat and to scale: its outline with the flange allowance, bend lines, sizes in both units.

The panel's front lies at the left and its lower side at the bottom, as in the cut-out that it fills.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup
from shapely.geometry import LineString, Polygon, box
from shapely.ops import unary_union

from soundmetal.report.drawings.dimension import ROOM_MM, SMALL_MM, Both, Field, across, scale_for, upright
from soundmetal.report.drawings.svg import Drawing, Point
from soundmetal.report.language import Language
from soundmetal.report.palette import INK, QUIET

SIDES = ("front", "rear", "lower", "upper")
_LINE = 0.5


@dataclass(frozen=True)
class Piece:
    """A blank in the panel's own mm: the opening it fills, the panel sides with a flange to bend, the allowance."""

    opening: Polygon
    flanged: tuple[str, ...]
    flange_mm: float

    @property
    def flat(self) -> Polygon:
        """The flat outline: the opening and a strip for each flange; corners between two flanges stay open.

        >>> piece = Piece(box(0, 0, 200, 100), ("lower", "front"), 15.0)
        >>> piece.flat.bounds, piece.flat.area
        ((-15.0, -15.0, 200.0, 100.0), 24500.0)
        """
        joined = unary_union([self.opening, *(strip for _, strip in self._strips)])
        return joined if isinstance(joined, Polygon) else self.opening

    @property
    def bend_lines(self) -> tuple[tuple[Point, Point], ...]:
        """Where each flange is bent, from one end to the other."""
        return tuple(edge for edge, _ in self._strips)

    @property
    def _strips(self) -> list[tuple[tuple[Point, Point], Polygon]]:
        return [_strip(self.opening, side, self.flange_mm) for side in self.flanged if side in SIDES]


def _strip(opening: Polygon, side: str, flange_mm: float) -> tuple[tuple[Point, Point], Polygon]:
    x0, y0, x1, y1 = opening.bounds
    lines = {
        "front": ((x0, y0), (x0, y1)), "rear": ((x1, y0), (x1, y1)),
        "lower": ((x0, y0), (x1, y0)), "upper": ((x0, y1), (x1, y1)),
    }  # fmt: skip
    along = opening.exterior.intersection(LineString(lines[side]))
    a, b, c, d = along.bounds if along.length > 0 else LineString(lines[side]).bounds
    out = {
        "front": (a - flange_mm, b, c, d), "rear": (a, b, c + flange_mm, d),
        "lower": (a, b - flange_mm, c, d), "upper": (a, b, c, d + flange_mm),
    }  # fmt: skip
    return ((a, b), (c, d)), box(*out[side])


def blank(
    piece: Piece, lang: Language, both: Both, *, name: str, scale: float, width_mm: float = 90.0
) -> Markup:  # fmt: skip
    """Draw one blank at a scale; `name` is its number in the cut list, `both` writes a length in both units."""
    flat = piece.flat
    field = field_of(flat, scale, width_mm)
    drawing = Drawing(width_mm, field.bottom + ROOM_MM[3], alternative(piece, lang, both, name), css="blank")
    drawing.polygon(_on(field, flat), fill="#f1f2f2", stroke=INK, stroke_width=_LINE, stroke_linejoin="round")
    for start, end in piece.bend_lines:
        drawing.polyline([field.at(start), field.at(end)], stroke_width=0.3, stroke_dasharray="2.4 0.8 0.5 0.8")
    across(drawing, (field.left, field.right), field.top - 4.2, field.top, both(field.x1 - field.x0))
    upright(drawing, (field.top, field.bottom), field.left - 5.6, field.left, both(field.y1 - field.y0))
    _flange(drawing, piece, field, both)
    _name(drawing, field, flat, name)
    orient(drawing, field, lang, scale)
    return drawing.markup


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


def _flange(drawing: Drawing, piece: Piece, field: Field, both: Both) -> None:
    """Dimension one flange; all have the same allowance."""
    if not piece.flanged:
        return
    _, y0, x1, y1 = piece.opening.bounds
    if {"lower", "upper"} & set(piece.flanged):
        ends = (y0, y0 - piece.flange_mm) if "lower" in piece.flanged else (y1 + piece.flange_mm, y1)
        tops = field.at((x1, ends[0]))[1], field.at((x1, ends[1]))[1]
        _leader(drawing, (field.right + 1.2, sum(tops) / 2), both(piece.flange_mm))
        return
    x = field.at((x1 + piece.flange_mm / 2 if "rear" in piece.flanged else field.x0 + piece.flange_mm / 2, 0))[0]
    drawing.text(x, field.bottom + 4.0, both(piece.flange_mm)[0], SMALL_MM, text_anchor="middle")


def _leader(drawing: Drawing, tip: Point, words: tuple[str, str]) -> None:
    x, y = tip
    drawing.polyline([(x - 1.0, y), (x + 1.6, y)], stroke_width=0.2)
    drawing.text(x + 2.2, y + 0.2, words[0], SMALL_MM)
    drawing.text(x + 2.2, y + 3.4, words[1], SMALL_MM, fill=QUIET)


def _name(drawing: Drawing, field: Field, flat: Polygon, name: str) -> None:
    """The blank's number, in its middle where it has room, else beside it."""
    x, y = field.at((flat.centroid.x, flat.centroid.y))
    tall = field.bottom - field.top
    if tall >= 8.0:
        drawing.text(x, y + 1.8, name, 5.2, font_weight="700", text_anchor="middle")
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
    if piece.flanged:
        sides = ", ".join(lang.word(side, "side") for side in piece.flanged)
        words += " " + lang.text(
            "A flange of {flange} to bend: {sides}.", flange=both(piece.flange_mm)[0], sides=sides
        )
    return words.unescape()
