"""The order of work as bars over working days: all rows on one scale, a dashed bar while the car is away.

A dark bar lies on the critical path: what slips there moves the end. With dates, a heavier line stands where days on
which the shop does not work are left out.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from soundmetal.report.drawings.svg import Drawing
from soundmetal.report.language import Language
from soundmetal.report.palette import FAINT, INK, LEVEL_FILL, PAPER, QUIET, RAMP

ROW_MM = 5.0
PARTED_MM = 0.25


@dataclass(frozen=True)
class Days:
    """A stretch of working days from the first day's morning: 0.0 to 1.5 is the first day and half the second."""

    start: float
    end: float
    away: bool = False
    critical: bool = False

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


def tick_step(days: float, most: int = 8) -> int:
    """Give how many days lie between two marks so that at most eight (or `most`) marks stand.

    >>> tick_step(6), tick_step(30), tick_step(80)
    (1, 5, 10)
    """
    return next(step for step in (1, 2, 5, 10, 20, 50, 100, 1000) if days / step <= most)


def bar(days: Days, whole: float, words: str, *, away: bool = False, width_mm: float = 82.0) -> Markup:
    """Draw a row with one bar."""
    return bars([replace(days, away=away)], whole, words, width_mm)


def bars(
    stretches: Sequence[Days], whole: float, words: str, width_mm: float = 82.0, *, row_mm: float = ROW_MM,
    most: int = 8, dates: Sequence[dt.date] = (),
) -> Markup:  # fmt: skip
    """Draw one row's bars; `words` is their text alternative, `whole` the days of all the work, `dates` theirs."""
    drawing = Drawing(width_mm, row_mm, words, css="bar")
    scale = (width_mm - 0.6) / max(whole, 1.0)
    days_at = (min(0.3 + d * scale, width_mm - 0.3) for d in range(0, math.ceil(whole) + 1, tick_step(whole, most)))
    drawing.segments((((x, 0.0), (x, row_mm)) for x in days_at), stroke=FAINT, stroke_width=0.15)
    left_out = (0.3 + day * scale for day in breaks(dates) if day <= whole)
    drawing.segments((((x, 0.0), (x, row_mm)) for x in left_out), stroke=QUIET, stroke_width=0.4)
    room = 0.24 * row_mm
    for days in stretches:
        left, right = 0.3 + days.start * scale, 0.3 + days.end * scale
        # A sliver of paper parts one dark step from the next; a light one has an outline.
        parted = PARTED_MM if days.critical and not days.away else 0.0
        drawing.rect(left, room, max(0.7, right - left - parted), row_mm - 2 * room, **_style(days))
    return drawing.markup


def breaks(dates: Sequence[dt.date]) -> tuple[int, ...]:
    """Give the working days before which others are left out, counted from 0.

    >>> breaks([dt.date(2026, 11, 27), dt.date(2026, 11, 30), dt.date(2026, 12, 1)])
    (1,)
    """
    return tuple(n for n in range(1, len(dates)) if (dates[n] - dates[n - 1]).days > 1)


def _style(days: Days) -> dict[str, object]:
    if days.away:
        heavy = 0.55 if days.critical else 0.25
        return {"fill": PAPER, "stroke": INK, "stroke_width": heavy, "stroke_dasharray": "1.1 0.7"}
    if days.critical:
        return {"fill": LEVEL_FILL[RAMP[4]]}
    return {"fill": LEVEL_FILL[RAMP[1]], "stroke": INK, "stroke_width": 0.15}


def axis(
    whole: float, lang: Language, width_mm: float = 82.0, *, dates: Sequence[dt.date] = (), most: int = 8,
    size: float = 2.8,
) -> Markup:  # fmt: skip
    """Draw the row of day numbers, or dates, above the bars."""
    words = lang.plural("{count} working day in all", "{count} working days in all", math.ceil(whole)).unescape()
    drawing = Drawing(width_mm, size + 1.6, words, css="bar")
    scale = (width_mm - 0.6) / max(whole, 1.0)
    for day in range(0, math.ceil(whole), tick_step(whole, most)):
        x = 0.3 + day * scale
        drawing.polyline([(x, size + 0.6), (x, size + 1.6)], stroke=FAINT, stroke_width=0.15)
        shown = lang.look.day(dates[day]) if dates else str(day + 1)
        if x < width_mm - 0.6 - 0.5 * size * len(shown):
            drawing.text(x + 0.6, size + 0.6, shown, size, fill=QUIET)
    return drawing.markup
