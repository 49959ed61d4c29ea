"""Bends: allowance, setback, deduction, flat length of a blank, stock rules of the handbook.

Three words that drawings mix up have one meaning here. `bent_deg` is the angle bent *through*: 0 is flat, 90 a
flange, 180 a hem (a drawing's included angle is 180 less it). A neutral-axis factor comes as `AnsiK` (acts on the
full thickness) or `DinK` (acts on half of it), never as a bare number. A leg says which face it was measured to.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from soundmetal.calc.limits import not_negative, positive, within


@dataclass(frozen=True, slots=True)
class AnsiK:
    """Neutral axis as a share of the full thickness, from the inside (K of the American convention)."""

    value: float

    def __post_init__(self) -> None:
        """Refuse a neutral axis outside the sheet."""
        within(self.value, "K", 0, 1)

    @property
    def neutral_share(self) -> float:
        """Distance of the neutral axis from the inside, as a share of the thickness."""
        return self.value


@dataclass(frozen=True, slots=True)
class DinK:
    """Neutral axis as a share of *half* the thickness, from the inside (k of DIN 6935): K = k / 2."""

    value: float

    def __post_init__(self) -> None:
        """Refuse a neutral axis outside the sheet."""
        within(self.value, "k", 0, 2)

    @property
    def neutral_share(self) -> float:
        """Distance of the neutral axis from the inside, as a share of the thickness."""
        return self.value / 2


NeutralAxis = AnsiK | DinK


class Face(Enum):
    """To where a leg was measured at a bend."""

    OUTER_APEX = "where the outer faces would meet"
    OUTER_TANGENT = "the outermost line of the bend"
    INNER_APEX = "where the inner faces would meet"
    FLAT = "the start of the bend"


@dataclass(frozen=True, slots=True)
class Bend:
    """One bend: angle bent through [deg] and inside radius [mm]."""

    bent_deg: float
    radius_mm: float


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg as measured [mm], and to which face."""

    length_mm: float
    face: Face


def bend_allowance_mm(bent_deg: float, radius_mm: float, thickness_mm: float, k: NeutralAxis) -> float:
    """Give the length of the neutral axis in a bend.

    .. math:: BA = (pi/180) A (R + K T)

    Parameters
    ----------
    bent_deg : float
        Angle bent through, A, [deg]
    radius_mm : float
        Inside radius, R, [mm]
    thickness_mm : float
        Sheet, T, [mm]
    k : AnsiK or DinK
        Neutral axis, its convention in its type, K, [-]

    Returns
    -------
    allowance : float
        Material that the bend takes, [mm]

    Notes
    -----
    RANGE OF VALIDITY: 0 to 180 degrees; the factor must have been measured for such a bend.

    Examples
    --------
    >>> bend_allowance_mm(90, 0.76, 1.22, AnsiK(0.4891))
    2.131

    References
    ----------
    FAA Aviation Maintenance Technician Handbook, Airframe, ch. 4, and trade press (published-read).
    """
    within(bent_deg, "bent_deg", 0, 180)
    neutral_mm = not_negative(radius_mm, "radius_mm") + k.neutral_share * positive(thickness_mm, "thickness_mm")
    return math.radians(bent_deg) * neutral_mm


def setback_mm(bent_deg: float, radius_mm: float, thickness_mm: float, face: Face = Face.OUTER_APEX) -> float:
    """Give how far the point a leg is measured to lies beyond the start of the bend.

    .. math:: OSSB = tan(A/2) (R + T)  (outer apex)

    Parameters
    ----------
    bent_deg : float
        Angle bent through, A, [deg]
    radius_mm : float
        Inside radius, R, [mm]
    thickness_mm : float
        Sheet, T, [mm]
    face : Face
        To where the leg was measured, [-]

    Returns
    -------
    setback : float
        Distance; 0 for a leg measured to the start of the bend, [mm]

    Notes
    -----
    RANGE OF VALIDITY: under 180 degrees for the apexes (at 180 the faces never meet); the outer tangent from 90 on.

    Examples
    --------
    >>> setback_mm(90, 3, 3), setback_mm(90, 3, 3, Face.INNER_APEX)
    (6.0, 3.0)

    References
    ----------
    Trade press, outside setback (published-read); other faces by geometry.
    """
    within(bent_deg, "bent_deg", 0, 180)
    outer_mm = not_negative(radius_mm, "radius_mm") + positive(thickness_mm, "thickness_mm")
    if face is Face.FLAT:
        return 0.0
    if face is Face.OUTER_TANGENT:
        within(bent_deg, "bent_deg of a leg to the outer tangent", 90, 180)
        return outer_mm
    if bent_deg == 180:
        raise ValueError("bent_deg is 180: the faces of a hem never meet; measure to its outer tangent")
    return math.tan(math.radians(bent_deg) / 2) * (outer_mm if face is Face.OUTER_APEX else radius_mm)


