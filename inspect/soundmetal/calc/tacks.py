"""Tacks along a seam: where they stand, and in which order, so that each falls where the metal has cooled."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from soundmetal.calc.limits import positive
from soundmetal.calc.seam import tack_count

Point = tuple[float, float]
#: First tacks are this far apart at most; then the interval is halved (common practice, from memory).
FIRST_MM = 75.0
#: How many tacks back still count when the coolest place is looked for (common practice, no source).
REMEMBERED = 6


def tack_places_mm(seam_mm: float, spacing_mm: float, closed: bool = True) -> tuple[float, ...]:
    """Give where tacks stand along a seam: evenly, none further apart than the spacing, both ends of an open one.

    .. math:: x_i = i L / n

    Parameters
    ----------
    seam_mm : float
        Length of the seam, L, [mm]
    spacing_mm : float
        Largest distance between tacks, [mm]
    closed : bool
        True where the seam comes back to its start, [-]

    Returns
    -------
    places : tuple of float
        Distance of every tack from the start, along the seam, [mm]

    Notes
    -----
    RANGE OF VALIDITY: any seam over 0. Tacks end 12 to 25 mm apart (common practice, from memory).

    Examples
    --------
    >>> tack_places_mm(100, 25, closed=False)
    (0.0, 25.0, 50.0, 75.0, 100.0)

    References
    ----------
    Geometry.
    """
    count = tack_count(seam_mm, spacing_mm, closed)
    gaps = count if closed else count - 1
    return tuple(i * seam_mm / gaps for i in range(count))


def tack_stages(
    count: int, spacing_mm: float, closed: bool = True, first_mm: float = FIRST_MM
) -> tuple[tuple[int, ...], ...]:
    """Give the rounds in which the tacks of one seam are made: far apart first, then halving until all stand.

    Parameters
    ----------
    count : int
        Tacks along the seam, [-]
    spacing_mm : float
        Distance between neighbours, [mm]
    closed : bool
        True where the seam comes back to its start; an open one starts with both ends, [-]
    first_mm : float
        Largest distance in the first round, [mm]

    Returns
    -------
    rounds : tuple of tuple of int
        Numbers of the tacks, along the seam, that each round adds; both ends of an open one come first, [-]

    Notes
    -----
    RANGE OF VALIDITY: one tack or more. The first distance is a power of two times the spacing, at most `first_mm`.

    Examples
    --------
    >>> tack_stages(8, 24)
    ((0, 2, 4, 6), (1, 3, 5, 7))

    References
    ----------
    Start 50 to 75 mm apart and halve (common practice, from memory).
    """
    if count < 1:
        raise ValueError(f"count is {count!r}: a seam has at least one tack")
    step = 1
    while 2 * step * positive(spacing_mm, "spacing_mm") <= first_mm and 2 * step < count:
        step *= 2
    rounds = [tuple(range(0, count, step))]
    if not closed and rounds[0][-1] != count - 1:
        rounds = [(*rounds[0], count - 1)]
    while step > 1:
        step //= 2
        made = {n for one in rounds for n in one}
        rounds.append(tuple(n for n in range(0, count, step) if n not in made))
    return tuple(one for one in rounds if one)


def coolness_mm(point: Point, before: Sequence[Point]) -> float:
    """Give how cool a place is: its distance from the tacks just made, each counted as far as it is long ago.

    .. math:: min_k k d_k

    Parameters
    ----------
    point : tuple of float
        Place asked about, [mm]
    before : sequence of tuple of float
        Tacks made, oldest first; the last six count, each k steps back, [mm]

    Returns
    -------
    coolness : float
        Least distance from a tack times the steps since; infinite before the first, [mm]

    Notes
    -----
    RANGE OF VALIDITY: equal tacks at equal times; it ranks places and is no temperature.

    Examples
    --------
    >>> coolness_mm((0, 0), [(30, 0), (100, 0)])
    60.0

    References
    ----------
    Always jump to the coolest place (common practice, from memory); the measure is ours.
    """
    recent = reversed(before[-REMEMBERED:])
    return min((k * math.dist(point, tack) for k, tack in enumerate(recent, start=1)), default=math.inf)


def tack_order(points: Sequence[Point], rounds: Sequence[Sequence[int]]) -> tuple[int, ...]:
    """Give the order of tacks: round by round by the walk whose warmest tack falls coolest.

    Parameters
    ----------
    points : sequence of tuple of float
        Every tack in the sheet's plane, along the seam, [mm]
    rounds : sequence of sequence of int
        Numbers of the tacks in each round, together every one once, [-]

    Returns
    -------
    order : tuple of int
        Numbers of the tacks in the order in which they are made, [-]

    Notes
    -----
    RANGE OF VALIDITY: as `coolness_mm`. A round starts at its coolest place. Tried are the coolest place left each
    time, which may leave neighbours to the end, and even jumps of every length, which never do; the first best wins.

    Examples
    --------
    >>> tack_order([(24.0 * n, 0.0) for n in range(8)], tack_stages(8, 24, closed=False))
    (0, 7, 2, 4, 6, 1, 3, 5)

    References
    ----------
    Always jump to the coolest place (common practice, from memory); skip order is documented (published-read).
    """
    order: list[int] = []
    for numbers in rounds:
        order += _round(points, list(numbers), order)
    if sorted(order) != list(range(len(points))):
        raise ValueError("the rounds do not name every tack once")
    return tuple(order)


def _round(points: Sequence[Point], numbers: list[int], made: list[int]) -> list[int]:
    before = [points[n] for n in made[-REMEMBERED:]]
    cool = [round(coolness_mm(points[n], before), 6) for n in numbers]
    start = cool.index(max(cool))
    walks = [_coolest(points, numbers, before, start), *_walks(len(numbers), start)]
    place = np.asarray(points, dtype=float)
    scores = [_least_cool(place[[*made[-REMEMBERED:], *(numbers[k] for k in walk)]], len(before)) for walk in walks]
    return [numbers[k] for k in walks[scores.index(max(scores))]]


def _coolest(points: Sequence[Point], numbers: list[int], before: list[Point], start: int) -> list[int]:
    """The walk that takes the coolest place left each time."""
    walk, left = [start], [k for k in range(len(numbers)) if k != start]
    made = [*before, points[numbers[start]]]
    while left:
        best = max(left, key=lambda k: (round(coolness_mm(points[numbers[k]], made), 6), -k))
        left.remove(best)
        walk.append(best)
        made.append(points[numbers[best]])
    return walk


def _walks(count: int, start: int) -> list[list[int]]:
    """Walks round all places: in even jumps, or to the far side and back, ever some places further on."""
    jumps = [jump for jump in range(1, count // 2 + 1) if math.gcd(jump, count) == 1] or [1]
    walks = [[(start + k * jump) % count for k in range(count)] for jump in jumps]
    far, odd = divmod(count, 2)
    steps = [] if odd else [step for step in range(1, far + 1) if math.gcd(step, far) == 1]
    walks += [[(start + (k // 2 * step) % far + k % 2 * far) % count for k in range(count)] for step in steps]
    return walks


def _least_cool(walk: NDArray[np.float64], told: int) -> float:
    """Coolness of the warmest place of a walk at the moment in which it is tacked; `told` tacks were made before."""
    least = np.full(len(walk), np.inf)
    for k in range(1, min(REMEMBERED, len(walk) - 1) + 1):
        apart = k * np.hypot(*(walk[k:] - walk[:-k]).T)
        least[k:] = np.minimum(least[k:], apart)
    return round(float(np.min(least[told:])), 6)
