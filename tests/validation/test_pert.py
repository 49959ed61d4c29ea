"""Three-point estimates and their sums: Taylor's PERT example, a solved exercise, published beta-PERT shapes; and the
simulation against the moments that can be written down.
"""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc import spread, three_point, triangular


def test_est_01_classic() -> None:
    assert three_point.pert_mean(5, 8, 14) == pytest.approx(8.5, abs=0.0005)  # computed
    assert three_point.pert_classic_sigma(5, 14) == pytest.approx(1.5, abs=0.0005)


def test_est_02_beta_pert() -> None:
    assert three_point.pert_shape(5, 8, 14) == pytest.approx((2.3333, 3.6667), abs=0.0005)  # published-read
    assert three_point.pert_variance(5, 8, 14) == pytest.approx(2.75, abs=0.0005)  # computed
    assert three_point.pert_variance(5, 8, 14) ** 0.5 == pytest.approx(1.6583, abs=0.0005)


def test_est_03_triangular() -> None:
    assert triangular.triangular_mean(5, 8, 14) == pytest.approx(9, abs=0.0005)  # computed
    assert triangular.triangular_variance(5, 8, 14) == pytest.approx(3.5, abs=0.0005)
    assert triangular.triangular_variance(5, 8, 14) ** 0.5 == pytest.approx(1.8708, abs=0.0005)


@pytest.mark.parametrize(("share", "value"), [(0.1, 6.6432), (0.5, 8.8038), (0.8, 10.7137), (0.9, 11.6762)])
def test_est_04_triangular_quantiles(share: float, value: float) -> None:
    assert triangular.triangular_quantile(5, 8, 14, share) == pytest.approx(value, abs=0.001)  # computed


@pytest.mark.parametrize(("share", "value"), [(0.1, 6.377), (0.5, 8.382), (0.8, 9.987), (0.9, 10.800)])
def test_est_05_beta_pert_quantiles(share: float, value: float) -> None:
    assert float(three_point.pert_quantile(5, 8, 14, share)) == pytest.approx(value, abs=0.003)  # computed elsewhere


#: Taylor, Introduction to Management Science, PERT example (published-read): low, likely, high, expected.
TAYLOR = [(5, 8, 17, 9), (7, 10, 13, 10), (3, 5, 7, 5), (1, 3, 5, 3), (4, 6, 8, 6), (3, 3, 3, 3), (3, 4, 5, 4)]


@pytest.mark.parametrize(("low", "likely", "high", "expected"), TAYLOR)
def test_est_06_expected_times(low: float, likely: float, high: float, expected: float) -> None:
    assert three_point.pert_mean(low, likely, high) == pytest.approx(expected, abs=0.001)


def test_est_07_critical_path_of_the_example() -> None:
    """Activities 1, 3, 5, 7: the book prints a mean of 24 and .9633 (from z = 1.79) with the classic sigma."""
    path = [TAYLOR[0], TAYLOR[2], TAYLOR[4], TAYLOR[6]]
    mean = math.fsum(three_point.pert_mean(*row[:3]) for row in path)
    variance = spread.sum_variance([three_point.pert_classic_sigma(row[0], row[2]) for row in path], rho=0)
    assert (mean, variance) == (pytest.approx(24, abs=0.0005), pytest.approx(5.0, abs=0.0005))
    assert NormalDist(mean, variance**0.5).cdf(28) == pytest.approx(0.9633, abs=0.0005)  # published-read


@pytest.mark.parametrize(("rho", "sigma"), [(0, 3.0), (0.3, 4.1352), (1, 6.0)])
def test_est_12_sigma_of_a_sum(rho: float, sigma: float) -> None:
    assert spread.sum_variance([1.5] * 4, rho) ** 0.5 == pytest.approx(sigma, abs=0.001)  # computed


def test_lab_01_hours_of_one_seam() -> None:
    """0.4 / 0.6 / 1.0 h a foot of visible seam (common practice, no source) over 567.381 mm; arithmetic computed."""
    feet = 567.381 / 304.8
    assert feet == pytest.approx(1.8615, abs=0.001)
    assert feet * three_point.pert_mean(0.4, 0.6, 1.0) == pytest.approx(1.1789, abs=0.001)
    assert feet * three_point.pert_classic_sigma(0.4, 1.0) == pytest.approx(0.1861, abs=0.001)


