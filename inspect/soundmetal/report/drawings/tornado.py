"""What drives the range of the price: a bar for each cause, from where it alone would take the price to where."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from soundmetal.report.drawings.svg import Drawing
from soundmetal.report.language import Language
from soundmetal.report.palette import INK, LEVEL_FILL, QUIET, RAMP
from soundmetal.scope.models import Driver

ROW_MM = 8.6
WORDS_MM = 3.0
_BAR_MM = 2.6
_AMOUNT_MM = 2.6
#: Kept free at each side for the amounts.
_SIDE_MM = 18.0


def tornado(drivers: Sequence[Driver], lang: Language, width_mm: float = 120.0) -> Markup:
    """Draw the causes, the largest share of the spread first; the line in the middle is the expected price."""
    drawing = Drawing(width_mm, max(1, len(drivers)) * ROW_MM + 1.0, alternative(drivers, lang), css="tornado")
    widest = max((max(abs(float(d.low)), abs(float(d.high))) for d in drivers), default=0.0) or 1.0
    middle = width_mm / 2
    reach = middle - _SIDE_MM
    for row, driver in enumerate(drivers):
        top = row * ROW_MM
        drawing.text(0.5, top + 3.2, lang.sentence(driver.text).unescape(), WORDS_MM)
        left, right = (middle + reach * float(end) / widest for end in (driver.low, driver.high))
        drawing.rect(left, top + 4.6, middle - left, _BAR_MM, fill=LEVEL_FILL[RAMP[1]], stroke=INK, stroke_width=0.2)
        drawing.rect(
            middle, top + 4.6, right - middle, _BAR_MM, fill=LEVEL_FILL[RAMP[2]], stroke=INK, stroke_width=0.2
        )
        _amounts(drawing, lang, driver, (left, right), top + 6.9)
    drawing.polyline([(middle, 4.0), (middle, drawing.height_mm - 0.6)], stroke_width=0.4)
    return drawing.markup


def alternative(drivers: Sequence[Driver], lang: Language) -> str:
    """Say the drawing in words."""
    if not drivers:
        return lang.text("Nothing moves the price.").unescape()
    said = "; ".join(lang.sentence(driver.text).unescape() for driver in drivers)
    return lang.text("What moves the price most, the largest first: {causes}.", causes=said).unescape()


def _amounts(drawing: Drawing, lang: Language, driver: Driver, ends: tuple[float, float], y: float) -> None:
    low, high = (lang.look.money(abs(amount)) for amount in (driver.low, driver.high))
    drawing.text(ends[0] - 1.0, y, f"−{low}", _AMOUNT_MM, fill=QUIET, text_anchor="end")
    drawing.text(ends[1] + 1.0, y, f"+{high}", _AMOUNT_MM, fill=QUIET)
