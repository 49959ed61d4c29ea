"""What waiting costs, as a curve: how much bare steel an open face loses over the years where the car lives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from soundmetal.report.drawings.svg import Drawing, Point
from soundmetal.report.language import Language
from soundmetal.report.palette import FAINT, INK, LEVEL_FILL, QUIET, RAMP

LEFT_MM, RIGHT_MM, TOP_MM, FOOT_MM = 0.4, 0.4, 1.5, 7.0


@dataclass(frozen=True)
class Loss:
    """Loss of one open face after so many years, in mm: low and high end of the place's category."""

    years: float
    low_mm: float
    high_mm: float


def waiting(losses: Sequence[Loss], sheet_mm: float, lang: Language, width_mm: float = 112.0) -> Markup:
    """Draw the band between low and high loss, against the thickness of a body sheet (`sheet_mm`, dashed)."""
    height = 42.0
    drawing = Drawing(width_mm, height, alternative(losses, sheet_mm, lang), css="waiting")
    last = max(loss.years for loss in losses)
    top = max(sheet_mm, *(loss.high_mm for loss in losses)) * 1.06

    def at(years: float, mm: float) -> Point:
        x = LEFT_MM + (width_mm - LEFT_MM - RIGHT_MM) * years / last
        return x, height - FOOT_MM - (height - FOOT_MM - TOP_MM) * mm / top

    high = [at(0, 0), *(at(loss.years, loss.high_mm) for loss in losses)]
    low = [at(0, 0), *(at(loss.years, loss.low_mm) for loss in losses)]
    drawing.polygon([*high, *reversed(low)], fill=LEVEL_FILL[RAMP[1]])
    drawing.polyline(high, stroke=LEVEL_FILL[RAMP[3]], stroke_width=0.6, stroke_linejoin="round")
    drawing.polyline(low, stroke=LEVEL_FILL[RAMP[3]], stroke_width=0.3, stroke_linejoin="round")
    _axes(drawing, losses, at(0, 0), at(last, 0), lang)
    drawing.polyline([at(0, sheet_mm), at(last, sheet_mm)], stroke=INK, stroke_width=0.3, stroke_dasharray="1.4 0.9")
    x, y = at(0, sheet_mm)
    words = lang.text("a body sheet of {sheet_thick_mm} is eaten through from this face", sheet_thick_mm=sheet_mm)
    drawing.text(x + 1.5, y + 3.6, words, 3.0, fill=QUIET)
    words = lang.text(
        "{low_thick_mm} to {high_thick_mm} lost", low_thick_mm=losses[-1].low_mm, high_thick_mm=losses[-1].high_mm
    )
    x, y = at(last, losses[-1].high_mm)
    drawing.text(x, y - 1.4, words, 3.0, text_anchor="end", font_weight="700")
    return drawing.markup


def _axes(drawing: Drawing, losses: Sequence[Loss], start: Point, end: Point, lang: Language) -> None:
    drawing.polyline([start, end], stroke=INK, stroke_width=0.3)
    drawing.polyline([start, (start[0], TOP_MM)], stroke=FAINT, stroke_width=0.25)
    span = losses[-1].years
    for years in sorted({0.0, *(loss.years for loss in losses)}):
        x = start[0] + (end[0] - start[0]) * years / span
        drawing.polyline([(x, start[1]), (x, start[1] + 1.0)], stroke=INK, stroke_width=0.25)
        label = lang.text("today") if years == 0 else lang.plural("{count} year", "{count} years", int(years))
        if years not in (1.0,):
            anchor = "start" if years == 0 else "end" if years == span else "middle"
            drawing.text(x, start[1] + 4.8, label, 3.0, text_anchor=anchor, fill=QUIET)


def alternative(losses: Sequence[Loss], sheet_mm: float, lang: Language) -> str:
    """Say the curve in words."""
    said = [
        lang.plural(
            "after {count} year {low_thick_mm} to {high_thick_mm}",
            "after {count} years {low_thick_mm} to {high_thick_mm}",
            int(loss.years),
            low_thick_mm=loss.low_mm,
            high_thick_mm=loss.high_mm,
        ).unescape()
        for loss in losses
    ]
    head = lang.text("Steel lost from one open face: {list}.", list="; ".join(said)).unescape()
    tail = lang.text("A body sheet is {sheet_thick_mm}.", sheet_thick_mm=sheet_mm).unescape()
    return f"{head} {tail}"
