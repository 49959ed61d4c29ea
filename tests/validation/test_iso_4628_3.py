"""ISO 4628-3:2003 and :2016, Table 1 and Annex B, against our degree of rusting.

Pictures and European degrees: second-hand (a maker's company standard that carries the table). The rules between the
pictures are a choice of this project (computed from the table).
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.handbook import area_grades


@pytest.mark.parametrize(
    ("percent", "degree"),
    [  # both rules must agree on the pictures themselves (second-hand)
        pytest.param(0, 0, id="V01"),
        pytest.param(0.05, 1, id="V02"),
        pytest.param(0.5, 2, id="V03"),
        pytest.param(1, 3, id="V04"),
        pytest.param(8, 4, id="V05"),
        pytest.param(45, 5, id="V06"),
    ],
)
def test_pictures(percent: float, degree: int) -> None:
    assert area_grades.ri(percent, rule="ceiling") == degree
    assert area_grades.ri(percent, rule="nearest") == degree


def test_v07_ceiling() -> None:
    assert area_grades.ri(0.6) == 3  # computed, chosen rule


def test_v08_nearest() -> None:
    border = 0.7071  # computed: geometric mean of the pictures 0.5 and 1 %
    assert area_grades.ri(0.6, rule="nearest") == 2
    assert (area_grades.ri(border - 0.0001, "nearest"), area_grades.ri(border + 0.0001, "nearest")) == (2, 3)


def test_v09_both_rules() -> None:
    border = 2.828  # computed: geometric mean of the pictures 1 and 8 %
    assert (area_grades.ri(3), area_grades.ri(3, "nearest")) == (4, 4)
    assert (area_grades.ri(border - 0.001, "nearest"), area_grades.ri(border + 0.001, "nearest")) == (3, 4)


@pytest.mark.parametrize(
    ("degree", "european"),
    [(0, 0), (1, 1), (2, 2), (3, 3), pytest.param(4, 5, id="V11"), pytest.param(5, 7, id="V12")],
)
def test_european_scale(degree: int, european: int) -> None:
    assert area_grades.european(degree) == european  # second-hand


@pytest.mark.parametrize(
    ("rule", "limits"), [("ceiling", (0.05, 0.5, 1, 8)), ("nearest", (0.158, 0.707, 2.83, 18.97))]
)
def test_borders_as_printed_in_the_table_of_rules(rule: area_grades.Rule, limits: tuple[float, ...]) -> None:
    """Computed from the pictures, printed to 3 or 4 figures: just below and just above it fall apart."""
    for degree, limit in enumerate(limits, start=1):
        assert area_grades.ri(limit * 0.999, rule) == degree
        assert area_grades.ri(limit * 1.002, rule) == degree + 1


@pytest.mark.parametrize("percent", [-0.1, 100.1, math.nan])
def test_no_share_outside_0_to_100(percent: float) -> None:
    with pytest.raises(ValueError, match="0 to 100"):
        area_grades.ri(percent)


@given(st.floats(0, 100), st.floats(0, 100), st.sampled_from(["ceiling", "nearest"]))
def test_more_rust_never_grades_better(one: float, other: float, rule: area_grades.Rule) -> None:
    assert area_grades.ri(min(one, other), rule) <= area_grades.ri(max(one, other), rule)


@given(st.floats(0, 100))
def test_ceiling_never_flatters(percent: float) -> None:
    assert area_grades.ri(percent) >= area_grades.ri(percent, "nearest")
