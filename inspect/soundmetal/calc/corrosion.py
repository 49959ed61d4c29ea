"""Steel lost to the air over years: ISO 9224 and the dose-response function of ISO 9223.

The loss is that of bare, openly exposed steel on one face. Mud, seams and boxes go faster: a floor, never a date.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from soundmetal.calc.limits import not_negative, positive, within

#: Up to here ISO 9224:2012 holds a power law; after it, a straight line with the slope reached.
POWER_LAW_YEARS = 20.0


class Air(NamedTuple):
    """Yearly means of a place: temperature [C], relative humidity [%], SO2 and Cl deposits [mg/(m2 d)]."""

    temperature_c: float
    humidity_percent: float
    so2_mg_m2_d: float
    chloride_mg_m2_d: float


#: Limits of the data behind the dose-response function (ISO 9223:2012 Table 3, second-hand).
_LEAST = Air(-17.1, 34, 0.7, 0.4)
_MOST = Air(28.7, 93, 150.4, 760.5)


def loss_um(first_year_um: float, years: float, exponent: float) -> float:
    """Give the steel lost from one face by the ISO 9224 law.

    .. math:: D = r t^b  (t <= 20);  D = r (20^b + b 20^{b-1} (t - 20))  (t > 20)

    Parameters
    ----------
    first_year_um : float
        Loss of the first year, r, [um]
    years : float
        Time exposed, t, [a]
    exponent : float
        Time exponent b of the metal, [-]

    Returns
    -------
    loss : float
        Thickness lost, one face, [um]

    Notes
    -----
    RANGE OF VALIDITY: the standard speaks of exposures over one year; under it the law is carried on (it then gives
    more than a proportional share). 0 years is no loss. A table of t^b in the standard runs the power law to 100
    years and gives less than this beyond 20.

    Examples
    --------
    >>> loss_um(50, 10, 0.523)
    166.7

    References
    ----------
    ISO 9224:2012, Clause 6 (law to 20 years from memory; beyond: second-hand).
    """
    not_negative(first_year_um, "first_year_um")
    not_negative(years, "years")
    positive(exponent, "exponent")
    if years <= POWER_LAW_YEARS:
        return float(first_year_um * years**exponent)
    reached = POWER_LAW_YEARS**exponent
    return float(first_year_um * (reached + _slope(exponent) * (years - POWER_LAW_YEARS)))


def steady_rate_um_a(first_year_um: float, exponent: float) -> float:
    """Give the loss a year, one face, after 20 years (ISO 9224).

    .. math:: r b 20^{b-1}

    Parameters
    ----------
    first_year_um : float
        Loss of the first year, r, [um]
    exponent : float
        Time exponent b of the metal, [-]

    Returns
    -------
    rate : float
        Slope of the straight line, [um/a]

    Notes
    -----
    RANGE OF VALIDITY: more than 20 years.

    Examples
    --------
    >>> steady_rate_um_a(100, 0.523)
    12.53

    References
    ----------
    ISO 9224:2012, Clause 6 (second-hand).
    """
    return not_negative(first_year_um, "first_year_um") * _slope(positive(exponent, "exponent"))


def years_to_lose(thickness_um: float, first_year_um: float, exponent: float, faces: int = 1) -> float:
    """Give the time in which openly exposed steel loses a thickness: the inverse of the ISO 9224 law.

    Parameters
    ----------
    thickness_um : float
        Thickness to be lost, over all faces together, [um]
    first_year_um : float
        Loss of the first year of one face, [um]
    exponent : float
        Time exponent b of the metal, [-]
    faces : int
        Faces that rust, 1 or 2, [-]

    Returns
    -------
    years : float
        Time, [a]

    Notes
    -----
    RANGE OF VALIDITY: as `loss_um`; never a forecast of when a panel is eaten through.

    Examples
    --------
    >>> years_to_lose(911.9, 200, 0.523), years_to_lose(911.9, 200, 0.523, faces=2)
    (18.19, 4.83)

    References
    ----------
    ISO 9224:2012, Clause 6 (second-hand), solved for the time.
    """
    if faces not in (1, 2):
        raise ValueError(f"faces is {faces!r}: a sheet has 1 or 2 that rust")
    positive(exponent, "exponent")
    share = not_negative(thickness_um, "thickness_um") / faces / positive(first_year_um, "first_year_um")
    reached = POWER_LAW_YEARS**exponent
    if share <= reached:
        return float(share ** (1 / exponent))
    return float(POWER_LAW_YEARS + (share - reached) / _slope(exponent))


def dose_response_um(air: Air) -> float:
    """Give the first-year loss of carbon steel from the yearly means of the place (ISO 9223).

    .. math:: r = 1.77 P^{0.52} e^{0.020 H + f} + 0.102 S^{0.62} e^{0.033 H + 0.040 T}

    with f = 0.150 (T - 10) up to 10 C, else -0.054 (T - 10).

    Parameters
    ----------
    air : Air
        Temperature, humidity, sulphur dioxide and chloride, see the class, [C, %, mg/(m2 d)]

    Returns
    -------
    loss : float
        First-year loss, one face, [um]

    Notes
    -----
    RANGE OF VALIDITY: -17.1 to 28.7 C, 34 to 93 %, SO2 0.7 to 150.4, Cl 0.4 to 760.5 mg/(m2 d). ValueError outside.

    Examples
    --------
    >>> dose_response_um(Air(10, 75, 10, 10))
    33.80

    References
    ----------
    ISO 9223:2012, Formula (1) and Table 3 (second-hand).
    """
    for name, value, least, most in zip(Air._fields, air, _LEAST, _MOST, strict=True):
        within(value, name, least, most)
    warmth = air.temperature_c - 10
    f = 0.150 * warmth if warmth <= 0 else -0.054 * warmth
    sulphur = 1.77 * air.so2_mg_m2_d**0.52 * math.exp(0.020 * air.humidity_percent + f)
    salt = 0.102 * air.chloride_mg_m2_d**0.62
    return float(sulphur + salt * math.exp(0.033 * air.humidity_percent + 0.040 * air.temperature_c))


def _slope(exponent: float) -> float:
    return float(exponent * POWER_LAW_YEARS ** (exponent - 1))
