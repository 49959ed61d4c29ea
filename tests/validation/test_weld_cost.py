"""Worked cost of weld metal in a wire maker's handbook (ESAB, published-read), by our own formulas."""

from __future__ import annotations

import pytest

from soundmetal.calc.buying import break_even_hours
from soundmetal.calc.wire import elapsed_minutes, wire_mass_g


def test_wld_14_cost_of_one_pound_of_weld_metal() -> None:
    """45 $/h at 10.2 lb/h, 45 % arc time; wire 1.78 $/lb at 87 %; gas 40 ft3/h at 0.02 $. Printed 9.80, 2.05, .08."""
    # WLD-14: 9.804, 2.046, 0.078, 11.928 $/lb, tolerance 0.01.
    arc_min = 60 / 10.2
    labour = 45 * elapsed_minutes(arc_min, 0.45) / 60
    wire = 1.78 * wire_mass_g(1.0, 0.87)
    gas = 40 * arc_min / 60 * 0.02
    assert labour == pytest.approx(9.80, abs=0.01)
    assert wire == pytest.approx(2.05, abs=0.01)
    assert gas == pytest.approx(0.08, abs=0.01)
    assert labour + wire + gas == pytest.approx(11.93, abs=0.01)


def test_wld_16_and_17_a_machine_pays_for_itself() -> None:
    """What a machine costs over what an hour of it saves is the make or buy break-even with no fitting."""
    # WLD-16: 2900 / 17.18 -> 168.80 (printed 168.8), then at 4.59 lb/h -> 36.78 h (printed 37), tolerance 0.3.
    pounds = break_even_hours(2900, 0, 0, 0, 17.18)
    assert pounds == pytest.approx(168.8, abs=0.3)
    assert pounds / 4.59 == pytest.approx(37, abs=0.3)
    # WLD-17: 2800 / 7.00, at 7.4 lb/h and half the time under arc -> 108.11 h (printed 108), tolerance 0.2.
    arc_h = break_even_hours(2800, 0, 0, 0, 7.00) / 7.4
    assert elapsed_minutes(arc_h, 0.50) == pytest.approx(108, abs=0.2)
