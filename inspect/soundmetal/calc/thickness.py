"""Metal left of the original thickness, and what a coating adds to an ultrasonic reading."""

from __future__ import annotations

from soundmetal.calc.limits import not_negative, positive, within

#: Sound in steel over sound in paint, 5900 / 2500 m/s: um of steel that a single-echo gauge shows per um of paint.
STEEL_PER_PAINT = 5900.0 / 2500.0
#: Sheet comes from the mill at about +-10 %: a reading further above the original contradicts it.
MILL_TOLERANCE = 0.10


def metal_left(now_mm: float, original_mm: float) -> float:
    """Give what is left of the original thickness.

    Parameters
    ----------
    now_mm : float
        Thickness today, 0 at a hole, [mm]
    original_mm : float
        Thickness when new, [mm]

    Returns
    -------
    share : float
        Thickness today over the original; a little over 1 where the sheet was rolled thick, [-]

    Notes
    -----
    RANGE OF VALIDITY: up to 10 % above the original (the mill's tolerance); further above, one of the two is wrong
    and a ValueError says so. A loss under 10 % of a nominal thickness is not provable.

    Examples
    --------
    >>> metal_left(0.90, 1.214)
    0.741

    References
    ----------
    Definition; tolerance from a supplier's table (second-hand).
    """
    share = not_negative(now_mm, "now_mm") / positive(original_mm, "original_mm")
    if share > 1 + MILL_TOLERANCE + 1e-9:
        raise ValueError(f"{now_mm:g} mm is over 10 % above the original {original_mm:g} mm: one of them is wrong")
    return share


def loss_share(now_mm: float, original_mm: float) -> float:
    """Give the share of the original thickness that is gone: 1 less `metal_left`.

    Parameters
    ----------
    now_mm : float
        Thickness today, 0 at a hole, [mm]
    original_mm : float
        Thickness when new, [mm]

    Returns
    -------
    share : float
        Loss; under 0 where the sheet was rolled thick, [-]

    Notes
    -----
    RANGE OF VALIDITY: as `metal_left`.

    Examples
    --------
    >>> loss_share(0.90, 1.214)
    0.259

    References
    ----------
    Definition.
    """
    return 1 - metal_left(now_mm, original_mm)


def share_of_allowable(loss: float, allowable: float) -> float:
    """Give how much of an allowable loss is used up; ship rules call more than 0.75 substantial.

    Parameters
    ----------
    loss : float
        Share of the original thickness lost, [-]
    allowable : float
        Share that may be lost, [-]

    Returns
    -------
    used : float
        Loss over allowable; over 1 when the limit is passed, [-]

    Notes
    -----
    RANGE OF VALIDITY: allowable over 0 and at most 1. Written for ships; body sheet has no published limit.

    Examples
    --------
    >>> share_of_allowable(0.24, 0.30)
    0.8

    References
    ----------
    IMO code of the enhanced survey programme (published-read).
    """
    positive(within(allowable, "allowable", 0, 1), "allowable")
    return within(loss, "loss", -MILL_TOLERANCE, 1) / allowable


def ultrasonic_excess_um(coating_um: float) -> float:
    """Give how much too thick a single-echo ultrasonic gauge reads over paint.

    Parameters
    ----------
    coating_um : float
        Thickness of the coating, [um]

    Returns
    -------
    excess : float
        Steel that is not there, [um]

    Notes
    -----
    RANGE OF VALIDITY: paint at about 2500 m/s against steel at 5900 m/s; slower paint reads higher still. Rust under
    the probe adds far more (0.6 to 2.2 mm was measured), so such a reading never proves thin sheet sound.

    Examples
    --------
    >>> ultrasonic_excess_um(100)
    236.0

    References
    ----------
    Ratio of sound velocities from gauge makers' texts (published-read), computed.
    """
    return not_negative(coating_um, "coating_um") * STEEL_PER_PAINT


def ultrasonic_thickness_mm(transit_us: float, velocity_m_s: float = 5900.0) -> float:
    """Give the thickness of a pulse-echo transit time: half the way that sound runs.

    Parameters
    ----------
    transit_us : float
        Time there and back, [us]
    velocity_m_s : float
        Sound in the metal, [m/s]

    Returns
    -------
    thickness : float
        Thickness, [mm]

    Notes
    -----
    RANGE OF VALIDITY: bare, smooth steel at 5830 to 5900 m/s, up to 93 C.

    Examples
    --------
    >>> ultrasonic_thickness_mm(1.0)
    2.95

    References
    ----------
    ASTM E797 (published-read).
    """
    return not_negative(transit_us, "transit_us") * positive(velocity_m_s, "velocity_m_s") / 2 / 1000