# The simulation against written-down moments: within 1 % for any single seed, as was promised.

ITEMS = [(5.0, 8.0, 14.0), (0.5, 1.0, 2.0), (2.0, 2.0, 6.0), (3.0, 9.0, 9.0), (4.0, 4.0, 4.0), (1.0, 1.2, 9.0)]
LOWS, LIKELIES, HIGHS = ([row[i] for row in ITEMS] for i in range(3))
MEAN = math.fsum(three_point.pert_mean(*row) for row in ITEMS)
SIGMAS = [three_point.pert_variance(*row) ** 0.5 for row in ITEMS]
SEEDS = range(5)
#: Of 10 000 independent draws a variance scatters by 1.4 %: so few seeds in a row cannot all be near by chance.
MANY_SEEDS = range(20)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("rho", [0.0, 0.4, 1.0])
def test_simulated_mean(rho: float, seed: int) -> None:
    """One value from every slice: the mean has almost no chance left in it, whatever the correlation."""
    totals = spread.simulate(LOWS, LIKELIES, HIGHS, rho, seed=seed)
    assert float(totals.mean()) == pytest.approx(MEAN, rel=1e-4)


@pytest.mark.parametrize("count", [2, 6, 60])
def test_simulated_variance_of_independent_items(count: int) -> None:
    for seed in MANY_SEEDS:
        totals = spread.simulate([5.0] * count, [8.0] * count, [14.0] * count, 0.0, seed=seed)
        assert float(totals.var()) == pytest.approx(count * 2.75, rel=0.01), seed


def test_simulated_variance_of_independent_unlike_items() -> None:
    for seed in MANY_SEEDS:
        totals = spread.simulate(LOWS, LIKELIES, HIGHS, 0.0, seed=seed)
        assert float(totals.var()) == pytest.approx(math.fsum(s * s for s in SIGMAS), rel=0.01), seed


@pytest.mark.parametrize("seed", SEEDS)
def test_simulated_variance_of_fully_correlated_items(seed: int) -> None:
    """Items of one shape move as one: variance is the square of the summed sigmas."""
    lows, likelies, highs = [5.0, 0.5, 10.0], [8.0, 0.8, 16.0], [14.0, 1.4, 28.0]
    totals = spread.simulate(lows, likelies, highs, 1.0, seed=seed)
    summed = 2.75**0.5 * (1 + 0.1 + 2)
    assert float(totals.std()) == pytest.approx(summed, rel=1e-3)


def test_simulated_variance_in_between() -> None:
    """Average of five runs; leaning shapes lose a little product-moment correlation, so the limit is 2 % of sigma."""
    runs = [spread.simulate([5.0] * 6, [8.0] * 6, [14.0] * 6, 0.4, seed=seed).std() for seed in SEEDS]
    assert float(np.mean(runs)) == pytest.approx(spread.sum_variance([2.75**0.5] * 6, 0.4) ** 0.5, rel=0.02)


def test_simulated_variance_of_unlike_items_never_passes_full_correlation() -> None:
    for rho in (0.0, 0.4, 1.0):
        sigma = float(spread.simulate(LOWS, LIKELIES, HIGHS, rho, seed=1).std())
        assert sigma <= math.fsum(SIGMAS) * (1 + 1e-3)


def test_one_item_has_the_quantiles_of_its_distribution() -> None:
    totals = spread.simulate([5], [8], [14], 0.4, seed=11)
    assert spread.quantiles(totals) == pytest.approx((6.377, 8.382, 10.800), abs=0.003)  # EST-05


@given(st.floats(0, 1e6), st.floats(0, 1e6), st.floats(0, 1e6))
def test_moments_lie_where_they_must(one: float, two: float, three: float) -> None:
    low, likely, high = sorted((one, two, three))
    mean = three_point.pert_mean(low, likely, high)
    assert low * (1 - 1e-12) <= mean <= high * (1 + 1e-12)
    assert 0 <= three_point.pert_variance(low, likely, high) <= (high - low) ** 2 / 4 + 1e-9
