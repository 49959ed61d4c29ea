"""What drives the range of the price: a bar for each cause, from where it alone would take the price to where."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from soundmetal.report.drawings.svg import Drawing
from soundmetal.report.language import Language
from soundmetal.report.palette import INK, LEVEL_FILL, PAPER, RAMP
from soundmetal.scope.models import Driver

ROW_MM = 4.6
_BAR_MM = 2.8


def widest(drivers: Sequence[Driver]) -> float:
    """Give the largest amount that any of the causes moves the price by: all bars are drawn to its scale."""
    return max((max(abs(float(d.low)), abs(float(d.high))) for d in drivers), default=0.0) or 1.0


def swing(driver: Driver, lang: Language, reach: float, width_mm: float = 60.0) -> Markup:
    """Draw one cause's bar: open to the left for less, dark to the right for more.

    The line in the middle is the expected price, both ends of the drawing are `reach` away from it.
    """
    drawing = Drawing(width_mm, ROW_MM, _said(driver, lang), css="tornado")
    middle, top = width_mm / 2, (ROW_MM - _BAR_MM) / 2
    left, right = (middle + (middle - 0.4) * float(end) / reach for end in (driver.low, driver.high))
    drawing.rect(left, top, middle - left, _BAR_MM, fill=PAPER, stroke=INK, stroke_width=0.3)
    drawing.rect(middle, top, right - middle, _BAR_MM, fill=LEVEL_FILL[RAMP[4]], stroke=INK, stroke_width=0.3)
    drawing.polyline([(middle, 0.0), (middle, ROW_MM)], stroke_width=0.4)
    return drawing.markup


def _said(driver: Driver, lang: Language) -> str:
    text = "{cause}: by {less_money} less to {more_money} more."
    cause = lang.sentence(driver.text)
    return lang.text(text, cause=cause, less_money=abs(driver.low), more_money=abs(driver.high)).unescape()


def alternative(drivers: Sequence[Driver], lang: Language) -> str:
    """Say all causes in words, the largest first."""
    if not drivers:
        return lang.text("Nothing moves the price.").unescape()
    said = "; ".join(lang.sentence(driver.text).unescape() for driver in drivers)
    return lang.text("What moves the price most, the largest first: {causes}.", causes=said).unescape()
