"""Scores that are dealt by: uncorrelated, of mean 0 and variance 1, nearly normal, the same for the same seed."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.dealing import score


@given(st.integers(0, 2**48), st.integers(40, 400))
def test_all_places_are_uncorrelated(seed: int, draws: int) -> None:
    places = np.array([score(place, draws, seed=seed) for place in range(20)])
    correlations = np.corrcoef(places) - np.eye(20)
    assert float(np.abs(correlations).max()) <= (1 + 1e-9) / (draws - 2)


@given(st.integers(0, 2**48), st.integers(3, 400), st.integers(0, 1000))
def test_mean_and_variance(seed: int, draws: int, place: int) -> None:
    one = score(place, draws, seed=seed)
    assert one.shape == (draws,)
    assert float(one.mean()) == pytest.approx(0, abs=1e-9)
    assert float(one.var()) == pytest.approx(1, rel=0.5 if draws < 5 else 1e-9)


def test_it_is_nearly_normal() -> None:
    """Shares within 1, 2, 3 sigma of a normal distribution: 68.27, 95.45, 99.73 % (textbook)."""
    one = np.abs(score(3, 10_000, seed=11))
    for sigmas, share in ((1, 0.6827), (2, 0.9545), (3, 0.9973)):
        assert float((one < sigmas).mean()) == pytest.approx(share, abs=0.015)


def test_the_seed_and_the_place_decide() -> None:
    one = score(4, 100, seed=5)
    assert np.array_equal(one, score(4, 100, seed=5))
    assert not np.array_equal(one, score(5, 100, seed=5))
    assert not np.array_equal(one, score(4, 100, seed=6))


def test_more_places_than_draws_do_not_repeat() -> None:
    places = [score(place, 10, seed=1) for place in range(40)]
    apart = [abs(float(np.corrcoef(a, b)[0, 1])) for n, a in enumerate(places) for b in places[:n]]
    assert max(apart) < 0.999


@pytest.mark.parametrize("draws", [1, 2, 3])
def test_very_few_draws(draws: int) -> None:
    assert np.isfinite(score(7, draws, seed=1)).all()


@pytest.mark.parametrize(("place", "draws"), [(-1, 10), (0, 0)])
def test_what_cannot_be_is_refused(place: int, draws: int) -> None:
    with pytest.raises(ValueError, match="at least"):
        score(place, draws, seed=1)
