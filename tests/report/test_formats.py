"""Numbers as readers know them, held against conversions worked by hand and against published unit definitions."""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.record.quantities import length_mm
from soundmetal.record.terms import Units
from soundmetal.report.formats import NBSP, sixteenths
from soundmetal.report.language import language


def spaced(text: str) -> str:
    return text.replace(NBSP, " ")


def look(code: str = "en", units: Units = Units.US, currency: str = "USD", step: str = "10"):
    return language(code, units, currency, round_to=Decimal(step)).look


#: 25.4 mm an inch exactly (international yard and pound agreement, 1959); the rest is arithmetic.
@pytest.mark.parametrize(
    ("mm", "said"),
    [
        (25.4, "1 in"),
        (12.7, "1/2 in"),
        (1.5875, "1/16 in"),
        (114.3, "4 1/2 in"),
        (0.5, "0.02 in"),
        (3048.0, "10.0 ft"),
    ],
)
def test_us_lengths(mm: float, said: str) -> None:
    assert spaced(look().length(mm)) == said


def test_long_inches_are_told_to_a_quarter_only() -> None:
    assert spaced(look().length(420.0)) == "16 1/2 in"  # 16.535 in


@pytest.mark.parametrize(("mm", "said"), [(9.6, "9.6 mm"), (150.4, "150 mm"), (2500.0, "2.5 m")])
def test_metric_lengths(mm: float, said: str) -> None:
    assert spaced(look(units=Units.METRIC).length(mm)) == said


def test_thickness_is_decimal_in_both() -> None:
    assert spaced(look().thickness(0.912)) == "0.036 in"  # 20 gauge, Manufacturers' Standard Gauge: 0.0359 in
    assert spaced(look(units=Units.METRIC).thickness(0.912)) == "0.91 mm"


def test_areas() -> None:
    assert spaced(look().area(6451.6)) == "10 sq in"
    assert spaced(look(units=Units.METRIC).area(12_000.0)) == "120 cm²"
    assert spaced(look(units=Units.METRIC).area(750_000.0)) == "0.75 m²"


def test_spanish_says_its_own_units() -> None:
    assert spaced(look("es").length(25.4)) == "1 pulg"
    assert spaced(look("es").area(6451.6)) == "10 pulg²"


def test_money_is_rounded_half_up_to_the_shops_step() -> None:
    assert look().money(Decimal("1245")) == "$1,250"
    assert look().money(Decimal("1244.99")) == "$1,240"
    assert look(step="0.01").money(Decimal("12.345")) == "$12.35"
    assert look().exact_money(Decimal("1244.995")) == "$1,245.00"
    assert spaced(look("es", Units.METRIC).money(1200.0)) == "USD 1,200"


def test_a_share_above_nothing_is_never_shown_as_nothing() -> None:
    assert spaced(look().percent(0.2)) == "<1 %"
    assert spaced(look().percent(0)) == "0 %"


def test_a_rate_is_told_as_it_was_written() -> None:
    assert spaced(look().percent(Decimal("7.5"))) == "7.5 %"
    assert spaced(look().percent(Decimal("8.875"))) == "8.875 %"
    assert spaced(look("es", Units.METRIC).percent(Decimal("30.00"))) == "30 %"
    assert spaced(look().percent(Decimal("0.25"))) == "0.25 %"


def test_dates_by_country() -> None:
    day = dt.date(2026, 11, 18)
    assert look().date(day) == "November 18, 2026"
    assert look(units=Units.METRIC).date(day) == "18 November 2026"
    assert look("es", Units.METRIC).date(day) == "18 de noviembre de 2026"


@given(st.floats(min_value=2.0, max_value=300.0))
def test_a_fraction_reads_back_within_half_a_sixteenth(mm: float) -> None:
    back = length_mm(f"{spaced(sixteenths(mm))} in")
    assert abs(back - mm) <= 25.4 / 32 + 1e-9


@given(st.integers(min_value=0, max_value=10**9), st.sampled_from(["1", "5", "10", "100"]))
def test_rounding_never_turns_a_range_round(cents: int, step: str) -> None:
    amount = Decimal(cents) / 100
    figures = [int(re.sub(r"\D", "", look(step=step).money(a))) for a in (amount, amount + Decimal("0.01"))]
    assert figures[0] <= figures[1]
    assert abs(figures[0] - amount) <= Decimal(step) / 2


def test_nothing_breaks_between_number_and_unit() -> None:
    shown = [look().length(500.0), look().hours(3.0), look("es", Units.METRIC).money(900.0), look().percent(40)]
    assert all(" " not in text for text in shown)
