"""Learning from hours that were really spent: a factor on the estimate that moves with the number of jobs seen.

One bad day must not move the book, thirty alike must: the factor lies between 1 (the book as it stands) and what was
seen, and comes nearer to it with every job.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from soundmetal.calc.limits import not_negative, positive


def shrunk_factor(ratios: Sequence[float], prior_weight: float = 4.0) -> float:
    """Give the factor from the mean ratio of spent to estimated hours, shrunk towards 1.

    .. math:: (n r + k) / (n + k)

    Parameters
    ----------
    ratios : sequence of float
        Hours spent over hours estimated, one a job; r is their mean, n their number, [-]
    prior_weight : float
        How many jobs the book as it stands counts for, k, [-]

    Returns
    -------
    factor : float
        Factor on the estimate; 1 without a job, [-]

    Notes
    -----
    RANGE OF VALIDITY: ratios over 0. A prior weight of about 4 is from memory.

    Examples
    --------
    >>> shrunk_factor([1.28] * 6)
    1.168

    References
    ----------
    Credibility theory, Z = n / (n + k) (textbook, from memory).
    """
    count = len(ratios)
    seen = sum(positive(ratio, "ratio") for ratio in ratios)
    return (seen + positive(prior_weight, "prior_weight")) / (count + prior_weight)


def log_shrunk_factor(ratios: Sequence[float], within_sd: float = 0.35, prior_sd: float = 0.20) -> float:
    """Give the factor from the mean logarithm of spent over estimated hours, shrunk towards 0.

    .. math:: exp(w m),  w = t^2 / (t^2 + s^2 / n)

    Parameters
    ----------
    ratios : sequence of float
        Hours spent over hours estimated, one a job; m is the mean of their logarithms, n their number, [-]
    within_sd : float
        Standard deviation of the logarithm from job to job, s, [-]
    prior_sd : float
        Standard deviation of the logarithm by which a book is off before anything was seen, t, [-]

    Returns
    -------
    factor : float
        Factor on the estimate; 1 without a job, [-]

    Notes
    -----
    RANGE OF VALIDITY: ratios over 0. Twice as long and half as long even out. Both deviations are from memory.

    Examples
    --------
    >>> log_shrunk_factor([math.exp(0.25)] * 6)
    1.18

    References
    ----------
    Normal prior and normal likelihood on the logarithm (textbook, from memory).
    """
    if not ratios:
        return 1.0
    logs = [math.log(positive(ratio, "ratio")) for ratio in ratios]
    return math.exp(log_weight(len(logs), within_sd, prior_sd) * math.fsum(logs) / len(logs))


def log_weight(count: int, within_sd: float = 0.35, prior_sd: float = 0.20) -> float:
    """Give the weight that the jobs seen have against the book as it stands.

    .. math:: t^2 / (t^2 + s^2 / n)

    Parameters
    ----------
    count : int
        Jobs seen, n, [-]
    within_sd : float
        Standard deviation of the logarithm from job to job, s, [-]
    prior_sd : float
        Standard deviation of the logarithm by which a book is off, t, [-]

    Returns
    -------
    weight : float
        0 without a job, towards 1 with many, [-]

    Notes
    -----
    RANGE OF VALIDITY: one variance for all jobs of a kind.

    Examples
    --------
    >>> log_weight(6)
    0.6621

    References
    ----------
    Normal prior and normal likelihood on the logarithm (textbook, from memory).
    """
    if not count:
        return 0.0
    return prior_sd**2 / (positive(prior_sd, "prior_sd") ** 2 + not_negative(within_sd, "within_sd") ** 2 / count)
