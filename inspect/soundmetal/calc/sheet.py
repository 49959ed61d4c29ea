"""Weight of sheet steel: its mass for handling, and apart from it the nominal weight that gauge sheet is sold by."""

from __future__ import annotations

from soundmetal.calc.limits import not_negative, positive
from soundmetal.calc.units import KG_PER_LB, MM2_PER_FT2, MM_PER_INCH, STEEL_KG_M3

#: Definition of the Manufacturers' Standard Gauge; about 2.4 % above real steel, so never use it for a mass.
MSG_LB_FT2_PER_INCH = 41.82


def mass_kg(area_mm2: float, thickness_mm: float, density_kg_m3: float = STEEL_KG_M3) -> float:
    """Give the mass of a sheet.

    Parameters
    ----------
    area_mm2 : float
        Area of one face, [mm2]
    thickness_mm : float
        Thickness, [mm]
    density_kg_m3 : float
        Density, [kg/m3]

    Returns
    -------
    mass : float
        Mass, [kg]

    Notes
    -----
    RANGE OF VALIDITY: any solid sheet; mild steel by default.

    Examples
    --------
    >>> mass_kg(1000 * 2000, 0.8)
    12.56

    References
    ----------
    Density 7850 kg/m3 of the steel gauge charts (published-read).
    """
    volume_mm3 = not_negative(area_mm2, "area_mm2") * positive(thickness_mm, "thickness_mm")
    return volume_mm3 * positive(density_kg_m3, "density_kg_m3") * 1e-9


def areal_mass_kg_m2(thickness_mm: float, density_kg_m3: float = STEEL_KG_M3) -> float:
    """Give the mass of one square metre of sheet.

    Parameters
    ----------
    thickness_mm : float
        Thickness, [mm]
    density_kg_m3 : float
        Density, [kg/m3]

    Returns
    -------
    mass : float
        Mass for the area, [kg/m2]

    Notes
    -----
    RANGE OF VALIDITY: as `mass_kg`.

    Examples
    --------
    >>> areal_mass_kg_m2(1.0)
    7.85

    References
    ----------
    As `mass_kg`.
    """
    return mass_kg(1e6, thickness_mm, density_kg_m3)


def areal_mass_lb_ft2(thickness_mm: float, density_kg_m3: float = STEEL_KG_M3) -> float:
    """Give the mass of one square foot of sheet, as it weighs (not as it is sold).

    Parameters
    ----------
    thickness_mm : float
        Thickness, [mm]
    density_kg_m3 : float
        Density, [kg/m3]

    Returns
    -------
    mass : float
        Mass for the area, [lb/ft2]

    Notes
    -----
    RANGE OF VALIDITY: as `mass_kg`.

    Examples
    --------
    >>> areal_mass_lb_ft2(0.0478 * 25.4)
    1.952

    References
    ----------
    As `mass_kg`; exact unit factors.
    """
    return mass_kg(MM2_PER_FT2, thickness_mm, density_kg_m3) / KG_PER_LB


def msg_nominal_lb_ft2(thickness_mm: float) -> float:
    """Give the nominal weight by which the Manufacturers' Standard Gauge sells a thickness.

    Parameters
    ----------
    thickness_mm : float
        Thickness, [mm]

    Returns
    -------
    weight : float
        Nominal weight for buying, [lb/ft2]

    Notes
    -----
    RANGE OF VALIDITY: uncoated sheet bought by gauge. For handling use the mass: this is about 2.4 % above it.

    Examples
    --------
    >>> msg_nominal_lb_ft2(0.0478 * 25.4)
    2.00

    References
    ----------
    Manufacturers' Standard Gauge, 41.82 lb/ft2 per inch (published-read).
    """
    return positive(thickness_mm, "thickness_mm") / MM_PER_INCH * MSG_LB_FT2_PER_INCH
