"""Three-point estimates: edges and laws. Published figures: tests/validation/test_pert.py."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.three_point import pert_mean, pert_quantile, pert_shape, pert_variance
from soundmetal.calc.triangular import triangular_mean, triangular_quantile, triangular_variance

THREE = st.tuples(st.floats(0, 1e4), st.floats(0, 1e4), st.floats(0, 1e4)).map(sorted)


@pytest.mark.parametrize(("low", "likely", "high"), [(2, 1, 3), (1, 3, 2), (math.nan, 1, 2), (0, 1, math.inf)])
def test_out_of_order_is_refused(low: float, likely: float, high: float) -> None:
    for formula in (pert_mean, pert_variance, pert_shape, triangular_mean, triangular_variance):
        with pytest.raises(ValueError, match="may only rise"):
            formula(low, likely, high)


def test_a_fixed_value_is_itself() -> None:
    assert (pert_mean(3, 3, 3), pert_variance(3, 3, 3), float(pert_quantile(3, 3, 3, 0.9))) == (3, 0, 3)
    assert (triangular_mean(3, 3, 3), triangular_variance(3, 3, 3), triangular_quantile(3, 3, 3, 0.2)) == (3, 0, 3)
    with pytest.raises(ValueError, match="no spread"):
        pert_shape(3, 3, 3)


@given(THREE, st.floats(0, 1), st.floats(0, 1))
def test_quantiles_rise_and_stay_inside(three: list[float], one: float, other: float) -> None:
    low, likely, high = three
    under, over = (float(pert_quantile(low, likely, high, share)) for share in sorted((one, other)))
    assert low <= under <= over <= high
    under, over = (triangular_quantile(low, likely, high, share) for share in sorted((one, other)))
    slack = 1e-9 * (1 + high)
    assert low - slack <= under <= over + slack <= high + 2 * slack


@given(THREE, st.floats(0.1, 10))
def test_everything_scales(three: list[float], factor: float) -> None:
    low, likely, high = three
    scaled = [value * factor for value in three]
    assert pert_mean(*scaled) == pytest.approx(factor * pert_mean(low, likely, high), rel=1e-9, abs=1e-9)
    expected = factor**2 * pert_variance(low, likely, high)
    assert pert_variance(*scaled) == pytest.approx(expected, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("likely", [0.0, 1.0])
def test_likely_at_an_end(likely: float) -> None:
    """Shapes 1 and 5: the share has a closed form, 1 - (1 - x)^5 or x^5 (textbook)."""
    expected = 1 - 0.5**0.2 if likely == 0 else 0.5**0.2
    assert float(pert_quantile(0, likely, 1, 0.5)) == pytest.approx(expected, abs=3e-6)


@pytest.mark.parametrize("share", [-0.1, 1.1, math.nan])
def test_a_share_is_0_to_1(share: float) -> None:
    with pytest.raises(ValueError, match="share is"):
        triangular_quantile(5, 8, 14, share)
    with pytest.raises(ValueError, match="share must"):
        pert_quantile(5, 8, 14, share)
