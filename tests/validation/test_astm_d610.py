"""ASTM D610-08(2012), Table 1, against our grade (published-read)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.handbook.area_grades import Spread, d610, d610_mark


@pytest.mark.parametrize(
    ("percent", "grade"),
    [
        pytest.param(0.01, 10, id="V13"),
        pytest.param(0.02, 9, id="V14"),
        pytest.param(0.1, 8, id="V15"),
        pytest.param(0.6, 6, id="V17"),
        pytest.param(1.0, 6, id="V18"),
        pytest.param(2.5, 5, id="V19"),
        pytest.param(3.01, 4, id="V20"),
        pytest.param(10, 4, id="V21"),
        pytest.param(33, 2, id="V23"),
        pytest.param(50, 1, id="V24"),
        pytest.param(51, 0, id="V25"),
    ],
)
def test_grade(percent: float, grade: int) -> None:
    assert d610(percent) == grade


def test_v25_carries_no_letter() -> None:
    assert (d610_mark(51, Spread.SPOT), d610_mark(0.005, Spread.PINPOINT)) == ("0", "10")
    assert d610_mark(0.6, Spread.GENERAL) == "6-G"  # written form: published-read


#: Upper limits of Table 1, read again from the printed table and not from our file.
PRINTED = {10: 0.01, 9: 0.03, 8: 0.1, 7: 0.3, 6: 1.0, 5: 3.0, 4: 10.0, 3: 16.0, 2: 33.0, 1: 50.0}


@pytest.mark.parametrize(("grade", "limit"), PRINTED.items())
def test_upper_limit_is_inside(grade: int, limit: float) -> None:
    assert d610(limit) == grade
    assert d610(math.nextafter(limit, 100)) == grade - 1


@pytest.mark.parametrize("percent", [-1, 101, math.inf])
def test_no_share_outside_0_to_100(percent: float) -> None:
    with pytest.raises(ValueError, match="0 to 100"):
        d610(percent)


@given(st.floats(0, 100), st.floats(0, 100))
def test_more_rust_never_grades_better(one: float, other: float) -> None:
    assert d610(min(one, other)) >= d610(max(one, other))
