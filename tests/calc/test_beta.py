"""The incomplete beta function against its closed forms (whole-numbered shapes are binomial sums)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.beta import beta_cdf, beta_quantile

X = np.linspace(0, 1, 101)


@pytest.mark.parametrize(("a", "b"), [(1, 5), (5, 1), (3, 3), (2, 4), (4, 2), (1, 1), (2, 3)])
def test_whole_shapes_are_binomial_sums(a: int, b: int) -> None:
    """I_x(a, b) = sum over j from a to n of C(n, j) x^j (1-x)^(n-j), n = a + b - 1 (textbook)."""
    n = a + b - 1
    exact = sum(math.comb(n, j) * X**j * (1 - X) ** (n - j) for j in range(a, n + 1))
    assert np.allclose(beta_cdf(X, a, b), exact, rtol=0, atol=1e-14)


def test_half_shapes_are_an_arc_sine() -> None:
    """I_x(1/2, 1/2) = 2/pi asin(sqrt x) (textbook)."""
    assert np.allclose(beta_cdf(X, 0.5, 0.5), 2 / np.pi * np.arcsin(np.sqrt(X)), rtol=0, atol=1e-9)


@pytest.mark.parametrize(("a", "b"), [(7 / 3, 11 / 3), (1.2, 4.8), (4.9, 1.1)])
def test_against_the_integral(a: float, b: float) -> None:
    """The density summed by the midpoint rule: another way to the same share."""
    n = 200_000
    t = (np.arange(n) + 0.5) / n
    share = np.concatenate([[0.0], np.cumsum(t ** (a - 1) * (1 - t) ** (b - 1))])
    assert np.allclose(beta_cdf(np.linspace(0, 1, 11), a, b), (share / share[-1])[:: n // 10], rtol=0, atol=1e-6)


@given(st.floats(1, 5), st.floats(0, 1))
def test_quantile_undoes_the_share(a: float, share: float) -> None:
    x = float(beta_quantile(share, a, 6 - a))
    assert 0 <= x <= 1
    assert float(beta_cdf(x, a, 6 - a)) == pytest.approx(share, abs=3e-6)


@given(st.floats(1, 5), st.floats(0, 1))
def test_both_sides_are_mirror_images(a: float, x: float) -> None:
    assert float(beta_cdf(x, a, 6 - a)) == pytest.approx(1 - float(beta_cdf(1 - x, 6 - a, a)), abs=1e-12)


@pytest.mark.parametrize(("x", "a", "b"), [(-0.1, 2, 2), (1.1, 2, 2), (0.5, 0, 2), (0.5, 2, 21), (math.nan, 2, 2)])
def test_what_cannot_be_is_refused(x: float, a: float, b: float) -> None:
    with pytest.raises(ValueError, match="must"):
        beta_cdf(x, a, b)


@pytest.mark.parametrize("share", [-0.1, 1.1, math.nan])
def test_a_share_is_0_to_1(share: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        beta_quantile(share, 2, 4)
