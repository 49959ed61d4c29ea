"""Resistance spots and plug welds: a spot-weld schedule for SAE 1010 (published-read), the root rule (from memory),
vehicle makers' counts as I-CAR tells them (published-read), geometry of plugs (computed).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc import plug
from soundmetal.calc.sheet import mass_kg
from soundmetal.calc.wire import wire_m_per_kg, wire_mass_g
from soundmetal.handbook.shop_tables import spot_rows

INCH = 25.4
TABLE = [(row.thickness_mm, row.min_spacing_mm) for row in spot_rows()]


@pytest.mark.parametrize(("thickness", "nugget"), [(0.8, 4.472), (0.9, 4.743), (1.0, 5.000), (1.2, 5.477)])
def test_spt_01_nugget(thickness: float, nugget: float) -> None:
    assert plug.nugget_mm(thickness) == pytest.approx(nugget, abs=0.005)  # from memory


@pytest.mark.parametrize(("thickness", "spacing"), [(0.0359, 0.6361), (0.0478, 0.8475), (0.0598, 0.9771)])
def test_spt_02_least_spacing(thickness: float, spacing: float) -> None:
    assert plug.min_spot_spacing_mm(thickness * INCH, TABLE) / INCH == pytest.approx(spacing, abs=0.002)


@pytest.mark.parametrize(
    ("thickness", "spacing"),
    [
        (0.021, 3 / 8),
        (0.031, 1 / 2),
        (0.040, 3 / 4),
        (0.050, 7 / 8),
        (0.062, 1),
        (0.078, 9 / 8),
        (0.094, 5 / 4),
        (0.125, 3 / 2),
    ],
)
def test_rows_as_printed(thickness: float, spacing: float) -> None:
    """The eight printed rows (published-read), inches; a third sheet asks for 30 % more (its note)."""
    assert plug.min_spot_spacing_mm(thickness * INCH, TABLE) / INCH == pytest.approx(spacing, abs=1e-9)
    three = plug.min_spot_spacing_mm(thickness * INCH, TABLE, sheets=3)
    assert three / INCH == pytest.approx(1.3 * spacing, abs=1e-9)


def test_spt_03_plugs_on_a_flange() -> None:
    row = plug.plug_row(1000)
    assert (row.count, row.pitch_mm) == (29, pytest.approx(34.643, abs=0.01))  # computed


def test_spt_05_strictly_more_than_1_3_times() -> None:
    assert plug.more_than_factory(20) == 27  # rule published-read
    assert plug.more_than_factory(10) == 14
    assert plug.more_than_factory(0) == 1


def test_spt_06_metal_of_one_plug() -> None:
    volume = plug.plug_volume_mm3(hole_mm=8, thickness_mm=0.9, cap_mm=9, cap_height_mm=1)
    grams = mass_kg(volume, 1.0) * 1000
    metres = wire_mass_g(grams, 0.95) / 1000 * wire_m_per_kg(0.8)
    assert volume == pytest.approx(77.0476, rel=0.002)  # computed
    assert (grams, metres) == (pytest.approx(0.6048, rel=0.002), pytest.approx(0.1613, rel=0.002))


@pytest.mark.parametrize("thickness", [0.5, 3.3])
def test_no_spacing_outside_the_table(thickness: float) -> None:
    with pytest.raises(ValueError, match="no spot spacing"):
        plug.min_spot_spacing_mm(thickness, TABLE)


@given(st.floats(0.1, 5000), st.floats(0, 40), st.floats(5, 100))
def test_plugs_are_never_further_apart_than_allowed(flange: float, end: float, pitch: float) -> None:
    row = plug.plug_row(flange, end, pitch)
    assert row.pitch_mm <= pitch * (1 + 1e-9)
    if row.count > 1:
        assert (row.count - 1) * row.pitch_mm + 2 * end == pytest.approx(flange, rel=1e-9)
    else:
        assert flange <= 2 * end + 1e-9


@given(st.floats(31, 3000), st.floats(1, 500))
def test_a_longer_flange_never_takes_fewer_plugs(flange: float, more: float) -> None:
    assert plug.plug_row(flange + more).count >= plug.plug_row(flange).count


def test_a_span_of_whole_pitches_takes_no_plug_too_many() -> None:
    assert plug.plug_row(2 * 15 + 3 * 35).count == 4
    assert plug.plug_row(2 * 0.1 + 3 * 0.1, end_mm=0.1, max_pitch_mm=0.1).count == 4
