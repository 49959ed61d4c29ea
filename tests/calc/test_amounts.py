"""Amounts (sheet, seam, wire, heat, plug, thickness): laws and edges. Published figures: tests/validation."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc import heat, plug, seam, sheet, thickness, wire

SIZES = st.floats(0.1, 5000)


@given(SIZES, st.floats(0.3, 6), st.floats(1, 5))
def test_mass_is_area_times_thickness(area: float, sheet_mm: float, factor: float) -> None:
    assert sheet.mass_kg(area * factor, sheet_mm) == pytest.approx(factor * sheet.mass_kg(area, sheet_mm), rel=1e-12)
    assert sheet.mass_kg(1e6, sheet_mm) == sheet.areal_mass_kg_m2(sheet_mm)


@given(st.floats(0.3, 6))
def test_sold_weight_is_above_mass(sheet_mm: float) -> None:
    assert sheet.msg_nominal_lb_ft2(sheet_mm) > sheet.areal_mass_lb_ft2(sheet_mm)


@given(SIZES, st.floats(10, 2000), st.floats(5, 30), st.floats(1, 3))
def test_gas_and_time_follow_the_seam(length: float, travel: float, flow: float, overhead: float) -> None:
    minutes = wire.arc_minutes(length, travel)
    assert wire.arc_minutes(2 * length, travel) == pytest.approx(2 * minutes, rel=1e-12)
    assert wire.gas_l(minutes, flow, overhead) >= wire.gas_l(minutes, flow)
    assert wire.elapsed_minutes(minutes, 0.1) == pytest.approx(10 * minutes, rel=1e-12)


@given(st.floats(0.5, 3), st.floats(0, 2), st.floats(0, 6), st.floats(0, 2))
def test_caps_only_add(sheet_mm: float, gap: float, width: float, height: float) -> None:
    assert seam.butt_area_mm2(sheet_mm, gap, width, height) >= seam.butt_area_mm2(sheet_mm, gap)


def test_a_single_tack_and_a_single_plug() -> None:
    assert seam.tack_count(10, 25) == 1
    assert seam.tack_count(10, 25, closed=False) == 2
    assert plug.plug_row(20) == plug.PlugRow(1, 0.0)


def test_nothing_lost_nothing_left() -> None:
    assert thickness.metal_left(0, 0.9) == 0
    assert thickness.loss_share(0, 0.9) == 1
    assert thickness.ultrasonic_excess_um(0) == 0


@given(st.floats(0, 1), st.floats(0.3, 6))
def test_left_and_lost_make_one(share: float, original: float) -> None:
    now = share * original
    assert thickness.metal_left(now, original) + thickness.loss_share(now, original) == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_a_sheet_has_a_thickness(value: float) -> None:
    for call in (
        lambda: sheet.mass_kg(100, value),
        lambda: sheet.msg_nominal_lb_ft2(value),
        lambda: seam.butt_area_mm2(value, 0.8),
        lambda: seam.fillet_area_mm2(value, 5),
        lambda: wire.wire_m_per_kg(value),
        lambda: wire.arc_minutes(100, value),
        lambda: heat.heat_input_kj_mm(15, 35, value),
        lambda: plug.plug_row(value),
        lambda: plug.nugget_mm(value),
        lambda: thickness.metal_left(0.5, value),
    ):
        with pytest.raises(ValueError, match="is "):
            call()


@pytest.mark.parametrize(
    "call",
    [
        lambda: wire.gas_l(1, 10, 0.9),
        lambda: wire.elapsed_minutes(1, 1.1),
        lambda: heat.heat_input_kj_mm(15, 35, 400, 1.2),
        lambda: plug.more_than_factory(-1),
        lambda: plug.nugget_mm(3.1),
        lambda: plug.min_spot_spacing_mm(1.0, [], 2),
        lambda: plug.min_spot_spacing_mm(1.0, [(0.5, 10), (2, 20)], 4),
        lambda: thickness.share_of_allowable(0.2, 0),
        lambda: thickness.share_of_allowable(1.2, 0.3),
        lambda: thickness.metal_left(-0.1, 0.9),
    ],
)
def test_what_cannot_be_is_refused(call: object) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        call()  # type: ignore[operator]
