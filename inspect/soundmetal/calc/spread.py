"""Sums of uncertain items that share causes: analytic variance and a seeded simulation with rank correlation.

Hidden rust, poor access and one worker make every job on a car run over together, so items are not independent: one
common factor stands for what they share. The sum of the likely values is *not* the likely value of the sum when the
items lean to one side (they do); take the median of the simulation for that.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from soundmetal.calc.beta import Floats
from soundmetal.calc.dealing import score
from soundmetal.calc.limits import not_negative, within
from soundmetal.calc.three_point import check_three, pert_quantile

#: Enough for P10 and P90 within about 1 % of the spread.
DRAWS = 10_000
#: Of one seed come items of so many shared causes, all uncorrelated with those of the others.
CAUSES = 3


def sum_variance(sigmas: Sequence[float], rho: float) -> float:
    """Give the variance of a sum whose items all correlate alike.

    .. math:: sum s_i^2 + 2 rho sum_{i<j} s_i s_j = (1 - rho) sum s_i^2 + rho (sum s_i)^2

    Parameters
    ----------
    sigmas : sequence of float
        Standard deviation of each item, [any unit]
    rho : float
        Common correlation, 0 to 1, [-]

    Returns
    -------
    variance : float
        Variance of the sum, [unit squared]

    Notes
    -----
    RANGE OF VALIDITY: 0 <= rho <= 1. A habit for jobs on one car is 0.3 to 0.5 (common practice, no source).

    Examples
    --------
    >>> round(sum_variance([1.5] * 4, 0.3) ** 0.5, 4)
    4.1352

    References
    ----------
    Variance of a sum (from memory); independent case: Taylor, Introduction to Management Science (published-read).
    """
    within(rho, "rho", 0, 1)
    for sigma in sigmas:
        not_negative(sigma, "sigma")
    return (1 - rho) * math.fsum(s * s for s in sigmas) + rho * math.fsum(sigmas) ** 2


def simulate(
    lows: Sequence[float],
    likelies: Sequence[float],
    highs: Sequence[float],
    rho: float,
    draws: int = DRAWS,
    *,
    seed: int,
) -> Floats:
    """Draw the sum of beta-PERT items that share one cause: rank correlation through one-factor normal scores.

    Each item takes one value from each of `draws` equally likely slices of its own distribution (Latin hypercube);
    the values are dealt out in the order of sqrt(rho) F + sqrt(1 - rho) E, F shared by all items, E of its own; F and
    all E are uncorrelated with each other (`dealing`), so that the variance of the total hardly depends on the seed.

    Parameters
    ----------
    lows : sequence of float
        Least value of each item, [any unit]
    likelies : sequence of float
        Most likely value of each item, [same unit]
    highs : sequence of float
        Largest value of each item, [same unit]
    rho : float
        Correlation of the normal scores, 0 to 1, [-]
    draws : int
        How many totals, [-]
    seed : int
        Same seed, same totals (same NumPy release), [-]

    Returns
    -------
    totals : array of float
        One total a draw, in draw order, [same unit]

    Notes
    -----
    RANGE OF VALIDITY: 0 <= rho <= 1, draws >= 1, low <= likely <= high; a fixed item only shifts the total. The
    product-moment correlation of leaning items comes out a little under rho (by less than 0.02 for PERT shapes of the
    same lean). An item's own part depends on the seed and its place only, so changing another item leaves it alone.

    Examples
    --------
    >>> totals = simulate([5, 5], [8, 8], [14, 14], rho=0.4, seed=7)
    >>> round(float(totals.mean()), 1)
    17.0

    References
    ----------
    Idea of restoring rank correlation by scores: Iman and Conover (1982), from memory; own construction.
    """
    totals = np.zeros(_checked(lows, likelies, highs, rho, draws))
    for values in item_draws(lows, likelies, highs, rho, draws, seed=seed):
        totals += values
    return totals


def item_draws(
    lows: Sequence[float],
    likelies: Sequence[float],
    highs: Sequence[float],
    rho: float,
    draws: int = DRAWS,
    *,
    seed: int,
    cause: int = 0,
) -> Iterator[Floats]:
    """Draw every item of `simulate` by itself, in order, so that hours and prices can be summed draw by draw.

    Parameters
    ----------
    lows : sequence of float
        Least value of each item, [any unit]
    likelies : sequence of float
        Most likely value of each item, [same unit]
    highs : sequence of float
        Largest value of each item, [same unit]
    rho : float
        Correlation of the normal scores, 0 to 1, [-]
    draws : int
        How many values an item, [-]
    seed : int
        Same seed, same values (same NumPy release), [-]
    cause : int
        Which shared cause, 0 to 2: items of two causes share nothing, by chance either, [-]

    Returns
    -------
    values : iterator of array of float
        The draws of each item, [same unit]

    Notes
    -----
    RANGE OF VALIDITY: as `simulate`.

    Examples
    --------
    >>> [float(values.max()) for values in item_draws([2.0], [2.0], [2.0], rho=0.4, draws=3, seed=1)]
    [2.0]

    References
    ----------
    As `simulate`.
    """
    _checked(lows, likelies, highs, rho, draws)
    within(cause, "cause", 0, CAUSES - 1)
    shared = score(cause, draws, seed=seed)
    for place, (low, likely, high) in enumerate(zip(lows, likelies, highs, strict=True)):
        if low == high:
            yield np.full(draws, float(low))
            continue
        own = np.random.Generator(np.random.PCG64([seed, place + 1]))
        part = score(CAUSES * (place + 1) + cause, draws, seed=seed)
        scores = math.sqrt(rho) * shared + math.sqrt(1 - rho) * part
        slices = (np.arange(draws) + own.random(draws)) / draws
        values = np.empty(draws)
        values[np.argsort(scores)] = pert_quantile(low, likely, high, slices)
        yield values


def quantiles(totals: Floats, shares: Sequence[float] = (0.1, 0.5, 0.9)) -> tuple[float, ...]:
    """Give the values under which the given shares of the totals lie.

    Parameters
    ----------
    totals : array of float
        What `simulate` gave, [any unit]
    shares : sequence of float
        Cumulative shares, 0 to 1, [-]

    Returns
    -------
    values : tuple of float
        One quantile a share, linear between neighbours, [same unit]

    Notes
    -----
    RANGE OF VALIDITY: at least one total.

    Examples
    --------
    >>> quantiles(np.array([1.0, 2.0, 3.0]), (0.0, 0.5, 1.0))
    (1.0, 2.0, 3.0)

    References
    ----------
    None needed.
    """
    if not totals.size:
        raise ValueError("no totals, so no quantiles")
    for share in shares:
        within(share, "share", 0, 1)
    return tuple(float(value) for value in np.quantile(totals, list(shares)))


def _checked(lows: Sequence[float], likelies: Sequence[float], highs: Sequence[float], rho: float, draws: int) -> int:
    if not len(lows) == len(likelies) == len(highs):
        raise ValueError(f"{len(lows)} lows, {len(likelies)} likelies and {len(highs)} highs do not belong together")
    within(rho, "rho", 0, 1)
    if draws < 1:
        raise ValueError(f"draws is {draws}: at least 1 is needed")
    for three in zip(lows, likelies, highs, strict=True):
        check_three(*three)
    return draws
