"""DIN 6935, flat lengths: k as open code quotes it (second-hand), v from memory. The standard itself was not read."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.bend import Bend, Face, Leg, flat_length_mm
from soundmetal.calc.bend_din import din_k, din_v_mm, leg_face


@pytest.mark.parametrize(("ratio", "k"), [(1, 0.65), (3, 0.8886), (5, 0.9995), (10, 1.0)])
def test_bnd_05_k(ratio: float, k: float) -> None:
    assert din_k(ratio, 1).value == pytest.approx(k, abs=0.001)  # second-hand; 0.65 and 1 printed


@pytest.mark.parametrize(("ratio", "k"), [(1, 0.3250), (2, 0.4003), (3, 0.4443)])
def test_bnd_06_k_in_the_american_convention(ratio: float, k: float) -> None:
    assert din_k(ratio, 1).neutral_share == pytest.approx(k, abs=0.001)  # second-hand


@pytest.mark.parametrize(
    ("opening", "radius", "thickness", "v", "tolerance"),
    [  # from memory
        pytest.param(90, 1, 1, -1.9187, 0.002, id="BND-07"),
        pytest.param(90, 3, 3, -5.756, 0.005, id="BND-08"),
        pytest.param(120, 2, 2, -1.8437, 0.002, id="BND-09"),
    ],
)
def test_v(opening: float, radius: float, thickness: float, v: float, tolerance: float) -> None:
    assert din_v_mm(opening, radius, thickness) == pytest.approx(v, abs=tolerance)


def test_bnd_08_flat_length() -> None:
    assert 50 + 50 + din_v_mm(90, 3, 3) == pytest.approx(94.244, abs=0.005)
    legs = [Leg(50, Face.OUTER_APEX)] * 2
    assert flat_length_mm(legs, [Bend(90, 3)], 3, din_k(3, 3)) == pytest.approx(94.244, abs=0.005)


@pytest.mark.parametrize(
    ("opening", "face"), [(30, Face.OUTER_TANGENT), (90, Face.OUTER_TANGENT), (91, Face.OUTER_APEX)]
)
def test_face_of_the_legs(opening: float, face: Face) -> None:
    assert leg_face(opening) is face


@pytest.mark.parametrize("opening", [165.1, 170, 180])
def test_nearly_flat_needs_no_correction(opening: float) -> None:
    assert din_v_mm(opening, 3, 1) == 0  # range second-hand


@given(st.floats(0, 165), st.floats(0.2, 20), st.floats(0.5, 3))
def test_v_is_allowance_less_setbacks(opening: float, radius: float, thickness: float) -> None:
    k = din_k(radius, thickness)
    leg = Leg(1000, leg_face(opening))
    flat = flat_length_mm([leg, leg], [Bend(180 - opening, radius)], thickness, k)
    assert flat == pytest.approx(2000 + din_v_mm(opening, radius, thickness), abs=1e-6)


def test_no_factor_for_a_knife_edge() -> None:
    with pytest.raises(ValueError, match="test strip"):
        din_k(0.04, 1)
