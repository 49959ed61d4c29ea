"""How the new steel is joined: the butt seam in section, and a row of plug welds from above."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from soundmetal.report.drawings.dimension import SMALL_MM, across
from soundmetal.report.drawings.svg import Drawing
from soundmetal.report.language import Language
from soundmetal.report.palette import INK, LEVEL_FILL, PAPER, QUIET, RAMP

STEEL = LEVEL_FILL[RAMP[1]]
BEAD = LEVEL_FILL[RAMP[3]]
HEIGHT_MM = 22.4
_THICK = 3.4
_SHOWN = 3

Pair = tuple[str, str]


@dataclass(frozen=True)
class Row:
    """What is written on a row of plug welds, each size in both units: end distance, pitch, hole, flange."""

    end: Pair
    pitch: Pair
    hole: Pair
    count: int


def butt_section(lang: Language, thickness: str, gap: str, tacks: str, width_mm: float = 60.0) -> Markup:
    """Draw the butt seam in section with its gap and sheet; `tacks` says how far apart the tacks are."""
    title = lang.text(
        "Butt seam in section: edge to edge, sheet {thickness}, gap up to {gap}, tacks {tacks} apart or closer.",
        thickness=thickness, gap=gap, tacks=tacks,
    ).unescape()  # fmt: skip
    drawing = Drawing(width_mm, HEIGHT_MM, title, css="shop-joint")
    middle, top, low = width_mm / 2, 7.0, 7.0 + _THICK
    for x0, x1 in ((1.0, middle - 0.7), (middle + 0.7, width_mm - 1.0)):
        drawing.rect(x0, top, x1 - x0, _THICK, fill=STEEL, stroke=INK, stroke_width=0.3)
    bead = (
        f"M{middle - 2.6:.2f} {top}Q{middle:.2f} {top - 1.3} {middle + 2.6:.2f} {top}L{middle + 1.4:.2f} {low}"
        f"Q{middle:.2f} {low + 1.0} {middle - 1.4:.2f} {low}Z"
    )
    drawing.path(bead, fill=BEAD, stroke=INK, stroke_width=0.3)
    drawing.text(1.0, 4.8, lang.text("old steel"), SMALL_MM, fill=QUIET)
    drawing.text(width_mm - 1.0, 4.8, lang.text("new steel, {thickness}", thickness=thickness), SMALL_MM, fill=QUIET,
                 text_anchor="end")  # fmt: skip
    drawing.text(1.0, 16.4, lang.text("gap up to {gap}", gap=gap), 3.6, font_weight="700")
    drawing.text(1.0, 21.2, lang.text("tacks {tacks} or closer", tacks=tacks), 3.6, font_weight="700")
    return drawing.markup


def plug_row(lang: Language, row: Row, width_mm: float = 60.0) -> Markup:
    """Draw the end of a flange from above with its first plug welds; the row goes on to the right."""
    title = lang.text(
        "{count} plug welds in a row: holes {hole}, the first {end} from the flange's end, {pitch} apart or closer.",
        count=row.count, hole=row.hole[0], end=row.end[0], pitch=row.pitch[0],
    ).unescape()  # fmt: skip
    drawing = Drawing(width_mm, HEIGHT_MM, title, css="shop-joint")
    left, top, tall = 1.0, 9.5, 7.0
    edge = [(width_mm - 2, top), (left, top), (left, top + tall), (width_mm - 2, top + tall)]
    drawing.polygon([*edge[1:3], edge[3], edge[0]], fill=STEEL)
    drawing.polyline(edge, stroke_width=0.3)
    first, pitch = left + 15.0, 24.0
    for k in range(_SHOWN):
        x = first + k * pitch
        drawing.circle(x, top + tall / 2, 2.0, fill=BEAD if k else PAPER, stroke=INK, stroke_width=0.3)
    across(drawing, (left, first), top - 4.2, top, row.end)
    across(drawing, (first, first + pitch), top - 4.2, top, row.pitch)
    words = lang.text("{count} holes of {hole}", count=row.count, hole=" · ".join(row.hole))
    drawing.text(left, top + tall + 5.4, words, 3.6, font_weight="700")
    return drawing.markup
