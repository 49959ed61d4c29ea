from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

import pytest

from soundmetal.record.terms import Aim
from soundmetal.scope.blanks import FLANGE, LAP, NO_SHEET, TEMPLATE, original_mm, sheet_price, stock_for
from soundmetal.scope.models import Blank, Scope


def only_blank(scope: Scope) -> Blank:
    (blank,) = scope.blanks
    return blank


def test_a_patch_is_cut_as_its_opening(bench: Any, car_of: Any) -> None:
    blank = only_blank(car_of(bench.zone(), bench.finding()).scope())
    assert (blank.width_mm, blank.height_mm) == pytest.approx((170, 130))
    assert (blank.gauge, blank.thickness_mm, blank.bends) == (20, 0.912, 0)
    assert blank.sheet == "20 ga"
    assert blank.grain_note == TEMPLATE
    assert blank.mass_kg == pytest.approx((170 * 130 - (4 - 3.14159265) * 400) * 0.912 * 7.85e-6, rel=1e-4)


def test_a_flange_is_added_and_bent(bench: Any, car_of: Any) -> None:
    low = bench.finding(reaches_edge=True, at="500 x 40 mm")
    blank = only_blank(car_of(bench.zone(), low).scope())
    # Tested deduction of 0.036 in sheet, K 0.546 (published-read), inside radius as the sheet is thick.
    deduction = 2 * 2 * 0.912 - math.pi / 2 * 0.912 * 1.546
    assert (blank.width_mm, blank.height_mm) == pytest.approx((170, 80 + 25 + 15 - deduction), abs=0.001)
    assert blank.bends == 1
    assert FLANGE not in blank.grain_note  # the flange is drawn and bent; only a rough blank has it in its size
    rough = only_blank(car_of(bench.zone(shape="compound"), low).scope())
    assert FLANGE in rough.grain_note


def test_a_lap_is_added_where_it_is_allowed(bench: Any, car_of: Any) -> None:
    hidden = bench.zone(visible=False, role="floor")
    scope = car_of(hidden, bench.finding(), shop={"policies": {"overlap_allowed": True}}).scope()
    blank = only_blank(scope)
    # One bead of 12.7 x 4.76 mm draws in 0.1703 in (computed, arc less chord of 1/2 x 3/16 in).
    assert (blank.width_mm, blank.height_mm) == pytest.approx((200, 160 + 0.1703 * 25.4), abs=0.01)
    assert LAP in blank.grain_note
    assert scope.seams[0].kind.startswith("overlap seam")


@pytest.mark.parametrize(("thickness", "gauge"), [(0.80, 22), (0.9, 20), (1.05, 19), (1.2, 18), (1.5, 16), (1.9, 14)])
def test_the_shops_nearest_sheet(bench: Any, thickness: float, gauge: int) -> None:
    stock = stock_for(thickness, bench.zone(), bench.shop())
    assert stock.gauge == gauge
    assert stock.sheet is not None
    assert abs(stock.thickness_mm - thickness) <= 0.1 * thickness + 1e-9


def test_skins_are_bare_and_floors_coated_where_the_shop_has_it(bench: Any) -> None:
    skin = stock_for(0.9, bench.zone(), bench.shop()).sheet
    floor = stock_for(0.9, bench.zone(role="floor"), bench.shop()).sheet
    assert skin is not None
    assert floor is not None
    assert (skin.coating, floor.coating) == ("none", "galvanneal")


def test_steel_that_the_shop_has_not_is_named_for_buying(bench: Any, car_of: Any) -> None:
    thick = {"mm": 2.7, "source": "invented", "confidence": "invented"}
    blank = only_blank(car_of(bench.zone(thickness=thick), bench.finding()).scope())
    assert (blank.gauge, blank.thickness_mm) == (12, 2.657)
    assert NO_SHEET in blank.grain_note


def test_beyond_the_gauges_the_thickness_itself_is_told(bench: Any) -> None:
    stock = stock_for(6.0, bench.zone(), bench.shop())
    assert (stock.gauge, stock.sheet, stock.thickness_mm) == (None, None, 6.0)


def test_a_reference_reading_is_matched_before_the_nominal(bench: Any) -> None:
    measured = bench.finding(
        reference={"thickness": "1.2 mm", "method": "caliper", "surface": "bare"},
        readings=[{"thickness": "0.5 mm", "method": "caliper", "surface": "bare"}],
    )
    grades = bench.grades(bench.body(bench.zone()), measured)
    assert original_mm(bench.zone(), grades.findings) == pytest.approx(1.2)
    plain = bench.grades(bench.body(bench.zone()), bench.finding())
    assert original_mm(bench.zone(), plain.findings) == 0.9


def test_sheet_is_charged_by_area_and_waste(bench: Any) -> None:
    stock = stock_for(0.9, bench.zone(), bench.shop())
    whole = 48 * 25.4 * 96 * 25.4
    assert sheet_price(whole / 1.25, stock, bench.shop()) == pytest.approx(Decimal("72.00"))


def test_a_bought_panel_needs_no_blank(bench: Any, car_of: Any) -> None:
    zone = bench.zone(separable=True, edges=4, shape="compound")
    shop = {"bought": [{"zone": zone.id, "price": 90, "freight": 20, "trim_h": 0.5}]}
    scope = car_of(zone, bench.finding(seen="gone", size="1000 x 500 mm"), shop=shop).scope(Aim.FACTORY)
    assert scope.panels[0].choice.taken.bought
    assert scope.blanks == ()
    assert [line.amount for line in scope.total.lines if line.kind == "bought panel"] == [Decimal("123.50")]
