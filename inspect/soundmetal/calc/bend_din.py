"""DIN 6935: correction factor k and compensation value v for the flat length of bent parts.

The angle is the *opening* angle between the legs here, as the standard has it: 180 is flat. The factor comes as
`DinK`. The standard itself was not read; formulas as open code quotes them and from memory.
"""

from __future__ import annotations

import math

from soundmetal.calc.bend import DinK, Face, bend_allowance_mm, setback_mm
from soundmetal.calc.limits import positive, within


def din_k(radius_mm: float, thickness_mm: float) -> DinK:
    """Give the correction factor of DIN 6935, which acts on half the thickness.

    .. math:: k = 0.65 + 0.5 log10(r/s)  (r/s <= 5), else 1

    Parameters
    ----------
    radius_mm : float
        Inside radius, r, [mm]
    thickness_mm : float
        Sheet, s, [mm]

    Returns
    -------
    k : DinK
        Factor on half the thickness, [-]

    Notes
    -----
    RANGE OF VALIDITY: r/s over 0.05, where the formula passes zero. ValueError under it.

    Examples
    --------
    >>> din_k(3, 1)
    DinK(value=0.8886)

    References
    ----------
    DIN 6935 as quoted in open code (second-hand).
    """
    ratio = positive(radius_mm, "radius_mm") / positive(thickness_mm, "thickness_mm")
    if ratio > 5:
        return DinK(1.0)
    k = 0.65 + 0.5 * math.log10(ratio)
    if k < 0:
        raise ValueError(f"r/s is {ratio:.3g}: DIN 6935 gives no factor under 0.05; bend a test strip")
    return DinK(k)


def din_v_mm(opening_deg: float, radius_mm: float, thickness_mm: float) -> float:
    """Give the compensation value of DIN 6935, added to the sum of both legs to get the flat length.

    .. math:: v = pi (180 - beta)/180 (r + k s/2) - 2 (r + s) [tan((180 - beta)/2) where beta > 90]

    Parameters
    ----------
    opening_deg : float
        Angle between the legs, beta; 180 is flat, [deg]
    radius_mm : float
        Inside radius, r, [mm]
    thickness_mm : float
        Sheet, s, [mm]

    Returns
    -------
    v : float
        Compensation, mostly under 0, [mm]

    Notes
    -----
    RANGE OF VALIDITY: 0 to 180 degrees. Legs are measured to the outer tangent up to 90 degrees, to the outer apex
    from there to 165; over 165 the standard sets 0.

    Examples
    --------
    >>> din_v_mm(90, 3, 3)
    -5.756

    References
    ----------
    DIN 6935 (formulas from memory; angle ranges second-hand).
    """
    within(opening_deg, "opening_deg", 0, 180)
    k = din_k(radius_mm, thickness_mm)
    if opening_deg > 165:
        return 0.0
    bent_deg = 180 - opening_deg
    face = leg_face(opening_deg)
    allowance = bend_allowance_mm(bent_deg, radius_mm, thickness_mm, k)
    return allowance - 2 * setback_mm(bent_deg, radius_mm, thickness_mm, face)


def leg_face(opening_deg: float) -> Face:
    """Give the face to which DIN 6935 measures a leg at this opening angle.

    Parameters
    ----------
    opening_deg : float
        Angle between the legs; 180 is flat, [deg]

    Returns
    -------
    face : Face
        Outer tangent up to 90 degrees, outer apex over it, [-]

    Notes
    -----
    RANGE OF VALIDITY: 0 to 180 degrees.

    Examples
    --------
    >>> leg_face(60).name, leg_face(120).name
    ('OUTER_TANGENT', 'OUTER_APEX')

    References
    ----------
    DIN 6935 (from memory).
    """
    return Face.OUTER_TANGENT if within(opening_deg, "opening_deg", 0, 180) <= 90 else Face.OUTER_APEX
