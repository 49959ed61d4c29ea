"""Beaded sheet by the parallel-axis theorem (textbook; figures computed elsewhere by hand and by integration)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.bead import beaded_section, flat_inertia_mm4, take_up_mm

INCH = 25.4
T = 0.0478 * INCH
PITCH = 3 * INCH
CHORD = 0.5 * INCH


def test_bed_01_flat_strip() -> None:
    assert flat_inertia_mm4(PITCH, T) / INCH**4 == pytest.approx(2.7304e-05, abs=1e-8)


def test_bed_02_half_ring_by_hand() -> None:
    section = beaded_section(PITCH, CHORD, CHORD / 2, T, wall_bending=False)
    assert section.centroid_mm / INCH == pytest.approx(0.038047, rel=0.001)
    assert section.inertia_mm4 / INCH**4 == pytest.approx(0.00096861, rel=0.001)
    assert section.inertia_mm4 / flat_inertia_mm4(PITCH, T) == pytest.approx(35.475, rel=0.001)


def test_bed_03_with_the_walls_own_bending() -> None:
    section = beaded_section(PITCH, CHORD, CHORD / 2, T)
    assert section.inertia_mm4 / INCH**4 == pytest.approx(0.00097218, rel=0.002)
    assert section.inertia_mm4 / flat_inertia_mm4(PITCH, T) == pytest.approx(35.606, rel=0.002)


def test_a_flatter_arc() -> None:
    """3/16 in deep, same width: 18.4 times the flat strip, printed to three figures (computed)."""
    section = beaded_section(PITCH, CHORD, 3 / 16 * INCH, T)
    assert section.inertia_mm4 / flat_inertia_mm4(PITCH, T) == pytest.approx(18.4, abs=0.1)


@pytest.mark.parametrize(("depth", "count", "expected"), [(0.25, 1, 0.2854), (3 / 16, 1, 0.1703), (0.25, 5, 1.4270)])
def test_bed_05_take_up(depth: float, count: int, expected: float) -> None:
    assert count * take_up_mm(CHORD, depth * INCH) / INCH == pytest.approx(expected, abs=0.0005)


@pytest.mark.parametrize("depth", [0.5, 2.0, 4.7625, 6.35])
def test_against_integration_over_the_thickness(depth: float) -> None:
    """Area, centroid and inertia of the arc again, summed over a fine grid of the real wall."""
    section = beaded_section(PITCH, CHORD, depth, T)
    radius = ((CHORD / 2) ** 2 + depth**2) / (2 * depth)
    phi = 2 * math.atan2(depth, CHORD / 2)
    angles = (np.arange(2000) + 0.5) / 2000 * 2 * phi - phi
    radii = radius + ((np.arange(41) + 0.5) / 41 - 0.5) * T
    angle, r = np.meshgrid(angles, radii)
    cell = r * (2 * phi / 2000) * (T / 41)
    height = r * np.cos(angle) - radius * math.cos(phi)
    flat = (PITCH - CHORD) * T
    area = flat + float(cell.sum())
    centroid = float((cell * height).sum()) / area
    inertia = float((cell * (height - centroid) ** 2).sum()) + flat * centroid**2 + (PITCH - CHORD) * T**3 / 12
    assert section.area_mm2 == pytest.approx(area, rel=1e-4)
    assert section.centroid_mm == pytest.approx(centroid, rel=0.02)
    assert section.inertia_mm4 == pytest.approx(inertia, rel=0.02)


@given(st.floats(1, 30), st.floats(0.01, 1))
def test_arc_is_longer_than_chord_and_no_longer_than_a_half_ring(chord: float, share: float) -> None:
    take_up = take_up_mm(chord, share * chord / 2)
    assert 0 < take_up <= chord * (math.pi / 2 - 1) * (1 + 1e-9)


@pytest.mark.parametrize(("chord", "depth"), [(12.7, 6.4), (12.7, 0), (90, 5)])
def test_impossible_beads_are_refused(chord: float, depth: float) -> None:
    with pytest.raises(ValueError, match="must"):
        beaded_section(PITCH, chord, depth, T)
