"""How two pieces of steel are joined, in section: edge to edge beside overlap, to show the owner why it matters."""

from __future__ import annotations

from markupsafe import Markup

from soundmetal.report.drawings.svg import Drawing
from soundmetal.report.language import Language
from soundmetal.report.palette import INK, LEVEL_FILL, QUIET, RAMP

STEEL = LEVEL_FILL[RAMP[1]]
BEAD = LEVEL_FILL[RAMP[3]]
RUST = LEVEL_FILL[RAMP[4]]
THICK_MM = 3.0


def joint(lang: Language, width_mm: float = 170.0) -> Markup:
    """Draw both joints side by side, each with its line of words."""
    title = lang.text(
        "Two joints in section. Edge to edge: one thickness of steel, welded through, nothing can creep in. "
        "Overlap: two thicknesses with a gap between them that holds water."
    ).unescape()
    drawing = Drawing(width_mm, 24.0, title, css="joint")
    half = (width_mm - 10.0) / 2
    _edge_to_edge(drawing, 0.4, half - 0.4)
    _overlap(drawing, half + 10.0, width_mm - 0.4, lang.text("water"))
    _words(
        drawing,
        0.4,
        lang.text("Edge to edge: our way on every skin"),
        lang.text("one thickness, nothing to trap water"),
    )
    _words(
        drawing,
        half + 10.0,
        lang.text("Overlap: what we avoid"),
        lang.text("the gap between the sheets draws water in"),
    )
    return drawing.markup


def _edge_to_edge(drawing: Drawing, left: float, right: float) -> None:
    middle, top = (left + right) / 2, 6.0
    for x0, x1 in ((left, middle - 0.45), (middle + 0.45, right)):
        drawing.rect(x0, top, x1 - x0, THICK_MM, fill=STEEL, stroke=INK, stroke_width=0.25)
    low = top + THICK_MM
    bead = (
        f"M{middle - 2.2:.2f} {top}Q{middle:.2f} {top - 1.1} {middle + 2.2:.2f} {top}L{middle + 1.0:.2f} {low}"
        f"Q{middle:.2f} {low + 0.9} {middle - 1.0:.2f} {low}Z"
    )
    drawing.path(bead, fill=BEAD, stroke=INK, stroke_width=0.25)


def _overlap(drawing: Drawing, left: float, right: float, words: object) -> None:
    middle, top, lap, gap = (left + right) / 2, 4.4, 11.0, 0.7
    low = top + THICK_MM + gap
    drawing.rect(left, top, middle + lap - left, THICK_MM, fill=STEEL, stroke=INK, stroke_width=0.25)
    drawing.rect(middle - lap, low, right - middle + lap, THICK_MM, fill=STEEL, stroke=INK, stroke_width=0.25)
    drawing.rect(middle - lap, top + THICK_MM, 2 * lap, gap, fill=RUST)
    x = middle + lap
    drawing.polygon([(x, top), (x, low), (x + 3.0, low)], fill=BEAD, stroke=INK, stroke_width=0.25)
    x = middle - lap
    y = top + THICK_MM + gap / 2
    drawing.polyline([(x - 6.5, low + THICK_MM - 0.4), (x - 1.6, y + 0.6)], stroke=QUIET, stroke_width=0.25)
    drawing.polygon([(x - 1.9, y - 0.1), (x - 1.0, y + 1.3), (x - 0.3, y)], fill=QUIET)
    drawing.text(x - 7.0, low + THICK_MM + 0.6, words, 3.0, text_anchor="end", fill=QUIET)


def _words(drawing: Drawing, left: float, head: object, line: object) -> None:
    drawing.text(left, 17.0, head, 3.5, font_weight="700")
    drawing.text(left, 21.4, line, 3.3, fill=QUIET)
