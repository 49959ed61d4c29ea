"""Look-ups: order of the tables, and what lies outside them. Published figures: tests/validation."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.handbook import area_grades, corrosivity, precedents, shop_tables, welding
from soundmetal.handbook.gauge import gauges, nearest_msg


def test_gauges_get_thinner() -> None:
    for thick, thin in pairwise(gauges()):
        assert thick.number + 1 == thin.number
        assert thick.mm > thin.mm
        assert thick.us_standard_inch > thin.us_standard_inch


@given(st.floats(0.3402, 5.0094))
def test_no_other_gauge_is_nearer(thickness: float) -> None:
    found = nearest_msg(thickness)
    assert all(abs(one.mm - thickness) >= abs(found.mm - thickness) for one in gauges())


def test_categories_join_without_a_gap() -> None:
    for milder, harsher in pairwise(corrosivity.categories()):
        assert (milder.up_to_um, milder.up_to_g_m2) == (harsher.over_um, harsher.over_g_m2)
        assert harsher.inside


@given(st.floats(0, 700))
def test_a_category_holds_its_own_losses(loss: float) -> None:
    over, up_to = corrosivity.first_year_um(corrosivity.category(loss))
    assert over < loss <= up_to or loss == over == 0


@pytest.mark.parametrize(
    ("call", "what"),
    [
        (lambda: corrosivity.first_year_um("C6"), "ISO 9223 knows C1, C2"),
        (lambda: corrosivity.category_by_mass(5501), "outside ISO 9223"),
        (lambda: corrosivity.exponent("tin"), "the table has carbon steel"),
        (lambda: corrosivity.exponent("zinc", "B3"), "B1 and B2"),
        (lambda: area_grades.ri(1, "middle"), "ceiling or nearest"),
        (lambda: area_grades.european(6), "Ri 0 to Ri 5"),
        (lambda: area_grades.picture_percent(-1), "Ri 0 to Ri 5"),
        (lambda: precedents.precedent("none"), 'no precedent "none"'),
        (lambda: welding.mag(0.5), "from 0.6 to 3.2 mm"),
        (lambda: welding.mag(float("nan")), "no MAG setting"),
        (lambda: welding.tig(0.8), "from 1 to 3.2 mm"),
        (lambda: welding.wire(1.6), "0.6, 0.8, 0.9, 1.14 are known"),
        (lambda: welding.butt_limits("A", 1, 4), "knows B, C and D"),
        (lambda: welding.butt_limits("B", 1, 0), "cannot be judged"),
        (lambda: shop_tables.die(7), "no die of 7 mm"),
        (lambda: shop_tables.nearest_bend(0.5, 1), "test strip"),
    ],
)
def test_outside_a_table_nothing_is_guessed(call: object, what: str) -> None:
    with pytest.raises(ValueError, match=what):
        call()  # type: ignore[operator]


@pytest.mark.parametrize(
    "pairs", [(s.amperes, s.volts, s.wire_mm, s.gap_mm, s.travel_mm_min, s.gas_l_min) for s in welding.mag_settings()]
)
def test_low_is_never_above_high(pairs: tuple[tuple[float, float], ...]) -> None:
    assert all(low <= high for low, high in pairs)


@pytest.mark.parametrize("settings", [welding.mag_settings(), welding.tig_settings()])
def test_thicker_steel_takes_more_current(settings: tuple[welding.MagSetting, ...]) -> None:
    for thin, thick in pairwise(settings):
        assert thin.thickness_mm < thick.thickness_mm
        assert thin.amperes[1] <= thick.amperes[1]


def test_of_two_thicknesses_as_near_the_thinner_is_taken() -> None:
    assert welding.mag(0.9).thickness_mm == 0.8
    assert welding.mag(1.1).thickness_mm == 1.0


def test_strict_levels_allow_less() -> None:
    strict, middle, lenient = (welding.butt_limits(level, 1.0, 4.0) for level in ("B", "C", "D"))
    assert strict.excess_penetration_mm < middle.excess_penetration_mm < lenient.excess_penetration_mm
    assert strict.undercut_mm == 0


def test_spot_rows_in_millimetres() -> None:
    first = shop_tables.spot_rows()[0]
    assert first.thickness_mm == pytest.approx(0.5334)
    assert first.min_spacing_mm == pytest.approx(9.525)
    for thin, thick in pairwise(shop_tables.spot_rows()):
        assert thin.min_spacing_mm <= thick.min_spacing_mm
