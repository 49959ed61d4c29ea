"""Plates stiffer one way than the other, as beads make them: deflection under uniform load."""

from __future__ import annotations

import math

from soundmetal.calc.limits import not_negative, positive


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
