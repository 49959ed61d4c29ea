"""Bend rules of handbooks: stock by metal, and the form with constants that aircraft sheet work uses."""

from __future__ import annotations

import math
from enum import Enum

from soundmetal.calc.bend import AnsiK
from soundmetal.calc.limits import not_negative, positive, within


class Stock(Enum):
    """Metals of the handbook's stock rule, with the factor on the thickness for 90 degrees."""

    SOFT_BRASS = 0.55
    SOFT_STEEL = 0.64
    COLD_ROLLED = 0.71


def handbook_stock_mm(bent_deg: float, radius_mm: float, thickness_mm: float, stock: Stock) -> float:
    """Give the stock that a bend takes by the handbook's rule.

    .. math:: L = (y T + 1.57 R) A / 90

    Parameters
    ----------
    bent_deg : float
        Angle bent through, A, [deg]
    radius_mm : float
        Inside radius, R, [mm]
    thickness_mm : float
        Sheet, T, [mm]
    stock : Stock
        Metal; its factor y is 0.55, 0.64 or 0.71, [-]

    Returns
    -------
    length : float
        Material that the bend takes, [mm]

    Notes
    -----
    RANGE OF VALIDITY: 0 to 180 degrees. The handbook's soft steel is 0.64; today's cold-rolled sheet is 0.71.

    Examples
    --------
    >>> handbook_stock_mm(180, 0.375 * 25.4, 0.125 * 25.4, Stock.SOFT_STEEL) / 25.4
    1.3375

    References
    ----------
    Machinery's Handbook, 31st ed., p. 1421 (published-read).
    """
    within(bent_deg, "bent_deg", 0, 180)
    quarter = stock.value * positive(thickness_mm, "thickness_mm") + 1.57 * not_negative(radius_mm, "radius_mm")
    return quarter * bent_deg / 90


def y_to_k(y: float) -> AnsiK:
    """Turn a handbook factor on the thickness into a neutral axis: K = 2 y / pi.

    Parameters
    ----------
    y : float
        Factor on the thickness for 90 degrees, [-]

    Returns
    -------
    k : AnsiK
        Neutral axis, [-]

    Notes
    -----
    RANGE OF VALIDITY: 0 to pi/2.

    Examples
    --------
    >>> y_to_k(0.64)
    AnsiK(value=0.407)

    References
    ----------
    Help page quoting Machinery's Handbook, 28th ed. (second-hand).
    """
    return AnsiK(2 * y / math.pi)


def aircraft_allowance_mm(bent_deg: float, radius_mm: float, thickness_mm: float) -> float:
    """Give the bend allowance by the aircraft handbook's constants.

    .. math:: BA = (0.01743 R + 0.0078 T) N

    Parameters
    ----------
    bent_deg : float
        Angle bent through, N, [deg]
    radius_mm : float
        Inside radius, R, [mm]
    thickness_mm : float
        Sheet, T, [mm]

    Returns
    -------
    allowance : float
        Material that the bend takes, [mm]

    Notes
    -----
    RANGE OF VALIDITY: 0 to 180 degrees. The first constant is pi/180 rounded down: 0.13 % short of
    `bend_allowance_mm` at the same neutral axis (0.0078 stands for K = 0.447).

    Examples
    --------
    >>> aircraft_allowance_mm(90, 0.16 * 25.4, 0.04 * 25.4) / 25.4
    0.2791

    References
    ----------
    FAA Aviation Maintenance Technician Handbook, Airframe (constants from memory).
    """
    within(bent_deg, "bent_deg", 0, 180)
    radius = not_negative(radius_mm, "radius_mm")
    return (0.01743 * radius + 0.0078 * positive(thickness_mm, "thickness_mm")) * bent_deg
