"""The cut-out to scale: the rust that can be seen, the margin round it to sound steel, and the line of the cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup
from shapely.geometry import Polygon

from soundmetal.grade.models import Level
from soundmetal.report.drawings.hatch import fill_level
from soundmetal.report.drawings.svg import Drawing, Point
from soundmetal.report.language import Language
from soundmetal.report.palette import ACCENT, FAINT, PAPER, QUIET

ROOM_MM = 1.0
WORDS_MM = 5.0


@dataclass(frozen=True)
class Rust:
    """A patch of rust in the panel's mm: its box, its level, and its shape where that was measured."""

    box: tuple[float, float, float, float]
    level: Level
    shape: Polygon | None = None

    @property
    def polygon(self) -> Polygon:
        """What is hatched: the measured shape, else the box."""
        a, b, c, d = self.box
        return Polygon([(a, b), (c, b), (c, d), (a, d)]) if self.shape is None else self.shape


def cutout(
    outline: Polygon, rusts: Sequence[Rust], lang: Language, *, width_mm: float = 46.0, tallest_mm: float = 34.0
) -> Markup:
    """Draw one cut-out, as large as the room allows; the panel's lower edge lies at the bottom."""
    x0, y0, x1, y1 = outline.bounds
    scale = min((width_mm - 2 * ROOM_MM) / (x1 - x0), (tallest_mm - 2 * ROOM_MM - WORDS_MM) / (y1 - y0))
    height = (y1 - y0) * scale + 2 * ROOM_MM
    left = (width_mm - (x1 - x0) * scale) / 2

    def at(point: Point) -> Point:
        return (point[0] - x0) * scale + left, (y1 - point[1]) * scale + ROOM_MM

    drawing = Drawing(width_mm, height + WORDS_MM, alternative(outline, lang), css="cutout")
    cut = [at((x, y)) for x, y, *_ in outline.exterior.coords[:-1]]
    drawing.polygon(cut, fill=PAPER, stroke=FAINT, stroke_width=0.2)
    for rust in rusts:
        inside = outline.intersection(rust.polygon)
        if isinstance(inside, Polygon) and not inside.is_empty:
            fill_level(drawing, [at((x, y)) for x, y, *_ in inside.exterior.coords[:-1]], rust.level, scale=0.9)
    drawing.polygon(cut, stroke=ACCENT, stroke_width=0.5, stroke_dasharray="2.2 0.9 0.5 0.9", stroke_linejoin="round")
    words = lang.text("cut {long_mm} by {wide_mm}", long_mm=x1 - x0, wide_mm=y1 - y0)
    drawing.text(width_mm / 2, height + 3.6, words, 3.0, text_anchor="middle", fill=QUIET)
    return drawing.markup


def alternative(outline: Polygon, lang: Language) -> str:
    """Say the drawing in words."""
    x0, y0, x1, y1 = outline.bounds
    return lang.text(
        "The cut to scale: {long_mm} by {wide_mm}, round the rust to sound steel.", long_mm=x1 - x0, wide_mm=y1 - y0
    ).unescape()
