"""Welding wire, arc time and gas: what a seam or a day's welding takes."""

from __future__ import annotations

import math

from soundmetal.calc.limits import not_negative, positive, within
from soundmetal.calc.units import MM_PER_INCH, STEEL_KG_M3


def wire_m_per_kg(diameter_mm: float, density_kg_m3: float = STEEL_KG_M3) -> float:
    """Give the length of wire in one kilogram.

    Parameters
    ----------
    diameter_mm : float
        Wire, [mm]
    density_kg_m3 : float
        Density, [kg/m3]

    Returns
    -------
    length : float
        Length for the mass, [m/kg]

    Notes
    -----
    RANGE OF VALIDITY: solid wire. Printed tables are up to 1.2 % lower, and the welding trade's constant 13.1 stands
    for 0.278 lb/in3 instead of 0.283: use the density.

    Examples
    --------
    >>> wire_m_per_kg(0.6)
    450.54

    References
    ----------
    Geometry; ESAB MIG welding handbook within 1.2 % (published-read).
    """
    section_mm2 = math.pi / 4 * positive(diameter_mm, "diameter_mm") ** 2
    return 1e6 / (section_mm2 * positive(density_kg_m3, "density_kg_m3"))


def wire_mass_g(weld_metal_g: float, efficiency: float) -> float:
    """Give the wire to be bought for an amount of weld metal: weld metal over deposition efficiency.

    Parameters
    ----------
    weld_metal_g : float
        Weld metal in the seam, [g]
    efficiency : float
        Share of the wire that ends in the seam: 0.90 to 0.93 short arc, 0.85 to 0.90 with cut-offs, [-]

    Returns
    -------
    mass : float
        Wire, [g]

    Notes
    -----
    RANGE OF VALIDITY: efficiency over 0 and at most 1.

    Examples
    --------
    >>> wire_mass_g(20.829, 0.95)
    21.925

    References
    ----------
    ESAB filler metal data handbook, P = W L / E (published-read); range with cut-offs common practice, no source.
    """
    within(positive(efficiency, "efficiency"), "efficiency", 0, 1)
    return not_negative(weld_metal_g, "weld_metal_g") / efficiency


def wire_m_per_m(weld_metal_g_per_m: float, diameter_mm: float, efficiency: float) -> float:
    """Give the length of wire that one metre of seam takes.

    Parameters
    ----------
    weld_metal_g_per_m : float
        Weld metal, [g/m]
    diameter_mm : float
        Wire, [mm]
    efficiency : float
        Share of the wire that ends in the seam, [-]

    Returns
    -------
    length : float
        Wire for the seam, [m/m]

    Notes
    -----
    RANGE OF VALIDITY: as `wire_mass_g` and `wire_m_per_kg`.

    Examples
    --------
    >>> wire_m_per_m(20.829, 0.6, 0.95)
    9.878

    References
    ----------
    Geometry and ESAB filler metal data handbook (published-read).
    """
    return wire_mass_g(weld_metal_g_per_m, efficiency) / 1000 * wire_m_per_kg(diameter_mm)


def wire_feed_m_min(amperes: float, inch_per_minute_per_amp: float) -> float:
    """Give the wire speed for a current, by the feed rate of the wire's table.

    Parameters
    ----------
    amperes : float
        Current, [A]
    inch_per_minute_per_amp : float
        Feed rate of the wire, [in/(min A)]

    Returns
    -------
    feed : float
        Wire speed, [m/min]

    Notes
    -----
    RANGE OF VALIDITY: the current range of the wire; a starting point, set on scrap.

    Examples
    --------
    >>> wire_feed_m_min(40, 3.5)
    3.556

    References
    ----------
    Owner's manuals of small MIG machines (published-read).
    """
    inches = positive(amperes, "amperes") * positive(inch_per_minute_per_amp, "inch_per_minute_per_amp")
    return inches * MM_PER_INCH / 1000


def melted_kg_h(feed_m_min: float, diameter_mm: float, density_kg_m3: float = STEEL_KG_M3) -> float:
    """Give the wire melted in one hour of arc; times the efficiency it is the deposition rate.

    Parameters
    ----------
    feed_m_min : float
        Wire speed, [m/min]
    diameter_mm : float
        Wire, [mm]
    density_kg_m3 : float
        Density, [kg/m3]

    Returns
    -------
    rate : float
        Wire melted, [kg/h]

    Notes
    -----
    RANGE OF VALIDITY: solid wire, arc burning all the time.

    Examples
    --------
    >>> melted_kg_h(125 * 0.0254, 0.762)
    0.682

    References
    ----------
    ESAB MIG welding handbook (published-read).
    """
    return positive(feed_m_min, "feed_m_min") * 60 / wire_m_per_kg(diameter_mm, density_kg_m3)


def arc_minutes(seam_mm: float, travel_mm_min: float) -> float:
    """Give the time that the arc burns for a seam in one run.

    Parameters
    ----------
    seam_mm : float
        Length of the seam, [mm]
    travel_mm_min : float
        Travel, [mm/min]

    Returns
    -------
    time : float
        Arc time, [min]

    Notes
    -----
    RANGE OF VALIDITY: one continuous run.

    Examples
    --------
    >>> arc_minutes(1000, 400)
    2.5

    References
    ----------
    Definition.
    """
    return not_negative(seam_mm, "seam_mm") / positive(travel_mm_min, "travel_mm_min")


def elapsed_minutes(arc_time_min: float, operating_factor: float) -> float:
    """Give the welder's time for an arc time.

    Parameters
    ----------
    arc_time_min : float
        Arc time, [min]
    operating_factor : float
        Share of the time that the arc burns, [-]

    Returns
    -------
    time : float
        Time on the job, [min]

    Notes
    -----
    RANGE OF VALIDITY: factor over 0 and at most 1: about 0.45 in a welding shop; 0.05 to 0.15 tack by tack on panels
    (common practice, no source), where hours for the length are the better measure.

    Examples
    --------
    >>> elapsed_minutes(2.5, 0.2)
    12.5

    References
    ----------
    TWI, typical duty cycles (published-read).
    """
    within(positive(operating_factor, "operating_factor"), "operating_factor", 0, 1)
    return not_negative(arc_time_min, "arc_time_min") / operating_factor


def gas_l(arc_time_min: float, flow_l_min: float, overhead: float = 1.0) -> float:
    """Give the shielding gas for an arc time.

    Parameters
    ----------
    arc_time_min : float
        Arc time, [min]
    flow_l_min : float
        Flow, [l/min]
    overhead : float
        Gas used over gas while the arc burns: 1 for one run, 2 to 3 for tacks (pre- and post-flow), [-]

    Returns
    -------
    gas : float
        Gas at atmospheric pressure, [l]

    Notes
    -----
    RANGE OF VALIDITY: overhead of 1 or more. The 2 to 3 is common practice, no source.

    Examples
    --------
    >>> gas_l(2.5, 12)
    30.0

    References
    ----------
    Definition.
    """
    if not overhead >= 1:
        raise ValueError(f"overhead is {overhead!r}: gas cannot be less than what flows while the arc burns")
    return not_negative(arc_time_min, "arc_time_min") * positive(flow_l_min, "flow_l_min") * overhead
