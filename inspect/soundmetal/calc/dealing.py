"""Scores by which values are dealt out to the draws of a simulation: series that are as good as uncorrelated.

Independent random numbers correlate by chance, by about one in the root of the draws for each pair. Two hundred items
have twenty thousand pairs, which together move the variance of their sum by one or two per cent from seed to seed.
White noise whose spectrum is exactly flat is uncorrelated with itself shifted by any number of places; so one such
series, shifted by a place of its own for each item, gives them all. Turned over at random, as antithetic pairs are,
what is left (each pair correlates by -1 in the number of draws) does not add up either.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from soundmetal.calc.beta import Floats

#: One series for each place is 80 kB, and a car asks for the same one again and again.
_KEPT = 16


def score(place: int, draws: int, *, seed: int) -> Floats:
    """Give the score of one place: nearly normal, mean 0, variance 1, uncorrelated with that of every other place.

    .. math:: z_{place}(t) = +-z(t - s_{place}), |FFT(z)| = const

    Parameters
    ----------
    place : int
        From 0 on; each place has a shift s and a sign of its own, [-]
    draws : int
        How many values, [-]
    seed : int
        Same seed, same values (same NumPy release), [-]

    Returns
    -------
    score : array of float
        One value a draw, in draw order, [-]

    Notes
    -----
    RANGE OF VALIDITY: place >= 0, draws >= 1, seed >= 0. As many places as draws share one series; their correlations
    are 1 / (draws - 1) or less. Places beyond take further series, which correlate with the first by chance only.

    Examples
    --------
    >>> one, other = score(0, 10_000, seed=7), score(1, 10_000, seed=7)
    >>> bool(abs(np.corrcoef(one, other)[0, 1]) < 1.01e-4)
    True

    References
    ----------
    A flat spectrum is a correlation of nothing but itself (Wiener and Khinchin, from memory); own construction.
    """
    if place < 0 or draws < 1:
        raise ValueError(f"place {place} of {draws} draws: at least 0 of at least 1 is needed")
    series, shifts, signs = _series(seed, place // draws, draws)
    own = place % draws
    return np.asarray(signs[own] * np.roll(series, shifts[own]))


@lru_cache(maxsize=_KEPT)
def _series(seed: int, number: int, draws: int) -> tuple[Floats, NDArray[np.int64], Floats]:
    """White noise of mean 0, variance 1 and flat spectrum, its phases random; each place's shift, and its sign."""
    random = np.random.Generator(np.random.PCG64([seed, 0, number]))
    spectrum = np.exp(2j * math.pi * random.random(draws // 2 + 1))
    spectrum[0] = 0.0  # no mean
    if draws % 2 == 0:
        spectrum[-1] = 1.0  # at half the sampling rate a phase has no meaning
    series = np.fft.irfft(spectrum, draws) * draws / math.sqrt(max(1, draws - 1))
    return series, random.permutation(draws), random.choice(np.array([-1.0, 1.0]), draws)
