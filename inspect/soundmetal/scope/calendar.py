"""The shop's working days as dates: weekdays on which it works, without its holidays."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from itertools import islice

from soundmetal.record.shopbook import WorkingDays

#: As Python counts them, Monday first.
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def working_dates(starts: dt.date, count: int, days: WorkingDays) -> tuple[dt.date, ...]:
    """Give the first `count` working days from `starts` on; the first is `starts` itself where the shop works then.

    >>> plain = WorkingDays(holidays=(dt.date(2026, 12, 25),))
    >>> [str(day) for day in working_dates(dt.date(2026, 12, 24), 2, plain)]  # a Thursday; Friday is a holiday
    ['2026-12-24', '2026-12-28']
    """
    return tuple(islice(_working(starts, days), count))


def _working(starts: dt.date, days: WorkingDays) -> Iterator[dt.date]:
    weekdays = {WEEKDAYS.index(name) for name in days.weekdays}
    closed = frozenset(days.holidays)
    ordinal = starts.toordinal()
    while ordinal <= dt.date.max.toordinal():
        day = dt.date.fromordinal(ordinal)
        if day.weekday() in weekdays and day not in closed:
            yield day
        ordinal += 1
