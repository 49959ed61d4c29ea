"""Plates with one stiffness, by the orthotropic series, against Roark's table (published-read) and Timoshenko's
coefficients (from memory); a strip that is held at two sides against the beam formula (textbook).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.bead import pitch_for_mm, stiffness_ratio
from soundmetal.calc.plate import orthotropic_deflection_mm

E, NU, T = 200_000.0, 0.3, 1.0
D = E * T**3 / (12 * (1 - NU**2))
#: a/b and alpha, Roark's table 11.4 case 1a; printed figures differ from the series by up to 0.5 %.
ROARK = [(1.0, 0.0444), (1.2, 0.0616), (1.4, 0.0770), (1.6, 0.0906), (1.8, 0.1017), (2.0, 0.1110), (3.0, 0.1335)]


@pytest.mark.parametrize(("ratio", "alpha"), ROARK, ids=[f"PLT-{n:02}" for n in range(1, 8)])
def test_plain_sheet_is_the_printed_plate(ratio: float, alpha: float) -> None:
    found = orthotropic_deflection_mm((ratio * 100, 100), 1e-4, (D, D, D))
    assert found == pytest.approx(alpha * 1e-4 * 100**4 / (E * T**3), rel=0.005)


def test_much_stiffer_one_way_it_is_a_beam_that_way() -> None:
    """5 q a^4 / (384 EI) for a strip held at both ends (textbook), when nothing else carries."""
    found = orthotropic_deflection_mm((100, 100_000), 1e-4, (D, D * 1e-9, D * 1e-9), terms=199)
    assert found == pytest.approx(5 * 1e-4 * 100**4 / (384 * D), rel=0.01)


@given(st.floats(1, 60), st.floats(0.3, 1))
def test_beads_across_the_shorter_way_never_make_a_field_softer(times: float, sides: float) -> None:
    """Only the shorter way: along a long field its middle may even sink a little more."""
    plain = orthotropic_deflection_mm((100 * sides, 100), 1.0, (D, D, D))
    assert orthotropic_deflection_mm((100 * sides, 100), 1.0, (D * times, D, D)) <= plain * (1 + 1e-9)


def test_bed_02_and_03_solved_for_the_pitch() -> None:
    """35.606 times at 3 in pitch, 1/2 in half rings in 18 ga (computed by integration): the pitch comes back."""
    t = 0.0478 * 25.4
    assert pitch_for_mm(35.606, 12.7, 6.35, t) == pytest.approx(76.2, rel=0.005)
    assert stiffness_ratio(76.2, 12.7, 6.35, t) == pytest.approx(35.606, rel=0.002)


@pytest.mark.parametrize("ratio", [0.5, 1.0, 1e6])
def test_a_stiffness_that_such_beads_cannot_give_is_refused(ratio: float) -> None:
    with pytest.raises(ValueError, match="times as stiff"):
        pitch_for_mm(ratio, 12.7, 4.76, 1.2)
