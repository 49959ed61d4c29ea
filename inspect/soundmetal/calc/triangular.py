"""Triangular three-point estimates: mean, variance, quantiles; a second opinion beside beta-PERT."""

from __future__ import annotations

import math

from soundmetal.calc.limits import within
from soundmetal.calc.three_point import check_three


def triangular_mean(low: float, likely: float, high: float) -> float:
    """Give the mean of the triangular distribution, (low + likely + high) / 3.

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
    RANGE OF VALIDITY: any low <= likely <= high.

    Examples
    --------
    >>> triangular_mean(5, 8, 14)
    9.0

    References
    ----------
    Textbook moments (from memory, verified numerically).
    """
    check_three(low, likely, high)
    return (low + likely + high) / 3


def triangular_variance(low: float, likely: float, high: float) -> float:
    """Give the variance of the triangular distribution.

    .. math:: (l^2 + m^2 + h^2 - lm - lh - mh) / 18

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
    RANGE OF VALIDITY: any low <= likely <= high; 0 for a fixed value. Written with differences, so that large equal
    values do not cancel badly.

    Examples
    --------
    >>> triangular_variance(5, 8, 14)
    3.5

    References
    ----------
    Textbook moments (from memory, verified numerically).
    """
    check_three(low, likely, high)
    rise, fall = likely - low, high - likely
    return (rise * rise + rise * fall + fall * fall) / 18


def triangular_quantile(low: float, likely: float, high: float, share: float) -> float:
    """Give the value under which a share of the triangular distribution lies.

    Parameters
    ----------
    low : float
        Least value thought possible, [any unit]
    likely : float
        Most likely value, [same unit]
    high : float
        Largest value thought possible, [same unit]
    share : float
        Cumulative share, 0 to 1, [-]

    Returns
    -------
    value : float
        Quantile, [same unit]

    Notes
    -----
    RANGE OF VALIDITY: any low <= likely <= high.

    Examples
    --------
    >>> triangular_quantile(5, 8, 14, 0.9)
    11.676

    References
    ----------
    Inverse of the textbook cumulative function (from memory).
    """
    check_three(low, likely, high)
    within(share, "share", 0, 1)
    rise, fall, span = likely - low, high - likely, high - low
    if share * span <= rise:
        return low + math.sqrt(share * span * rise)
    return high - math.sqrt((1 - share) * span * fall)
