"""Bends: edges and laws. Published examples: tests/validation (handbook, tested bends, DIN 6935)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.bend import (
    AnsiK,
    Bend,
    DinK,
    Face,
    Leg,
    bend_allowance_mm,
    bend_deduction_mm,
    flat_length_mm,
    k_from_test,
    setback_mm,
)
from soundmetal.calc.bend_rules import aircraft_allowance_mm, y_to_k

ANGLES = st.floats(1, 179)
RADII = st.floats(0, 30)
SHEETS = st.floats(0.3, 5)
FACTORS = st.floats(0.2, 0.55)


@given(ANGLES, RADII, SHEETS, FACTORS)
def test_a_test_strip_gives_its_factor_back(bent: float, radius: float, sheet: float, k: float) -> None:
    deduction = bend_deduction_mm(bent, radius, sheet, AnsiK(k))
    assert k_from_test(bent, radius, sheet, deduction).value == pytest.approx(k, abs=1e-6)


@given(ANGLES, RADII, SHEETS, FACTORS)
def test_three_ways_to_one_blank(bent: float, radius: float, sheet: float, k: float) -> None:
    """Outside legs less the deduction; straights plus the allowance; inside legs: the same piece of steel."""
    outside = setback_mm(bent, radius, sheet)
    straight = 500.0
    legs = {
        Face.FLAT: straight,
        Face.OUTER_APEX: straight + outside,
        Face.INNER_APEX: straight + setback_mm(bent, radius, sheet, Face.INNER_APEX),
    }
    expected = 2 * straight + bend_allowance_mm(bent, radius, sheet, AnsiK(k))
    for face, measured in legs.items():
        flat = flat_length_mm([Leg(measured, face)] * 2, [Bend(bent, radius)], sheet, AnsiK(k))
        assert flat == pytest.approx(expected, rel=1e-9)
    by_deduction = 2 * (straight + outside) - bend_deduction_mm(bent, radius, sheet, AnsiK(k))
    assert by_deduction == pytest.approx(expected, rel=1e-9)


def test_a_leg_in_the_middle_gives_to_both_bends() -> None:
    channel = [Leg(50, Face.OUTER_APEX), Leg(100, Face.OUTER_APEX), Leg(50, Face.OUTER_APEX)]
    flat = flat_length_mm(channel, [Bend(90, 2), Bend(90, 2)], 1, AnsiK(0.45))
    assert flat == pytest.approx(200 - 2 * bend_deduction_mm(90, 2, 1, AnsiK(0.45)), abs=1e-9)


def test_a_strip_without_bends_is_its_leg() -> None:
    assert flat_length_mm([Leg(80, Face.OUTER_APEX)], [], 1, AnsiK(0.45)) == 80


def test_a_hem_has_no_apex_but_a_tangent() -> None:
    with pytest.raises(ValueError, match="never meet"):
        setback_mm(180, 1, 1)
    assert setback_mm(180, 1, 1, Face.OUTER_TANGENT) == 2


@pytest.mark.parametrize("bent", [-1, 181, math.nan])
def test_angles_that_cannot_be(bent: float) -> None:
    for formula in (bend_allowance_mm, bend_deduction_mm):
        with pytest.raises(ValueError, match="bent_deg"):
            formula(bent, 1, 1, AnsiK(0.4))
    with pytest.raises(ValueError, match="bent_deg"):
        aircraft_allowance_mm(bent, 1, 1)


def test_factors_outside_the_sheet_are_refused() -> None:
    for make in (lambda: AnsiK(1.01), lambda: DinK(2.01), lambda: AnsiK(-0.1), lambda: y_to_k(2)):
        with pytest.raises(ValueError, match="must lie between"):
            make()
    with pytest.raises(ValueError, match="must lie between"):
        k_from_test(90, 1, 1, 10)


def test_legs_and_bends_must_fit() -> None:
    with pytest.raises(ValueError, match="one leg more"):
        flat_length_mm([Leg(50, Face.FLAT)], [Bend(90, 1)], 1, AnsiK(0.4))
    with pytest.raises(ValueError, match="leg 2 of 3 mm is shorter"):
        flat_length_mm([Leg(50, Face.OUTER_APEX), Leg(3, Face.OUTER_APEX)], [Bend(90, 5)], 1, AnsiK(0.4))


def test_a_slight_bend_has_no_outer_tangent() -> None:
    with pytest.raises(ValueError, match="outer tangent"):
        setback_mm(45, 1, 1, Face.OUTER_TANGENT)
