"""Beads rolled into sheet: how much stiffer they make it along their run, and how much sheet they take up.

A bead stiffens along its run only; across it hardly anything changes. Never claim the factor for both directions.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from soundmetal.calc.limits import positive, within


class Section(NamedTuple):
    """A beaded strip seen from its end: area [mm2], centroid above the flat [mm], second moment [mm4]."""

    area_mm2: float
    centroid_mm: float
    inertia_mm4: float


class _Arc(NamedTuple):
    radius_mm: float
    half_angle: float


def flat_inertia_mm4(width_mm: float, thickness_mm: float) -> float:
    """Give the second moment of area of a flat strip, b t^3 / 12.

    Parameters
    ----------
    width_mm : float
        Width of the strip, b, [mm]
    thickness_mm : float
        Sheet, t, [mm]

    Returns
    -------
    inertia : float
        Second moment, [mm4]

    Notes
    -----
    RANGE OF VALIDITY: any rectangle.

    Examples
    --------
    >>> flat_inertia_mm4(76.2, 1.214)
    11.36

    References
    ----------
    Mechanics of materials, textbook.
    """
    return positive(width_mm, "width_mm") * positive(thickness_mm, "thickness_mm") ** 3 / 12


def beaded_section(
    pitch_mm: float, chord_mm: float, depth_mm: float, thickness_mm: float, wall_bending: bool = True
) -> Section:
    """Give the section of one pitch of beaded sheet, the bead an arc of a circle.

    .. math:: I = sum (I_i + A_i d_i^2)

    Parameters
    ----------
    pitch_mm : float
        Distance from bead to bead, [mm]
    chord_mm : float
        Width of the bead at mid-thickness, [mm]
    depth_mm : float
        Depth at mid-thickness; half the chord is a half ring, [mm]
    thickness_mm : float
        Sheet, [mm]
    wall_bending : bool
        Count the bending of the arc's own wall (a few per mille), [-]

    Returns
    -------
    section : Section
        Area, centroid above the flat, second moment about it, [mm2, mm, mm4]

    Notes
    -----
    RANGE OF VALIDITY: sheet thin against the bead, depth up to half the chord, chord up to the pitch. Bending
    along the beads only.

    Examples
    --------
    >>> beaded_section(76.2, 12.7, 6.35, 1.21412).inertia_mm4 / flat_inertia_mm4(76.2, 1.21412)
    35.6

    References
    ----------
    Parallel-axis theorem, textbook.
    """
    within(positive(chord_mm, "chord_mm"), "chord_mm", 0, positive(pitch_mm, "pitch_mm"))
    arc = _arc(chord_mm, depth_mm)
    flat = (pitch_mm - chord_mm) * positive(thickness_mm, "thickness_mm")
    radius, phi = arc
    cos_sin = math.sin(phi) * math.cos(phi)
    bead = 2 * radius * phi * thickness_mm
    height = radius * (math.sin(phi) / phi - math.cos(phi))
    own = radius**3 * thickness_mm * (phi + cos_sin - 2 * math.sin(phi) ** 2 / phi)
    if wall_bending:
        own += thickness_mm**3 / 12 * radius * (phi + cos_sin)
    area = flat + bead
    centroid = bead * height / area
    flats_own = (pitch_mm - chord_mm) * thickness_mm**3 / 12
    inertia = own + bead * (height - centroid) ** 2 + flats_own + flat * centroid**2
    return Section(area, centroid, inertia)


def stiffness_ratio(pitch_mm: float, chord_mm: float, depth_mm: float, thickness_mm: float) -> float:
    """Give how many times as stiff beaded sheet is along its beads as flat sheet of the same thickness.

    Parameters
    ----------
    pitch_mm : float
        Distance from bead to bead, [mm]
    chord_mm : float
        Width of the bead at mid-thickness, [mm]
    depth_mm : float
        Depth at mid-thickness, [mm]
    thickness_mm : float
        Sheet, [mm]

    Returns
    -------
    ratio : float
        Second moment over that of flat sheet; its cube root times the thickness is flat sheet as stiff, [-]

    Notes
    -----
    RANGE OF VALIDITY: as of `beaded_section`; along the beads only, across them it stays about 1.

    Examples
    --------
    >>> stiffness_ratio(76.2, 12.7, 6.35, 1.21412)
    35.6

    References
    ----------
    Parallel-axis theorem, textbook.
    """
    beaded = beaded_section(pitch_mm, chord_mm, depth_mm, thickness_mm).inertia_mm4
    return beaded / flat_inertia_mm4(pitch_mm, thickness_mm)


def pitch_for_mm(ratio: float, chord_mm: float, depth_mm: float, thickness_mm: float) -> float:
    """Give the widest pitch at which beads of that size make the sheet so many times as stiff along them.

    Parameters
    ----------
    ratio : float
        Stiffness wanted over that of flat sheet, [-]
    chord_mm : float
        Width of the bead at mid-thickness, [mm]
    depth_mm : float
        Depth at mid-thickness, [mm]
    thickness_mm : float
        Sheet, [mm]

    Returns
    -------
    pitch : float
        Distance from bead to bead, [mm]

    Notes
    -----
    RANGE OF VALIDITY: over 1, and no more than the beads give at three widths from one to the next; closer the ratio
    does not grow steadily (ValueError).

    Examples
    --------
    >>> pitch_for_mm(35.606, 12.7, 6.35, 1.21412)
    76.2

    References
    ----------
    `stiffness_ratio` solved for the pitch.
    """
    near, far = 3 * positive(chord_mm, "chord_mm"), 1e5 * chord_mm
    best, least = (stiffness_ratio(pitch, chord_mm, depth_mm, thickness_mm) for pitch in (near, far))
    if not least < ratio <= best:
        raise ValueError(f"beads of this size make sheet {least:.3g} to {best:.3g} times as stiff, not {ratio:.3g}")
    for _ in range(60):
        middle = (near + far) / 2
        enough = stiffness_ratio(middle, chord_mm, depth_mm, thickness_mm) >= ratio
        near, far = (middle, far) if enough else (near, middle)
    return near


def take_up_mm(chord_mm: float, depth_mm: float) -> float:
    """Give how much wider the blank must be for one bead: arc less chord.

    Parameters
    ----------
    chord_mm : float
        Width of the bead at mid-thickness, [mm]
    depth_mm : float
        Depth at mid-thickness, [mm]

    Returns
    -------
    take_up : float
        Width that the bead draws in, [mm]

    Notes
    -----
    RANGE OF VALIDITY: depth up to half the chord. A rolled bead thins the metal too, so it draws in a little less.

    Examples
    --------
    >>> take_up_mm(12.7, 6.35)
    7.249

    References
    ----------
    Geometry.
    """
    arc = _arc(chord_mm, depth_mm)
    return 2 * arc.radius_mm * arc.half_angle - chord_mm


def _arc(chord_mm: float, depth_mm: float) -> _Arc:
    half = positive(chord_mm, "chord_mm") / 2
    depth = within(positive(depth_mm, "depth_mm"), "depth_mm", 0, half)
    radius = (half**2 + depth**2) / (2 * depth)
    return _Arc(radius, 2 * math.atan2(depth, half))
