"""The range of a price as a small strip: higher where the price is likelier, with marks at P10, likely and P90."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal

from markupsafe import Markup

from soundmetal.report.drawings.svg import Drawing, path_of
from soundmetal.report.language import Language
from soundmetal.report.palette import FAINT, INK, LEVEL_FILL, QUIET, RAMP
from soundmetal.scope.models import MoneyRange

#: Where an amount lies on the strip.
Scale = Callable[[float | Decimal], float]
HEIGHT_MM = 11.5
STRIP_MM = 4.2
TOP_MM = 1.0
WORDS_MM = 3.0


def range_strip(
    price: MoneyRange,
    lang: Language,
    *,
    histogram: Sequence[tuple[float, float]] = (),
    scale_to: tuple[float, float] | None = None,
    width_mm: float = 52.0,
) -> Markup:
    """Draw the strip. `scale_to` puts several strips on one scale; without a histogram the strip is a plain bar."""
    drawing = Drawing(width_mm, HEIGHT_MM, alternative(price, lang), css="range")
    low, high = scale_to or _span(price, histogram)
    reach = (high - low) or 1.0

    def x_of(amount: float | Decimal) -> float:
        return 0.4 + (width_mm - 0.8) * min(1.0, max(0.0, (float(amount) - low) / reach))

    drawing.polyline([(0.4, TOP_MM + STRIP_MM), (width_mm - 0.4, TOP_MM + STRIP_MM)], stroke=FAINT, stroke_width=0.2)
    _density(drawing, price, histogram, x_of)
    _marks(drawing, price, lang, x_of)
    return drawing.markup


def alternative(price: MoneyRange, lang: Language) -> str:
    """Say the strip in words."""
    return lang.text(
        "Price between {low_money} and {high_money}, most likely about {likely_money}.",
        low_money=price.low,
        likely_money=price.likely,
        high_money=price.high,
    ).unescape()


def _span(price: MoneyRange, histogram: Sequence[tuple[float, float]]) -> tuple[float, float]:
    edges = [float(price.low), float(price.high), *(amount for amount, share in histogram if share > 0)]
    pad = 0.04 * (max(edges) - min(edges))
    return min(edges) - pad, max(edges) + pad


def _density(drawing: Drawing, price: MoneyRange, histogram: Sequence[tuple[float, float]], x_of: Scale) -> None:
    """Bars whose height is the share of outcomes: a low hill, filled pale outside P10 to P90 and darker inside."""
    base = TOP_MM + STRIP_MM
    bins = [(amount, share) for amount, share in histogram if share > 0]
    if len(bins) < 3:
        left, right = x_of(price.low), x_of(price.high)
        drawing.rect(left, base - 1.5, max(0.4, right - left), 1.5, fill=LEVEL_FILL[RAMP[2]])
        return
    width = (bins[-1][0] - bins[0][0]) / (len(bins) - 1)
    most = max(share for _, share in bins)
    fills: dict[str, list[str]] = {}
    for amount, share in bins:
        left, right = x_of(amount - width / 2), x_of(amount + width / 2) + 0.05
        inside = float(price.low) <= amount <= float(price.high)
        top = base - STRIP_MM * share / most
        box = path_of([(left, base), (left, top), (right, top), (right, base)])
        fills.setdefault(LEVEL_FILL[RAMP[2]] if inside else LEVEL_FILL[RAMP[1]], []).append(box)
    for fill, boxes in fills.items():
        drawing.path("".join(boxes), fill=fill)


def _marks(drawing: Drawing, price: MoneyRange, lang: Language, x_of: Scale) -> None:
    base = TOP_MM + STRIP_MM
    for amount in (price.low, price.high):
        drawing.polyline([(x_of(amount), base - 1.2), (x_of(amount), base + 1.1)], stroke=QUIET, stroke_width=0.25)
    x = x_of(price.likely)
    drawing.polyline([(x, TOP_MM - 0.8), (x, base + 1.1)], stroke=INK, stroke_width=0.5)
    words = lang.text("likely {likely_money}", likely_money=price.likely).unescape()
    half = len(words) * WORDS_MM * 0.22
    x = min(max(x, half), drawing.width_mm - half)
    drawing.text(x, base + 4.2, words, WORDS_MM, text_anchor="middle")
