"""Patch geometry: plain geometry (computed), and one outline that an independent DXF library flattened."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.seam import rounded_rectangle_area_mm2, rounded_rectangle_perimeter_mm, tack_count
from soundmetal.calc.sheet import mass_kg

#: Rust box 120 x 80 mm, 25 mm margin all round, corner radius 19 mm.
WIDTH, HEIGHT, CORNER = 120 + 2 * 25, 80 + 2 * 25, 19


def test_pch_01_cut_out() -> None:
    assert (WIDTH, HEIGHT) == (170, 130)
    assert rounded_rectangle_perimeter_mm(WIDTH, HEIGHT, CORNER) == pytest.approx(567.381, abs=0.01)  # computed


def test_pch_02_area_and_mass() -> None:
    area = rounded_rectangle_area_mm2(WIDTH, HEIGHT, CORNER)
    assert area == pytest.approx(21790.1149, rel=0.0005)  # computed
    assert mass_kg(area, 0.9) == pytest.approx(0.1539, rel=0.0005)


def test_pch_03_tacks() -> None:
    assert tack_count(rounded_rectangle_perimeter_mm(WIDTH, HEIGHT, CORNER), 25) == 23  # computed


def test_cut_04_square_with_round_corners() -> None:
    assert rounded_rectangle_area_mm2(100, 100, 10) == pytest.approx(9914.159, abs=0.005)  # computed
    assert rounded_rectangle_perimeter_mm(100, 100, 10) == pytest.approx(382.832, abs=0.005)
    # An independent DXF library, flattening arcs to chords within 0.01 mm, gave 9914.12: chords cut the corners.
    assert 9914.12 < rounded_rectangle_area_mm2(100, 100, 10) < 9914.12 + 2 * math.pi * 10 * 0.01


def test_full_corners_make_a_circle() -> None:
    assert rounded_rectangle_perimeter_mm(50, 50, 25) == pytest.approx(math.pi * 50, abs=1e-9)
    assert rounded_rectangle_area_mm2(50, 50, 25) == pytest.approx(math.pi * 625, abs=1e-9)


@given(st.floats(1, 5000), st.floats(1, 5000), st.floats(0, 1))
def test_rounding_shortens_the_seam_and_takes_area(width: float, height: float, share: float) -> None:
    corner = share * min(width, height) / 2
    assert 0 < rounded_rectangle_perimeter_mm(width, height, corner) <= 2 * (width + height)
    assert 0 < rounded_rectangle_area_mm2(width, height, corner) <= width * height


@given(st.floats(0.1, 10_000), st.floats(1, 200))
def test_no_two_tacks_are_further_apart_than_allowed(seam: float, spacing: float) -> None:
    closed = tack_count(seam, spacing)
    assert seam / closed <= spacing * (1 + 1e-9)
    assert closed == 1 or seam / (closed - 1) > spacing * (1 - 1e-9)
    assert tack_count(seam, spacing, closed=False) == closed + 1


@pytest.mark.parametrize(("width", "height", "corner"), [(100, 50, 26), (0, 50, 0), (100, -1, 0), (100, 50, -1)])
def test_impossible_patches_are_refused(width: float, height: float, corner: float) -> None:
    with pytest.raises(ValueError, match="must"):
        rounded_rectangle_perimeter_mm(width, height, corner)
