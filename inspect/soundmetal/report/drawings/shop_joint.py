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
BUTT_MM, ROW_MM = 13.0, 25.4
_THICK = 3.4

Pair = tuple[str, str]


@dataclass(frozen=True)
class Row:
    """What is written on a row of plug welds, each size in both units: end distance, pitch, hole, flange."""

    end: Pair
    pitch: Pair
    hole: Pair
    count: int


def butt_section(lang: Language, thickness: str, gap: str, tacks: str, width_mm: float = 60.0) -> Markup:
    """Draw the butt seam in section; its title says sheet, gap, and how far apart the tacks are, as `butt_words`."""
    title = lang.text(
        "Butt seam in section: edge to edge, sheet {thickness}, gap up to {gap}, tacks {tacks} apart or closer.",
        thickness=thickness, gap=gap, tacks=tacks,
    ).unescape()  # fmt: skip
    drawing = Drawing(width_mm, BUTT_MM, title, css="shop-joint")
    middle, top, low = width_mm / 2, 6.6, 6.6 + _THICK
    for x0, x1 in ((1.0, middle - 0.7), (middle + 0.7, width_mm - 1.0)):
        drawing.rect(x0, top, x1 - x0, _THICK, fill=STEEL, stroke=INK, stroke_width=0.3)
    bead = (
        f"M{middle - 2.6:.2f} {top}Q{middle:.2f} {top - 1.3} {middle + 2.6:.2f} {top}L{middle + 1.4:.2f} {low}"
        f"Q{middle:.2f} {low + 1.0} {middle - 1.4:.2f} {low}Z"
    )
    drawing.path(bead, fill=BEAD, stroke=INK, stroke_width=0.3)
    drawing.text(1.0, 4.4, lang.text("old steel"), SMALL_MM, fill=QUIET)
    drawing.text(width_mm - 1.0, 4.4, lang.text("new steel"), SMALL_MM, fill=QUIET, text_anchor="end")
    return drawing.markup


def butt_words(lang: Language, thickness: str, gap: str, tacks: str) -> tuple[Markup, ...]:
    """Say the sizes of a butt seam, each a line of its own; beside the drawing they wrap where it is narrow."""
    return (
        lang.text("new steel, {thickness}", thickness=thickness),
        lang.text("gap up to {gap}", gap=gap),
        lang.text("tacks {tacks} or closer", tacks=tacks),
    )


def plug_row(lang: Language, row: Row, width_mm: float = 60.0) -> Markup:
    """Draw the end of a flange from above with its first plug welds; the row goes on to the right.

    The end distance stands below and the pitch above, so that neither runs into the other.
    """
    title = lang.text(
        "{count} plug welds in a row: holes {hole}, the first {end} from the flange's end, {pitch} apart or closer.",
        count=row.count, hole=row.hole[0], end=row.end[0], pitch=row.pitch[0],
    ).unescape()  # fmt: skip
    drawing = Drawing(width_mm, ROW_MM, title, css="shop-joint")
    left, top, tall = 1.0, 9.5, 6.4
    edge = [(width_mm - 2, top), (left, top), (left, top + tall), (width_mm - 2, top + tall)]
    drawing.polygon([*edge[1:3], edge[3], edge[0]], fill=STEEL)
    drawing.polyline(edge, stroke_width=0.3)
    first, pitch = left + 0.22 * width_mm, 0.5 * width_mm
    for x in (first, first + pitch):
        drawing.circle(x, top + tall / 2, 2.0, fill=PAPER if x == first else BEAD, stroke=INK, stroke_width=0.3)
    across(drawing, (left, first), top + tall + 3.0, top + tall, row.end)
    across(drawing, (first, first + pitch), top - 4.2, top, row.pitch)
    return drawing.markup


def plug_words(lang: Language, row: Row) -> tuple[Markup, ...]:
    """Say how many holes there are, and of what size."""
    return (lang.text("{count} holes of {hole}", count=row.count, hole=" · ".join(row.hole)),)
