"""Differences are told as finely as the figures they lie between, and nothing is told of work that there is not."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from offers import an_offer

from soundmetal.record.offer import Ends
from soundmetal.record.terms import Aim, Units
from soundmetal.report.language import Language, language
from soundmetal.report.pages import differences


def reader() -> Language:
    return language("en", Units.US, "USD", round_to=Decimal(10))


def test_differences_are_told_as_they_are_rounded() -> None:
    lang = reader()
    assert differences.more_money(lang, Decimal("4.99")) == "as much as before"
    assert differences.more_money(lang, Decimal("-5")) == "about $10 less"
    assert differences.more_hours(lang, 0.04) == "as many hours as before"
    assert differences.more_hours(lang, 0.06).replace("\u00a0", " ") == "about 0.1 h more"
    assert differences.more_days(lang, 0.5) == "as many days as before"
    assert differences.more_days(lang, -1.2) == "about 1 day less"


@given(st.decimals(min_value=-100_000, max_value=100_000, places=2))
def test_more_and_less_mirror_each_other(amount: Decimal) -> None:
    more, less = differences.more_money(reader(), amount), differences.more_money(reader(), -amount)
    swapped = str(more).replace("more", "?").replace("less", "more").replace("?", "less")
    assert swapped == str(less)
    assert (more == "as much as before") == (abs(amount) < 5)


def test_a_place_that_is_left_takes_no_work() -> None:
    panel = an_offer(method="leave").aims[Aim.SOUND].panels["zone.F1"]
    assert differences.taken(reader(), panel) == "no work"
    other = an_offer().aims[Aim.SOUND].panels["zone.F1"]
    assert differences.taken(reader(), other) == "$800 to $1,200, 1.0 to 3.0 hours"


@pytest.mark.parametrize(
    ("days", "told"),
    [
        ((0.0, 0.0, 0.0), "no work"),
        ((0.1, 0.2, 0.4), "less than a working day"),
        ((1.2, 2.0, 3.6), "1 to 4 working days"),
    ],
)
def test_days_are_told_whole(days: tuple[float, float, float], told: str) -> None:
    offer = an_offer()
    ends = Ends(low=days[0], likely=days[1], high=days[2])
    now = offer.model_copy(
        update={"aims": {aim: one.model_copy(update={"days": ends}) for aim, one in offer.aims.items()}}
    )
    rows = differences.sum_rows(reader(), offer, now, Aim.SOUND)
    assert rows[2].now == told
    assert rows[2].then == "1 to 3 working days"


def test_nothing_is_drawn_where_there_is_no_price() -> None:
    nothing = an_offer(price=0)
    free = {
        aim: one.model_copy(update={"price": one.price.model_copy(update={"high": Decimal(0)})})
        for aim, one in nothing.aims.items()
    }
    nothing = nothing.model_copy(update={"aims": free})
    assert differences.two_strips(reader(), nothing, nothing, Aim.SOUND) == ()
    assert len(differences.two_strips(reader(), an_offer(), nothing, Aim.SOUND)) == 2
