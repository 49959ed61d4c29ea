"""The simulation's own promises: same seed, same totals; items of their own; the correlation asked for.

Moments against analytic values: tests/validation/test_pert.py.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.spread import item_draws, quantiles, simulate, sum_variance

LOWS, LIKELIES, HIGHS = [1.0, 2.0, 4.0], [2.0, 2.0, 5.0], [5.0, 2.0, 9.0]


def ranks(values: np.ndarray) -> np.ndarray:
    return np.argsort(np.argsort(values, kind="stable"), kind="stable").astype(float)


def test_same_seed_same_totals() -> None:
    assert np.array_equal(simulate(LOWS, LIKELIES, HIGHS, 0.4, seed=5), simulate(LOWS, LIKELIES, HIGHS, 0.4, seed=5))
    other = simulate(LOWS, LIKELIES, HIGHS, 0.4, seed=6)
    assert not np.array_equal(simulate(LOWS, LIKELIES, HIGHS, 0.4, seed=5), other)


def test_totals_are_the_sum_of_the_items() -> None:
    items = list(item_draws(LOWS, LIKELIES, HIGHS, 0.4, seed=5))
    assert np.allclose(sum(items), simulate(LOWS, LIKELIES, HIGHS, 0.4, seed=5), rtol=1e-12)


def test_an_item_does_not_feel_another_change() -> None:
    before = list(item_draws(LOWS, LIKELIES, HIGHS, 0.4, seed=5))
    after = list(item_draws(LOWS, [2.0, 2.0, 6.0], [9.0, 2.0, 9.0], 0.4, seed=5))
    assert np.array_equal(before[1], after[1])
    assert not np.array_equal(before[0], after[0])
    assert np.array_equal(ranks(before[0]), ranks(after[0]))


def test_a_fixed_item_only_shifts() -> None:
    free = simulate([1.0], [2.0], [5.0], 0.4, seed=5)
    assert np.allclose(simulate([1.0, 7.0], [2.0, 7.0], [5.0, 7.0], 0.4, seed=5), free + 7.0, rtol=1e-12)


@pytest.mark.parametrize("rho", [0.0, 0.3, 0.7])
def test_rank_correlation(rho: float) -> None:
    """Spearman of normal scores is 6/pi asin(rho/2) (textbook); five standard errors of 10 000 draws."""
    one, other = item_draws([1, 1], [2, 8], [9, 9], rho, seed=3)
    found = float(np.corrcoef(ranks(one), ranks(other))[0, 1])
    assert found == pytest.approx(6 / math.pi * math.asin(rho / 2), abs=0.05)


def test_full_correlation_deals_alike() -> None:
    one, other = item_draws([1, 1], [2, 8], [9, 9], 1.0, seed=3)
    assert np.array_equal(ranks(one), ranks(other))


def test_more_correlation_spreads_more() -> None:
    lows, likelies, highs = [1.0] * 8, [2.0] * 8, [5.0] * 8
    spans = []
    for rho in (0.0, 0.3, 0.6, 1.0):
        p10, p90 = quantiles(simulate(lows, likelies, highs, rho, seed=2), (0.1, 0.9))
        spans.append(p90 - p10)
    assert spans == sorted(spans)


def test_no_items_cost_nothing() -> None:
    assert not simulate([], [], [], 0.4, draws=3, seed=1).any()


@given(
    st.lists(st.tuples(st.floats(0, 100), st.floats(0, 100), st.floats(0, 100)).map(sorted), min_size=1, max_size=4),
    st.floats(0, 1),
)
def test_totals_stay_between_the_sums_of_the_ends(threes: list[list[float]], rho: float) -> None:
    lows, likelies, highs = ([three[i] for three in threes] for i in range(3))
    totals = simulate(lows, likelies, highs, rho, draws=50, seed=1)
    slack = 1e-9 * (1 + math.fsum(highs))
    assert math.fsum(lows) - slack <= float(totals.min())
    assert float(totals.max()) <= math.fsum(highs) + slack
    p10, p50, p90 = quantiles(totals)
    assert p10 <= p50 <= p90


@pytest.mark.parametrize(
    ("lows", "likelies", "highs", "rho", "draws", "what"),
    [
        ([1.0], [2.0, 3.0], [4.0], 0.4, 10, "do not belong together"),
        ([1.0], [0.5], [4.0], 0.4, 10, "may only rise"),
        ([1.0], [2.0], [4.0], 1.1, 10, "rho is"),
        ([1.0], [2.0], [4.0], -0.1, 10, "rho is"),
        ([1.0], [2.0], [4.0], 0.4, 0, "at least 1"),
    ],
)
def test_what_cannot_be_is_refused(
    lows: list[float], likelies: list[float], highs: list[float], rho: float, draws: int, what: str
) -> None:
    with pytest.raises(ValueError, match=what):
        simulate(lows, likelies, highs, rho, draws, seed=1)


def test_quantiles_need_totals_and_shares() -> None:
    with pytest.raises(ValueError, match="no totals"):
        quantiles(np.array([]))
    with pytest.raises(ValueError, match="share is"):
        quantiles(np.array([1.0]), (1.5,))


@given(st.lists(st.floats(0, 100), max_size=6), st.floats(0, 1))
def test_variance_of_a_sum_lies_between_none_and_full_correlation(sigmas: list[float], rho: float) -> None:
    least, most = math.fsum(s * s for s in sigmas), math.fsum(sigmas) ** 2
    assert least * (1 - 1e-12) <= sum_variance(sigmas, rho) <= most * (1 + 1e-12)
