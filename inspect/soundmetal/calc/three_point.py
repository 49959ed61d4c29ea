"""Three-point estimates: moments and quantiles of beta-PERT, and the classic PERT rule beside it.

Two sigmas go by the name PERT: the classic rule (high - low)/6, and the sigma of the beta distribution itself. They
differ (5/8/14 gives 1.500 and 1.658); every function here says which one it means.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from soundmetal.calc.beta import Floats, beta_quantile

#: Weight of the likely value in beta-PERT; 4 is the usual one.
LAMBDA = 4.0


def check_three(low: float, likely: float, high: float) -> None:
    """Raise ValueError unless low <= likely <= high, all finite.

    Parameters
    ----------
    low : float
        Least value thought possible, [any unit]
    likely : float
        Most likely value, [same unit]
    high : float
        Largest value thought possible, [same unit]

    Returns
    -------
    nothing : None
        The three fit together, [-]

    Notes
    -----
    RANGE OF VALIDITY: any finite numbers; equal ones are a fixed value.

    Examples
    --------
    >>> check_three(5, 8, 14)

    References
    ----------
    None needed.
    """
    if not (math.isfinite(low) and math.isfinite(high) and low <= likely <= high):
        raise ValueError(f"{low!r} / {likely!r} / {high!r} is no low / likely / high: each may only rise")


def pert_shape(low: float, likely: float, high: float) -> tuple[float, float]:
    """Give both shapes of the beta-PERT distribution with weight 4.

    .. math:: a = 1 + 4 (m - l)/(h - l);  b = 1 + 4 (h - m)/(h - l)

    Parameters
    ----------
    low : float
        Least value thought possible, [any unit]
    likely : float
        Most likely value, [same unit]
    high : float
        Largest value thought possible, [same unit]

    Returns
    -------
    alpha, beta : tuple of float
        Shapes, [-]

    Notes
    -----
    RANGE OF VALIDITY: low < high; a fixed value has no shape (ValueError).

    Examples
    --------
    >>> pert_shape(5, 8, 14)
    (2.3333, 3.6667)

    References
    ----------
    Published shape parameters of the PERT distribution, weight 4 (published-read).
    """
    check_three(low, likely, high)
    if low == high:
        raise ValueError(f"{low!r} to {high!r} has no spread, so no shape")
    # The differences are divided first: their product may overflow or vanish where the quotient does not.
    rise, fall = (likely - low) / (high - low), (high - likely) / (high - low)
    return 1 + LAMBDA * rise, 1 + LAMBDA * fall


def pert_mean(low: float, likely: float, high: float) -> float:
    """Give the PERT mean, (low + 4 likely + high) / 6.

    Parameters
    ----------
    low : float
        Least value thought possible, [any unit]
    likely : float
        Most likely value, [same unit]
    high : float
        Largest value thought possible, [same unit]

    Returns
    -------
    mean : float
        Expected value, [same unit]

    Notes
    -----
    RANGE OF VALIDITY: any low <= likely <= high; the classic rule and beta-PERT (weight 4) agree on the mean.

    Examples
    --------
    >>> pert_mean(5, 8, 14)
    8.5

    References
    ----------
    Taylor, Introduction to Management Science, PERT (published-read).
    """
    check_three(low, likely, high)
    return (low + LAMBDA * likely + high) / (LAMBDA + 2)


def pert_variance(low: float, likely: float, high: float) -> float:
    """Give the exact variance of beta-PERT with weight 4 (not the classic ((high - low)/6)^2).

    .. math:: (mu - l)(h - mu) / 7

    Parameters
    ----------
    low : float
        Least value thought possible, [any unit]
    likely : float
        Most likely value, [same unit]
    high : float
        Largest value thought possible, [same unit]

    Returns
    -------
    variance : float
        Variance, [unit squared]

    Notes
    -----
    RANGE OF VALIDITY: any low <= likely <= high; 0 for a fixed value.

    Examples
    --------
    >>> pert_variance(5, 8, 14)
    2.75

    References
    ----------
    Moments of the beta distribution put into the published shapes (computed).
    """
    mean = pert_mean(low, likely, high)
    return max(0.0, mean - low) * max(0.0, high - mean) / (LAMBDA + 3)


def pert_classic_sigma(low: float, high: float) -> float:
    """Give the classic PERT standard deviation, (high - low) / 6.

    Parameters
    ----------
    low : float
        Least value thought possible, [any unit]
    high : float
        Largest value thought possible, [same unit]

    Returns
    -------
    sigma : float
        Standard deviation by the classic rule, [same unit]

    Notes
    -----
    RANGE OF VALIDITY: low <= high. It is not the sigma of the beta-PERT distribution: never mix the two.

    Examples
    --------
    >>> pert_classic_sigma(5, 14)
    1.5

    References
    ----------
    Taylor, Introduction to Management Science, PERT (published-read).
    """
    check_three(low, low, high)
    return (high - low) / 6


def pert_quantile(low: float, likely: float, high: float, share: npt.ArrayLike) -> Floats:
    """Give the value under which a share of the beta-PERT distribution lies.

    Parameters
    ----------
    low : float
        Least value thought possible, [any unit]
    likely : float
        Most likely value, [same unit]
    high : float
        Largest value thought possible, [same unit]
    share : array of float
        Cumulative share, 0 to 1, [-]

    Returns
    -------
    value : array of float
        Quantile, [same unit]

    Notes
    -----
    RANGE OF VALIDITY: any low <= likely <= high; within 2e-6 of the span.

    Examples
    --------
    >>> round(float(pert_quantile(5, 8, 14, 0.9)), 2)
    10.80

    References
    ----------
    Published shapes; numeric inverse of the incomplete beta function.
    """
    check_three(low, likely, high)
    if low == high:
        return np.full(np.shape(share), float(low))
    # Rounded so that the many estimates with the same proportions share one table of quantiles.
    alpha, beta = (round(shape, 9) for shape in pert_shape(low, likely, high))
    span = high - low
    # Only rounding can leave the span here (low + span may pass high by one unit in the last place).
    return np.clip(low + span * beta_quantile(share, alpha, beta), low, high)
