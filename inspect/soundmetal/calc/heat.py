"""What welding heat does: energy put into a seam, and how much a seam shrinks."""

from __future__ import annotations

from soundmetal.calc.limits import not_negative, positive, within


def longitudinal_shrinkage_mm(seam_mm: float) -> float:
    """Give by how much a butt seam may shorten: 3 mm in 3 m.

    Parameters
    ----------
    seam_mm : float
        Length of the seam, [mm]

    Returns
    -------
    shrinkage : float
        Shortening, [mm]

    Notes
    -----
    RANGE OF VALIDITY: a rule for plate; on 1 mm sheet it tells the order of magnitude only.

    Examples
    --------
    >>> longitudinal_shrinkage_mm(567.38)
    0.567

    References
    ----------
    TWI, allowances for shrinkage (published-read).
    """
    return not_negative(seam_mm, "seam_mm") * 3 / 3000


def heat_input_kj_mm(volts: float, amperes: float, travel_mm_min: float, efficiency: float = 1.0) -> float:
    """Give the arc energy for a length of seam, or with an efficiency the heat that goes into the work.

    .. math:: 60 U I / (1000 v) * eta

    Parameters
    ----------
    volts : float
        Arc voltage, U, [V]
    amperes : float
        Current, I, [A]
    travel_mm_min : float
        Travel, v, [mm/min]
    efficiency : float
        1 for arc energy; 0.8 MIG/MAG, 0.6 TIG into the work, eta, [-]

    Returns
    -------
    heat : float
        Energy for the length, [kJ/mm]

    Notes
    -----
    RANGE OF VALIDITY: a continuous run; tacks put in less.

    Examples
    --------
    >>> heat_input_kj_mm(15, 35, 475)
    0.06632

    References
    ----------
    TWI, heat input and arc energy (published-read).
    """
    within(positive(efficiency, "efficiency"), "efficiency", 0, 1)
    power_kw = positive(volts, "volts") * positive(amperes, "amperes") / 1000
    return 60 * power_kw / positive(travel_mm_min, "travel_mm_min") * efficiency
