"""Bend deductions that a sheet-metal shop measured on its own brake, cold-rolled steel, 90 degrees (published-read);
an aircraft handbook's channel (formula and data from memory); an air-bending chart (published-read).
"""

from __future__ import annotations

import pytest

from soundmetal.calc import bend, bend_rules
from soundmetal.calc.bend import AnsiK, Bend, Face, Leg
from soundmetal.handbook import shop_tables

INCH = 25.4


@pytest.mark.parametrize(
    ("thickness", "radius", "k", "published"),
    [
        pytest.param(0.048, 0.030, 0.4891, 0.072, id="BND-14"),
        pytest.param(0.060, 0.060, 0.4218, 0.106, id="BND-15"),
        pytest.param(0.036, 0.030, 0.546, 0.054, id="BND-16"),
    ],
)
def test_deduction(thickness: float, radius: float, k: float, published: float) -> None:
    deduction = bend.bend_deduction_mm(90, radius * INCH, thickness * INCH, AnsiK(k)) / INCH
    assert deduction == pytest.approx(published, abs=0.001)


@pytest.mark.parametrize("one", shop_tables.measured_bends(), ids=lambda b: f"{b.thickness_mm:.2f}-{b.radius_mm:.2f}")
def test_every_measured_bend(one: shop_tables.MeasuredBend) -> None:
    """All twelve rows: K gives the printed deduction back, to the printed thousandth of an inch.

    The row of 0.074 in is 14 gauge (0.0747) cut short: its K and its deduction fit only the full figure.
    """
    printed = one.thickness_mm / INCH
    thickness_mm = (0.0747 if printed == pytest.approx(0.074) else printed) * INCH
    deduction_mm = bend.bend_deduction_mm(90, one.radius_mm, thickness_mm, AnsiK(one.k))
    assert deduction_mm / INCH == pytest.approx(one.deduction_mm / INCH, abs=0.001)


def test_bnd_18_k_from_a_test_strip() -> None:
    assert bend.k_from_test(90, 0.030 * INCH, 0.048 * INCH, 0.072 * INCH).value == pytest.approx(0.4891, abs=0.001)


def test_bnd_19_18_gauge_angle() -> None:
    thickness = 0.0478 * INCH
    deduction = bend.bend_deduction_mm(90, thickness, thickness, AnsiK(0.45)) / INCH
    legs = [Leg(2.0 * INCH, Face.OUTER_APEX), Leg(1.0 * INCH, Face.OUTER_APEX)]
    flat = bend.flat_length_mm(legs, [Bend(90, thickness)], thickness, AnsiK(0.45)) / INCH
    assert (deduction, flat) == (pytest.approx(0.0823, abs=0.0005), pytest.approx(2.9177, abs=0.0005))  # computed


def test_bnd_12_aircraft_channel() -> None:
    """BND-12 (aircraft constants from memory), tolerance 0.001: allowance 0.2791, developed width 3.7581 in.

    The row calls its channel the same as that of a row which is not there. The handbook's channel as remembered, 1.00
    / 2.00 / 1.00 in over all, T 0.040, R 0.16, gives both figures; whether it is the one meant cannot be said.
    """
    allowance = bend_rules.aircraft_allowance_mm(90, 0.16 * INCH, 0.040 * INCH) / INCH
    setback = bend.setback_mm(90, 0.16 * INCH, 0.040 * INCH) / INCH
    assert allowance == pytest.approx(0.2791, abs=0.001)
    assert (1.0 - setback) + (2.0 - 2 * setback) + (1.0 - setback) + 2 * allowance == pytest.approx(3.7581, abs=0.001)


def test_aircraft_constants_against_the_general_formula() -> None:
    """0.01743 is pi/180 cut short: 0.14 % at most under the general formula with K = 0.0078 x 180/pi."""
    general = bend.bend_allowance_mm(90, 4.0, 1.0, AnsiK(0.0078 * 180 / 3.141592653589793))
    assert bend_rules.aircraft_allowance_mm(90, 4.0, 1.0) == pytest.approx(general, rel=0.0014)


@pytest.mark.parametrize(
    ("opening", "by_rule", "published"), [(6, 4.2, 4), (8, 5.6, 5.5), (10, 7.0, 7), (12, 8.4, 8.5)]
)
def test_bnd_21_least_flange_in_a_die(opening: float, by_rule: float, published: float) -> None:
    """The chart (published-read) against the bench rule of 0.7 of the opening, within 0.25 mm."""
    assert shop_tables.die(opening).min_flange_mm == published
    assert published == pytest.approx(0.7 * opening, abs=0.25)
    assert by_rule == pytest.approx(0.7 * opening, abs=1e-9)


@pytest.mark.parametrize("one", shop_tables.dies(), ids=lambda d: f"V{d.opening_mm:g}")
def test_radius_in_a_die_is_about_a_sixth(one: shop_tables.Die) -> None:
    # "About a sixth" (published-read); the chart prints one decimal, cut short and not rounded: 1.6 for 1.67.
    assert one.inside_radius_mm == pytest.approx(one.opening_mm / 6, abs=0.1)
