"""Seams round a patch and what they hold: length, tacks, section, weld metal."""

from __future__ import annotations

import math

from soundmetal.calc.limits import not_negative, positive, within
from soundmetal.calc.units import STEEL_KG_M3


def rounded_rectangle_perimeter_mm(width_mm: float, height_mm: float, corner_mm: float) -> float:
    """Give the seam length round a patch with rounded corners.

    .. math:: 2 (w + h) - 8 r + 2 pi r

    Parameters
    ----------
    width_mm : float
        Over all, w, [mm]
    height_mm : float
        Over all, h, [mm]
    corner_mm : float
        Radius of the corners, r, [mm]

    Returns
    -------
    perimeter : float
        Length of the seam, [mm]

    Notes
    -----
    RANGE OF VALIDITY: corner radius up to half of the shorter side. ValueError over it.

    Examples
    --------
    >>> rounded_rectangle_perimeter_mm(170, 130, 19)
    567.381

    References
    ----------
    Geometry.
    """
    _check_corner(width_mm, height_mm, corner_mm)
    return 2 * (width_mm + height_mm) - (8 - 2 * math.pi) * corner_mm


def rounded_rectangle_area_mm2(width_mm: float, height_mm: float, corner_mm: float) -> float:
    """Give the area of a patch with rounded corners.

    .. math:: w h - (4 - pi) r^2

    Parameters
    ----------
    width_mm : float
        Over all, w, [mm]
    height_mm : float
        Over all, h, [mm]
    corner_mm : float
        Radius of the corners, r, [mm]

    Returns
    -------
    area : float
        Area of one face, [mm2]

    Notes
    -----
    RANGE OF VALIDITY: corner radius up to half of the shorter side. ValueError over it.

    Examples
    --------
    >>> rounded_rectangle_area_mm2(170, 130, 19)
    21790.11

    References
    ----------
    Geometry.
    """
    _check_corner(width_mm, height_mm, corner_mm)
    return width_mm * height_mm - (4 - math.pi) * corner_mm**2


def tack_count(seam_mm: float, spacing_mm: float, closed: bool = True) -> int:
    """Give how many tacks stand along a seam, none further apart than the spacing.

    Parameters
    ----------
    seam_mm : float
        Length of the seam, [mm]
    spacing_mm : float
        Largest distance between tacks, [mm]
    closed : bool
        True where the seam comes back to its start; an open one has a tack more, [-]

    Returns
    -------
    count : int
        Tacks, [-]

    Notes
    -----
    RANGE OF VALIDITY: any seam over 0. Tacks start 50 to 75 mm apart and are halved to 12 to 25 mm (common practice,
    no source).

    Examples
    --------
    >>> tack_count(567.38, 25)
    23

    References
    ----------
    Geometry.
    """
    gaps = math.ceil(positive(seam_mm, "seam_mm") / positive(spacing_mm, "spacing_mm") - 1e-9)
    return max(1, gaps) + (0 if closed else 1)


def butt_area_mm2(
    thickness_mm: float,
    gap_mm: float,
    face_width_mm: float = 0.0,
    face_height_mm: float = 0.0,
    root_width_mm: float = 0.0,
    root_height_mm: float = 0.0,
) -> float:
    """Give the cross-section of a square butt weld: the gap and two caps shaped as parabolas.

    .. math:: t g + 2/3 w_f h_f + 2/3 w_r h_r

    Parameters
    ----------
    thickness_mm : float
        Sheet, t, [mm]
    gap_mm : float
        Root gap, g, [mm]
    face_width_mm : float
        Width of the cap on the face, [mm]
    face_height_mm : float
        Its height, [mm]
    root_width_mm : float
        Width of the bead at the root, [mm]
    root_height_mm : float
        Its height, [mm]

    Returns
    -------
    area : float
        Weld metal in section, [mm2]

    Notes
    -----
    RANGE OF VALIDITY: sheet up to about 5 mm, square edges. Bead sizes are a model (from memory), of the right size:
    10 % apart from the wire that a welder's settings feed.

    Examples
    --------
    >>> butt_area_mm2(0.9, 0.8, 3.0, 0.7, 2.0, 0.4)
    2.6533

    References
    ----------
    Geometry; square groove without caps agrees with the ESAB weight table (published-read).
    """
    gap = positive(thickness_mm, "thickness_mm") * not_negative(gap_mm, "gap_mm")
    face = not_negative(face_width_mm, "face_width_mm") * not_negative(face_height_mm, "face_height_mm")
    root = not_negative(root_width_mm, "root_width_mm") * not_negative(root_height_mm, "root_height_mm")
    return gap + 2 / 3 * (face + root)


def fillet_area_mm2(leg_mm: float, other_leg_mm: float) -> float:
    """Give the cross-section of a flat fillet weld: half the product of its legs.

    Parameters
    ----------
    leg_mm : float
        One leg, [mm]
    other_leg_mm : float
        The other, [mm]

    Returns
    -------
    area : float
        Weld metal in section, [mm2]

    Notes
    -----
    RANGE OF VALIDITY: flat face, legs at right angles.

    Examples
    --------
    >>> fillet_area_mm2(12.7, 12.7)
    80.645

    References
    ----------
    Geometry; agrees with the ESAB weight table (published-read).
    """
    return positive(leg_mm, "leg_mm") * positive(other_leg_mm, "other_leg_mm") / 2


def weld_metal_g_per_m(area_mm2: float, density_kg_m3: float = STEEL_KG_M3) -> float:
    """Give the weld metal in one metre of seam.

    Parameters
    ----------
    area_mm2 : float
        Weld metal in section, [mm2]
    density_kg_m3 : float
        Density, [kg/m3]

    Returns
    -------
    mass : float
        Weld metal, [g/m]

    Notes
    -----
    RANGE OF VALIDITY: any section; steel by default.

    Examples
    --------
    >>> weld_metal_g_per_m(2.6533)
    20.83

    References
    ----------
    Geometry; density of the steel gauge charts (published-read).
    """
    return not_negative(area_mm2, "area_mm2") * positive(density_kg_m3, "density_kg_m3") / 1000


def _check_corner(width_mm: float, height_mm: float, corner_mm: float) -> None:
    positive(width_mm, "width_mm")
    positive(height_mm, "height_mm")
    within(corner_mm, "corner_mm", 0, min(width_mm, height_mm) / 2)
