"""Is it still square: diagonals of a frame or an opening, how far they differ, and what that says of its sides."""

from __future__ import annotations

import math
from collections.abc import Sequence

from soundmetal.calc.limits import not_negative, positive

#: A datum point: along the car, across it, and up [mm].
Point = tuple[float, float, float]


def diagonal_mm(length_mm: float, width_mm: float) -> float:
    r"""Give the diagonal of a rectangle: what both measure while it is square.

    .. math:: \sqrt{L^2 + W^2}

    Parameters
    ----------
    length_mm : float
        One side, L, [mm]
    width_mm : float
        The other side, W, [mm]

    Returns
    -------
    diagonal : float
        From corner to corner, [mm]

    Notes
    -----
    RANGE OF VALIDITY: sides over 0, from hole centre to hole centre, the tape straight and without sag or twist.

    Examples
    --------
    >>> diagonal_mm(2500, 800)
    2624.881

    References
    ----------
    Geometry (computed).
    """
    return math.hypot(positive(length_mm, "length_mm"), positive(width_mm, "width_mm"))


def diagonal_difference_mm(length_mm: float, width_mm: float, stagger_mm: float) -> float:
    r"""Give by how much the diagonals differ when one end is square and the other end's two points are staggered.

    .. math:: \sqrt{(L + s / 2)^2 + W^2} - \sqrt{(L - s / 2)^2 + W^2}

    Parameters
    ----------
    length_mm : float
        Along the car, between the two ends' middles, L, [mm]
    width_mm : float
        Between the two rails, W, [mm]
    stagger_mm : float
        By how much one point of the far end lies ahead of the other, s, [mm]

    Returns
    -------
    difference : float
        Longer diagonal less shorter, [mm]

    Notes
    -----
    RANGE OF VALIDITY: a flat figure, stagger under twice the length. Rails that have slid past each other as wholes
    are staggered at both ends, so give twice their slide: it differs the diagonals by twice as much.

    Examples
    --------
    >>> diagonal_difference_mm(2500, 800, 5)
    4.762

    References
    ----------
    Geometry (computed).
    """
    half = not_negative(stagger_mm, "stagger_mm") / 2
    if half >= positive(length_mm, "length_mm"):
        raise ValueError(f"stagger_mm is {stagger_mm!r}: it must be under twice the length")
    width = positive(width_mm, "width_mm")
    return math.hypot(length_mm + half, width) - math.hypot(length_mm - half, width)


def stagger_mm(length_mm: float, width_mm: float, difference_mm: float) -> float:
    r"""Give the stagger of one end that a difference of the diagonals tells, the other end being square.

    .. math:: d \sqrt{1 + W^2 / (L^2 - d^2 / 4)}

    Parameters
    ----------
    length_mm : float
        Along the car, L, [mm]
    width_mm : float
        Between the two rails, W, [mm]
    difference_mm : float
        Longer diagonal less shorter, d, [mm]

    Returns
    -------
    stagger : float
        By how much one point of the far end lies ahead of the other, [mm]

    Notes
    -----
    RANGE OF VALIDITY: as `diagonal_difference_mm`, difference under twice the length. A difference of nothing does
    not prove a true frame: both sides may be bent alike, or the frame twisted. Rails that have slid past each other
    as wholes have slid by half of it.

    Examples
    --------
    >>> stagger_mm(2500, 800, 3)
    3.150

    References
    ----------
    Geometry, the hyperbola with its foci in the square end's points (computed).
    """
    difference = not_negative(difference_mm, "difference_mm")
    if difference / 2 >= positive(length_mm, "length_mm"):
        raise ValueError(f"difference_mm is {difference_mm!r}: it must be under twice the length")
    return difference * math.sqrt(1 + positive(width_mm, "width_mm") ** 2 / (length_mm**2 - difference**2 / 4))


def datum_diagonals_mm(points: Sequence[Point]) -> tuple[float, float]:
    """Give both diagonals between four datum points, measured straight from one to the other.

    Parameters
    ----------
    points : sequence of Point
        Front left, front right, rear right, rear left: along, across, up, [mm]

    Returns
    -------
    diagonals : tuple of float
        Front left to rear right, front right to rear left, [mm]

    Notes
    -----
    RANGE OF VALIDITY: four points in order round the frame; ValueError for another number.

    Examples
    --------
    >>> datum_diagonals_mm([(0, 0, 0), (0, 800, 0), (2500, 800, 0), (2500, 0, 0)])
    (2624.881, 2624.881)

    References
    ----------
    Geometry; point to point, hole centre to hole centre (a maker's manual, published-read).
    """
    a, b, c, d = _four(points)
    return math.dist(a, c), math.dist(b, d)


def twist_mm(points: Sequence[Point]) -> float:
    """Give how far the rear right point lies above or below the plane of the other three: what no diagonal tells.

    Parameters
    ----------
    points : sequence of Point
        Front left, front right, rear right, rear left: along, across, up, [mm]

    Returns
    -------
    twist : float
        Distance from the plane, over 0 where it lies above, [mm]

    Notes
    -----
    RANGE OF VALIDITY: the other three not in one line; ValueError else.

    Examples
    --------
    >>> twist_mm([(0, 0, 0), (0, 800, 0), (2500, 800, 4), (2500, 0, 0)])
    4.0

    References
    ----------
    Geometry (computed).
    """
    a, b, c, d = _four(points)
    u, v = _less(b, a), _less(d, a)
    normal = (u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0])
    size = math.hypot(*normal)
    if size == 0:
        raise ValueError("three of the datum points lie in one line")
    above = math.copysign(1.0, normal[2])
    return above * math.fsum(n * w for n, w in zip(normal, _less(c, a), strict=True)) / size


def _four(points: Sequence[Point]) -> tuple[Point, Point, Point, Point]:
    if len(points) != 4:
        raise ValueError(f"{len(points)} datum points: a frame's check needs 4")
    a, b, c, d = points
    return a, b, c, d


def _less(one: Point, other: Point) -> Point:
    return one[0] - other[0], one[1] - other[1], one[2] - other[2]
