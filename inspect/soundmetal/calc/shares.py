"""What drives the spread of a sum: each item's share of the variance, and how far it swings by itself."""

from __future__ import annotations

import numpy as np

from soundmetal.calc.beta import Floats


def variance_shares(parts: Floats) -> Floats:
    """Give the share that each item has in the variance of their sum; the shares add up to 1.

    .. math:: cov(x_i, sum x) / var(sum x)

    Parameters
    ----------
    parts : array of float
        One row an item, one column a draw, [any unit]

    Returns
    -------
    shares : array of float
        One share a row, negative where an item evens the others out; all 0 where nothing varies, [-]

    Notes
    -----
    RANGE OF VALIDITY: any draws, correlated or not; an item that runs along with the others carries part of what they
    share.

    Examples
    --------
    >>> variance_shares(np.array([[1.0, 1.0, 3.0, 3.0], [0.0, 1.0, 0.0, 1.0]])).tolist()
    [0.8, 0.2]

    References
    ----------
    Bilinearity of the covariance (textbook).
    """
    apart = parts - parts.mean(axis=1, keepdims=True)
    total = apart.sum(axis=0)
    variance = float(total @ total)
    return np.asarray(apart @ total / variance) if variance else np.zeros(len(parts))


def swings(parts: Floats, low: float = 0.1, high: float = 0.9) -> Floats:
    """Give by how much each item alone moves its sum, from its P10 to its P90, the others at their means.

    Parameters
    ----------
    parts : array of float
        One row an item, one column a draw, [any unit]
    low : float
        Lower share of the draws, 0 to 1, [-]
    high : float
        Upper share of the draws, 0 to 1, [-]

    Returns
    -------
    swings : array of float
        One row an item: below and above the mean, [same unit]

    Notes
    -----
    RANGE OF VALIDITY: at least one draw; linear between neighbouring draws. What comes up in fewer than a tenth of
    the draws shows no swing, though it has a share in the variance.

    Examples
    --------
    >>> swings(np.array([[0.0, 5.0, 10.0]]), 0.0, 1.0).tolist()
    [[-5.0, 5.0]]

    References
    ----------
    None needed.
    """
    ends = np.quantile(parts, [low, high], axis=1)
    return np.asarray((ends - parts.mean(axis=1)).T)
