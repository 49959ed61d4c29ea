"""Dimensions for drawings in the shop: extension lines, a line with slanted ticks, the size in both units on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from soundmetal.report.drawings.svg import Drawing, Point
from soundmetal.report.palette import INK, QUIET

#: Scales that a drawing may have (common practice, no source); every drawing is dimensioned, so none is measured.
SCALES = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 100.0)
#: Room that dimensions and words need round the piece, in mm on paper: left, top, right, bottom.
ROOM_MM = (20.0, 8.6, 16.0, 7.6)
SIZE_MM = 3.9
SMALL_MM = 3.1
_HAIR = 0.2
#: A size is written in the reader's unit and in the other one.
Both = Callable[[float], tuple[str, str]]


@dataclass(frozen=True)
class Field:
    """Where a piece lies on paper: its box in mm (y up), the scale, and the place of its upper left corner.

    `turned` lets x run from right to left, as on the other side of the car.
    """

    x0: float
    y0: float
    x1: float
    y1: float
    scale: float
    left: float
    top: float
    turned: bool = False

    def at(self, point: Point) -> Point:
        """Give a point of the piece on paper."""
        along = self.x1 - point[0] if self.turned else point[0] - self.x0
        return self.left + along / self.scale, self.top + (self.y1 - point[1]) / self.scale

    @property
    def right(self) -> float:
        """The right edge of the piece on paper."""
        return self.left + (self.x1 - self.x0) / self.scale

    @property
    def bottom(self) -> float:
        """The lower edge of the piece on paper."""
        return self.top + (self.y1 - self.y0) / self.scale


def scale_for(width_mm: float, height_mm: float, room_mm: Point) -> float:
    """Give the first usual scale at which a piece fits into the room on paper; beyond 1 : 100 whatever fits.

    >>> scale_for(600, 200, (60, 40)), scale_for(40, 30, (60, 40))
    (10.0, 1.0)
    """
    need = max(width_mm / room_mm[0], height_mm / room_mm[1])
    return next((scale for scale in SCALES if scale >= need - 1e-9), need)


def across(drawing: Drawing, ends: Point, y: float, from_y: float, words: tuple[str, str]) -> None:
    """Draw a dimension from left to right at `y`, for edges that lie at `from_y`."""
    x0, x1 = ends
    lean = 1.0 if y > from_y else -1.0
    drawing.segments(
        [((x0, from_y + 0.8 * lean), (x0, y + lean)), ((x1, from_y + 0.8 * lean), (x1, y + lean)), ((x0, y), (x1, y)),
         *(((x - 0.8, y + 0.8), (x + 0.8, y - 0.8)) for x in (x0, x1))],
        stroke=INK, stroke_width=_HAIR,
    )  # fmt: skip
    if x1 - x0 < width_of(words):
        _beside(drawing, x1 + 1.8, y + 1.2, words)
    else:
        _pair(drawing, (x0 + x1) / 2, y - 1.1, y + 3.3, words, None)


def upright(drawing: Drawing, ends: Point, x: float, from_x: float, words: tuple[str, str]) -> None:
    """Draw a dimension from top to bottom at `x`, for edges that lie at `from_x`; its words read from the right."""
    y0, y1 = ends
    lean = 1.0 if x > from_x else -1.0
    drawing.segments(
        [((from_x + 0.8 * lean, y0), (x + lean, y0)), ((from_x + 0.8 * lean, y1), (x + lean, y1)), ((x, y0), (x, y1)),
         *(((x - 0.8, y + 0.8), (x + 0.8, y - 0.8)) for y in (y0, y1))],
        stroke=INK, stroke_width=_HAIR,
    )  # fmt: skip
    if y1 - y0 < width_of(words):
        _beside(drawing, x + 1.4 * lean, (y0 + y1) / 2 + 1.0, words, end=lean < 0)
    else:
        _pair(drawing, (y0 + y1) / 2, x - 1.1, x + 3.3, words, (y0 + y1) / 2)


def width_of(words: tuple[str, str]) -> float:
    """Give about how long the words of a dimension are, in mm on paper (half the letters' height each, by trying)."""
    return max(len(words[0]) * SIZE_MM * 0.5, len(words[1]) * SMALL_MM * 0.5)


def _beside(drawing: Drawing, x: float, y: float, words: tuple[str, str], *, end: bool = False) -> None:
    """Write a size beside a line that is too short for it; with `end` the words end there."""
    anchor = "end" if end else "start"
    drawing.text(x, y, words[0], SIZE_MM, font_weight="700", text_anchor=anchor)
    drawing.text(x, y + SMALL_MM, words[1], SMALL_MM, fill=QUIET, text_anchor=anchor)


def _pair(
    drawing: Drawing, middle: float, main: float, other: float, words: tuple[str, str], turn: float | None
) -> None:
    """Write the size above the line and the other unit below it; `turn` is the height to turn the words about."""
    for place, size, weight, colour, text in (
        (main, SIZE_MM, "700", INK, words[0]), (other, SMALL_MM, "400", QUIET, words[1]),
    ):  # fmt: skip
        x, y = (middle, place) if turn is None else (place, middle)
        turned = None if turn is None else f"rotate(-90 {x:.2f} {y:.2f})"
        drawing.text(x, y, text, size, font_weight=weight, fill=colour, text_anchor="middle", transform=turned)
