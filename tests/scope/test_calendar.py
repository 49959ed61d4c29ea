from __future__ import annotations

import calendar
import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from soundmetal.record.shopbook import WorkingDays
from soundmetal.scope.calendar import WEEKDAYS, working_dates

DAYS = st.dates(dt.date(2000, 1, 1), dt.date(2100, 1, 1))


def test_weekdays_are_those_of_the_calendar() -> None:
    """The names follow the standard library's calendar, and a day known from print: 25 December 2026 is a Friday."""
    assert tuple(name.lower() for name in calendar.day_abbr) == WEEKDAYS
    assert WEEKDAYS[dt.date(2026, 12, 25).weekday()] == "fri"


@given(DAYS, st.integers(0, 60), st.sets(st.sampled_from(WEEKDAYS), min_size=1), st.lists(DAYS, max_size=8))
def test_every_working_day_and_no_other(
    starts: dt.date, count: int, weekdays: set[str], closed: list[dt.date]
) -> None:
    days = WorkingDays(weekdays=tuple(sorted(weekdays)), holidays=tuple(closed))
    found = working_dates(starts, count, days)
    assert len(found) == count
    span = [starts + dt.timedelta(n) for n in range((found[-1] - starts).days + 1)] if found else []
    assert list(found) == [day for day in span if WEEKDAYS[day.weekday()] in weekdays and day not in closed]


def test_the_end_of_time_ends_the_calendar() -> None:
    assert working_dates(dt.date(9999, 12, 31), 5, WorkingDays()) == (dt.date(9999, 12, 31),)


def test_a_shop_works_some_day() -> None:
    with pytest.raises(ValidationError, match="weekdays"):
        WorkingDays(weekdays=())
