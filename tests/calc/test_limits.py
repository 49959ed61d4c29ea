"""Guards: what cannot be is refused by name, nothing is bent into range."""

from __future__ import annotations

import math

import pytest

from soundmetal.calc.limits import not_negative, positive, within


@pytest.mark.parametrize("value", [0, -1, math.nan, math.inf])
def test_positive(value: float) -> None:
    with pytest.raises(ValueError, match=r"thickness_mm is .*more than 0"):
        positive(value, "thickness_mm")


@pytest.mark.parametrize("value", [-1e-9, math.nan, math.inf])
def test_not_negative(value: float) -> None:
    with pytest.raises(ValueError, match=r"gap_mm is .*0 or more"):
        not_negative(value, "gap_mm")


@pytest.mark.parametrize("value", [-0.1, 1.1, math.nan])
def test_within(value: float) -> None:
    with pytest.raises(ValueError, match=r"rho is .*between 0 and 1"):
        within(value, "rho", 0, 1)


def test_what_can_be_comes_back_unchanged() -> None:
    assert (positive(0.9, "a"), not_negative(0, "b"), within(1, "c", 0, 1)) == (0.9, 0, 1)