def bend_deduction_mm(bent_deg: float, radius_mm: float, thickness_mm: float, k: NeutralAxis) -> float:
    """Give what is taken off the sum of two legs measured to the outer apex.

    .. math:: BD = 2 OSSB - BA

    Parameters
    ----------
    bent_deg : float
        Angle bent through, A, [deg]
    radius_mm : float
        Inside radius, R, [mm]
    thickness_mm : float
        Sheet, T, [mm]
    k : AnsiK or DinK
        Neutral axis, its convention in its type, [-]

    Returns
    -------
    deduction : float
        Material to leave out, [mm]

    Notes
    -----
    RANGE OF VALIDITY: under 180 degrees.

    Examples
    --------
    >>> bend_deduction_mm(90, 0.030 * 25.4, 0.048 * 25.4, AnsiK(0.4891)) / 25.4
    0.072

    References
    ----------
    Trade notation; Prototek tested deductions (published-read).
    """
    allowance = bend_allowance_mm(bent_deg, radius_mm, thickness_mm, k)
    return 2 * setback_mm(bent_deg, radius_mm, thickness_mm) - allowance


def k_from_test(bent_deg: float, radius_mm: float, thickness_mm: float, deduction_mm: float) -> AnsiK:
    """Give the neutral axis from a test strip: legs measured after bending, less the strip's length before.

    .. math:: K = ((2 OSSB - BD) / A - R) / T  (A in radians)

    Parameters
    ----------
    bent_deg : float
        Angle bent through, A, [deg]
    radius_mm : float
        Inside radius, R, [mm]
    thickness_mm : float
        Sheet, T, [mm]
    deduction_mm : float
        Sum of both legs to the outer apex less the flat length, BD, [mm]

    Returns
    -------
    k : AnsiK
        Neutral axis, [-]

    Notes
    -----
    RANGE OF VALIDITY: over 0 and under 180 degrees; a factor outside 0 to 1 means a wrong measurement (ValueError).

    Examples
    --------
    >>> round(k_from_test(90, 0.762, 1.2192, 1.8288).value, 2)
    0.49

    References
    ----------
    `bend_deduction_mm` solved for K.
    """
    angle = math.radians(positive(bent_deg, "bent_deg"))
    allowance = 2 * setback_mm(bent_deg, radius_mm, thickness_mm) - deduction_mm
    return AnsiK((allowance / angle - radius_mm) / thickness_mm)


def flat_length_mm(legs: Sequence[Leg], bends: Sequence[Bend], thickness_mm: float, k: NeutralAxis) -> float:
    """Give the length of the blank for a strip of legs with bends between them.

    Parameters
    ----------
    legs : sequence of Leg
        From one end to the other, one more than bends, [mm]
    bends : sequence of Bend
        Between them, [deg, mm]
    thickness_mm : float
        Sheet, [mm]
    k : AnsiK or DinK
        Neutral axis, its convention in its type, [-]

    Returns
    -------
    length : float
        Flat length, [mm]

    Notes
    -----
    RANGE OF VALIDITY: every leg longer than its setbacks; a shorter one cannot be bent (ValueError).

    Examples
    --------
    >>> outside = Leg(50, Face.OUTER_APEX)
    >>> flat_length_mm([outside, outside], [Bend(90, 3)], 3, DinK(0.65))
    94.244

    References
    ----------
    Machinery's Handbook, 31st ed., p. 1421: straight parts plus allowances (published-read).
    """
    if len(legs) != len(bends) + 1:
        raise ValueError(f"{len(legs)} legs and {len(bends)} bends do not fit: there is one leg more than bends")
    total = math.fsum(bend_allowance_mm(bend.bent_deg, bend.radius_mm, thickness_mm, k) for bend in bends)
    for place, leg in enumerate(legs):
        beside = bends[max(0, place - 1) : place + 1]
        straight = positive(leg.length_mm, "length_mm") - math.fsum(
            setback_mm(bend.bent_deg, bend.radius_mm, thickness_mm, leg.face) for bend in beside
        )
        if straight < 0:
            raise ValueError(f"leg {place + 1} of {leg.length_mm:g} mm is shorter than its bends take up")
        total += straight
    return total
