"""The bars of what drives the price: to one scale, round one line, each with its sentence and its amounts."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest

from soundmetal.grade.models import Step
from soundmetal.record.terms import Units
from soundmetal.report.drawings.tornado import alternative, swing, widest
from soundmetal.report.language import language
from soundmetal.scope.models import Driver

BAR = re.compile(r'<path d="M([\d.]+) ([\d.]+)L([\d.]+) ')
US = language("en", Units.US, "USD").with_zones({"rocker.left.outer": "Left outer rocker"})


def driver(low: str, high: str, share: float = 0.5) -> Driver:
    text = Step("How far the rust goes once it is open: {panel_zone}", {"panel_zone": "rocker.left.outer"}, "test")
    return Driver("growth", "rocker.left.outer", "", text, share, Decimal(low), Decimal(high))


def test_bars_are_to_one_scale_round_one_line() -> None:
    drivers = [driver("-100.00", "200.00"), driver("-50.00", "50.00")]
    assert widest(drivers) == 200.0
    bars = [
        (float(x0), float(x1))
        for one in drivers
        for x0, _y, x1 in BAR.findall(str(swing(one, US, widest(drivers), 120.8)))[:2]
    ]
    assert [x1 - x0 for x0, x1 in bars] == pytest.approx([30.0, 60.0, 15.0, 15.0], abs=0.02)
    assert bars[1][0] == bars[3][0] == 60.4


def test_a_bar_says_its_amounts() -> None:
    told = str(swing(driver("-100.00", "200.00"), US, 200.0))
    assert "left outer rocker: by $100 less to $200 more." in told


@pytest.mark.parametrize(("code", "begins"), [("en", "What moves the price most"), ("es", "Lo que más mueve")])
def test_it_can_be_read_aloud(code: str, begins: str) -> None:
    lang = language(code, Units.US, "USD").with_zones({"rocker.left.outer": "left outer rocker"})
    told = alternative([driver("-1.00", "1.00")], lang)
    assert told.startswith(begins)
    assert "left outer rocker" in told


def test_nothing_that_varies_is_told_so() -> None:
    assert alternative([], US) == "Nothing moves the price."
    assert widest([]) == 1.0
