"""Plates under uniform load: plain sheet, and sheet that is stiffer one way than the other, as beads make it."""

from __future__ import annotations

import math

from soundmetal.calc.limits import not_negative, positive, within


def plate_alpha(ratio: float, poisson: float = 0.3) -> float:
    """Give the deflection coefficient of a simply supported plate under uniform load, from the exact series.

    .. math:: y = alpha q b^4 / (E t^3)

    Parameters
    ----------
    ratio : float
        Long side over short side, a/b, [-]
    poisson : float
        Poisson's ratio, [-]

    Returns
    -------
    alpha : float
        Coefficient for the middle of the plate, [-]

    Notes
    -----
    RANGE OF VALIDITY: ratio of 1 or more; deflection under half the thickness. Printed tables differ from the series
    by up to 0.5 %.

    Examples
    --------
    >>> plate_alpha(1.0)
    0.04436

    References
    ----------
    Timoshenko and Woinowsky-Krieger, series solution (from memory); Roark, Table 11.4 case 1a (published-read).
    """
    if not ratio >= 1:
        raise ValueError(f"ratio is {ratio!r}: it is the long side over the short side, so 1 or more")
    within(poisson, "poisson", 0, 0.5)
    terms = []
    for m in range(1, 80, 2):
        a = m * math.pi * ratio / 2
        # (a tanh a + 2) / (2 cosh a); past 300 it is nothing, and cosh would overflow further on.
        edge = (a * math.tanh(a) + 2) / (2 * math.cosh(a)) if a < 300 else 0.0
        terms.append((-1) ** ((m - 1) // 2) / m**5 * (1 - edge))
    return 12 * (1 - poisson**2) * 4 / math.pi**5 * math.fsum(terms)


def plate_deflection_mm(
    long_mm: float, short_mm: float, thickness_mm: float, pressure_mpa: float, modulus_mpa: float = 200_000.0
) -> float:
    """Give the deflection in the middle of a simply supported plate under uniform load.

    Parameters
    ----------
    long_mm : float
        Long side, a, [mm]
    short_mm : float
        Short side, b, [mm]
    thickness_mm : float
        Sheet, t, [mm]
    pressure_mpa : float
        Load, q, [MPa]
    modulus_mpa : float
        Modulus of elasticity, E, [MPa]

    Returns
    -------
    deflection : float
        Middle of the plate, [mm]

    Notes
    -----
    RANGE OF VALIDITY: deflection under half the thickness; beyond it the sheet stretches and this is far too large
    (ValueError).

    Examples
    --------
    >>> plate_deflection_mm(457.2, 457.2, 1.21412, 0.01 * 0.006894757, 199948)
    0.374

    References
    ----------
    Roark, Table 11.4 case 1a (published-read).
    """
    alpha = plate_alpha(positive(long_mm, "long_mm") / positive(short_mm, "short_mm"))
    load = not_negative(pressure_mpa, "pressure_mpa") * short_mm**4
    deflection = alpha * load / (positive(modulus_mpa, "modulus_mpa") * positive(thickness_mm, "thickness_mm") ** 3)
    if deflection > thickness_mm / 2:
        raise ValueError(f"the plate would deflect {deflection:.3g} mm, over half its thickness: no formula here")
    return deflection


def orthotropic_deflection_mm(
    sides_mm: tuple[float, float], pressure_mpa: float, stiffness: tuple[float, float, float], terms: int = 59
) -> float:
    """Give the deflection in the middle of a simply supported plate that is stiffer one way than the other.

    .. math:: w = 16 q / pi^6 sum (+-1) / (m n (Dx m^4/a^4 + 2 H m^2 n^2/(a^2 b^2) + Dy n^4/b^4))

    Parameters
    ----------
    sides_mm : (float, float)
        Side along x, a, and along y, b, [mm]
    pressure_mpa : float
        Load, q, [MPa]
    stiffness : (float, float, float)
        Plate stiffness along x and y and against twist, Dx, Dy, H, [N mm]
    terms : int
        Highest half wave that is summed, [-]

    Returns
    -------
    deflection : float
        Middle of the plate, [mm]

    Notes
    -----
    RANGE OF VALIDITY: deflection under half the thickness; for comparing two plates of one size the load drops out.
    Beads do not keep twist or the direction across them stiffer than flat sheet.

    Examples
    --------
    >>> orthotropic_deflection_mm((100, 100), 1.0, (1e8, 1e8, 1e8))
    0.00406

    References
    ----------
    Timoshenko and Woinowsky-Krieger, orthotropic plates, Navier's series (from memory).
    """
    a, b = (positive(side, "sides_mm") for side in sides_mm)
    dx, dy, twist = (positive(one, "stiffness") for one in stiffness)
    odd = range(1, terms + 1, 2)
    total = math.fsum(
        (-1) ** ((m + n) // 2 - 1)
        / (m * n * (dx * (m / a) ** 4 + 2 * twist * (m * n / (a * b)) ** 2 + dy * (n / b) ** 4))
        for m in odd
        for n in odd
    )
    return 16 * not_negative(pressure_mpa, "pressure_mpa") / math.pi**6 * total
