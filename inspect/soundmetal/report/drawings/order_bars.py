"""The order of work as bars over working days: all rows on one scale, a dashed bar while the car is away."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from soundmetal.report.drawings.svg import Drawing
from soundmetal.report.language import Language
from soundmetal.report.palette import FAINT, INK, LEVEL_FILL, PAPER, QUIET, RAMP

ROW_MM = 5.0


@dataclass(frozen=True)
class Days:
    """A stretch of working days from the first day's morning: 0.0 to 1.5 is the first day and half the second."""

    start: float
    end: float
    away: bool = False

    @property
    def first(self) -> int:
        """The day it begins, counted from 1."""
        return math.floor(self.start + 1e-9) + 1

    @property
    def last(self) -> int:
        """The day it ends, counted from 1."""
        return max(self.first, math.ceil(self.end - 1e-9))


def working_days(stretches: Iterable[Days]) -> tuple[tuple[int, int], ...]:
    """Give the days on which something happens, as runs of first and last day.

    >>> working_days([Days(0.0, 0.5), Days(1.2, 2.0), Days(5.0, 5.5)])
    ((1, 2), (6, 6))
    """
    days = sorted({day for stretch in stretches for day in range(stretch.first, stretch.last + 1)})
    runs: list[tuple[int, int]] = []
    for day in days:
        if runs and runs[-1][1] == day - 1:
            runs[-1] = (runs[-1][0], day)
        else:
            runs.append((day, day))
    return tuple(runs)


def tick_step(days: float) -> int:
    """Give how many days lie between two marks so that at most eight marks stand.

    >>> tick_step(6), tick_step(30), tick_step(80)
    (1, 5, 10)
    """
    return next(step for step in (1, 2, 5, 10, 20, 50, 100, 1000) if days / step <= 8)


def bar(days: Days, whole: float, words: str, *, away: bool = False, width_mm: float = 82.0) -> Markup:
    """Draw a row with one bar."""
    return bars([replace(days, away=away)], whole, words, width_mm)


def bars(stretches: Sequence[Days], whole: float, words: str, width_mm: float = 82.0) -> Markup:
    """Draw one row's bars; `words` is their text alternative, `whole` the days of all the work."""
    drawing = Drawing(width_mm, ROW_MM, words, css="bar")
    scale = (width_mm - 0.6) / max(whole, 1.0)
    days_at = (min(0.3 + d * scale, width_mm - 0.3) for d in range(0, math.ceil(whole) + 1, tick_step(whole)))
    drawing.segments((((x, 0.0), (x, ROW_MM)) for x in days_at), stroke=FAINT, stroke_width=0.15)
    for days in stretches:
        left, right = 0.3 + days.start * scale, 0.3 + days.end * scale
        style: dict[str, object] = {"fill": LEVEL_FILL[RAMP[3]]}
        if days.away:
            style = {"fill": PAPER, "stroke": INK, "stroke_width": 0.25, "stroke_dasharray": "1.1 0.7"}
        drawing.rect(left, 1.2, max(0.7, right - left), ROW_MM - 2.4, **style)
    return drawing.markup


def axis(whole: float, lang: Language, width_mm: float = 82.0) -> Markup:
    """Draw the row of day numbers above the bars."""
    words = lang.plural("{count} working day in all", "{count} working days in all", math.ceil(whole)).unescape()
    drawing = Drawing(width_mm, 4.4, words, css="bar")
    scale = (width_mm - 0.6) / max(whole, 1.0)
    step = tick_step(whole)
    for day in range(0, math.ceil(whole), step):
        x = 0.3 + day * scale
        drawing.polyline([(x, 3.4), (x, 4.4)], stroke=FAINT, stroke_width=0.15)
        if x < width_mm - 4.0:
            drawing.text(x + 0.6, 3.4, day + 1, 2.8, fill=QUIET)
    return drawing.markup
