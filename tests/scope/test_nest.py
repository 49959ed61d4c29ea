"""Blanks on sheets: nothing overlaps, margins hold, offcuts go first, sheets cost least, faults name the finding."""

from __future__ import annotations

import random
import time
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from soundmetal.errors import RecordError, SettingsError
from soundmetal.record.shopbook import ShopBook
from soundmetal.record.terms import Aim
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.nest import NestedSheet, Nesting, nest
from soundmetal.scope.sheets.settings import cutting_of

SHEET = {"id": "steel", "size": "1000 x 2000 mm", "thickness": "0.9 mm", "gauge": 20, "price": 50}


def blank(number: int, width: float, height: float, **changes: Any) -> Blank:
    plain = Blank(
        f"floor/{number}", "floor", (f"F{number}",), width, height, 20.0, 0.9, 20, "flat", 0, 0.0, 1.0, sheet="steel"
    )
    return replace(plain, **changes)


def many(count: int, seed: int, most: float = 700.0) -> list[Blank]:
    chance = random.Random(seed)
    return [blank(n, round(chance.uniform(60, most), 1), round(chance.uniform(60, 400), 1)) for n in range(count)]


def check(nesting: Nesting, blanks: Sequence[Blank], shop: ShopBook) -> None:
    """Measure every placement with shapely: whole, inside the margin, far enough apart, the rest empty."""
    table = cutting_of(shop)
    placed = [piece for sheet in nesting.sheets for piece in sheet.pieces]
    assert sorted(piece.blank.id for piece in placed) == sorted(one.id for one in blanks)
    for sheet in nesting.sheets:
        shapes = [Polygon(piece.pattern.outside.ring()) for piece in sheet.pieces]
        inner = box(0, 0, sheet.length_mm, sheet.width_mm).buffer(-table.border_mm + 1e-6, join_style="mitre")
        assert all(inner.covers(shape) for shape in shapes)
        assert all(one.distance(other) >= table.gap_mm - 1e-6 for one, other in combinations(shapes, 2))
        for piece in sheet.pieces:
            assert piece.pattern.outside.bounds[:2] == pytest.approx((piece.x_mm, piece.y_mm), abs=1e-6)
            wide, tall = piece.pattern.size_mm
            lying = (tall, wide) if piece.turned else (wide, tall)
            assert lying == pytest.approx((piece.blank.width_mm, piece.blank.height_mm), abs=1e-6)
        if sheet.rest is not None:
            rest = sheet.rest
            kept = box(rest.x_mm, rest.y_mm, rest.x_mm + rest.width_mm, rest.y_mm + rest.height_mm)
            assert box(0, 0, sheet.length_mm, sheet.width_mm).covers(kept.buffer(-1e-6))
            assert all(kept.distance(shape) >= table.gap_mm / 2 - 0.002 for shape in shapes)


def shop_of(bench: Any, *more: dict[str, Any], **changes: Any) -> Any:
    return bench.shop({"sheets": [SHEET, *more], **changes})


@settings(max_examples=25, deadline=None)
@given(
    sizes=st.lists(
        st.tuples(st.floats(20, 950), st.floats(20, 950)).map(lambda s: (round(s[0], 2), round(s[1], 2))),
        min_size=1, max_size=12,
    ),
    kerf=st.sampled_from(["0.6 mm", "1.5 mm", "3 mm"]),
    spacing=st.sampled_from(["0 mm", "5 mm", "12.5 mm"]),
)  # fmt: skip
def test_whatever_is_laid_is_apart_and_inside(
    bench: Any, sizes: list[tuple[float, float]], kerf: str, spacing: str
) -> None:
    shop = shop_of(bench, cutting={"kerf": kerf, "spacing": spacing})
    blanks = [blank(n, *size) for n, size in enumerate(sizes)]
    check(nest(blanks, shop), blanks, shop)


def test_sixty_blanks_in_under_two_seconds(bench: Any) -> None:
    shop, blanks = shop_of(bench, {**SHEET, "id": "large", "size": "1250 x 2500 mm", "price": 76}), many(60, 3)
    start = time.process_time()
    nesting = nest(blanks, shop)
    assert time.process_time() - start < 2.0
    check(nesting, blanks, shop)
    assert sum(sheet.used_share for sheet in nesting.sheets[:-1]) / (len(nesting.sheets) - 1) > 0.85


def test_every_aim_of_a_car(scopes: Any, car: Any) -> None:
    for aim in Aim:
        blanks = [one for one in scopes[aim].blanks if one.sheet]
        check(nest(blanks, car.shop), blanks, car.shop)


def test_the_same_blanks_lie_the_same(bench: Any) -> None:
    blanks, shop = many(20, 5), shop_of(bench)
    assert nest(blanks, shop) == nest(blanks, shop)


def test_offcuts_go_first(bench: Any) -> None:
    offcuts = [{"sheet": "steel", "size": "400 x 500 mm", "count": 2}]
    nesting = nest([blank(1, 300, 200)], shop_of(bench, offcuts=offcuts))
    (sheet,) = nesting.sheets
    assert (sheet.from_offcut, sheet.length_mm, sheet.width_mm) == (True, 500, 400)
    assert nesting.price == 0


def test_the_smallest_offcut_that_takes_it(bench: Any) -> None:
    offcuts = [{"sheet": "steel", "size": f"{side} x {side} mm"} for side in (900, 320, 500)]
    (sheet,) = nest([blank(1, 295, 295)], shop_of(bench, offcuts=offcuts)).sheets
    assert sheet.length_mm == 320


def test_offcuts_and_then_a_sheet(bench: Any) -> None:
    shop = shop_of(bench, offcuts=[{"sheet": "steel", "size": "400 x 500 mm"}])
    blanks = [blank(n, 380, 300) for n in range(4)]
    nesting = nest(blanks, shop)
    assert [sheet.from_offcut for sheet in nesting.sheets] == [True, False]
    check(nesting, blanks, shop)


def test_an_offcut_too_small_for_its_own_border_is_left(bench: Any) -> None:
    nesting = nest([blank(1, 100, 100)], shop_of(bench, offcuts=[{"sheet": "steel", "size": "10 x 900 mm"}]))
    assert [sheet.from_offcut for sheet in nesting.sheets] == [False]


def test_the_cheapest_sheet_that_holds_them(bench: Any) -> None:
    small = {**SHEET, "id": "small", "size": "1000 x 1000 mm", "price": 30}
    assert [s.sheet for s in nest([blank(1, 900, 400)], shop_of(bench, small)).sheets] == ["small"]
    blanks = [blank(n, 900, 450) for n in range(4)]  # two small ones cost 60, one large one 50
    nesting = nest(blanks, shop_of(bench, small))
    assert [s.sheet for s in nesting.sheets] == ["steel"]
    assert nesting.price == Decimal(50)


def test_a_small_sheet_beside_a_large_one_where_that_costs_less(bench: Any) -> None:
    small = {**SHEET, "id": "small", "size": "1000 x 1000 mm", "price": 30}
    blanks = [blank(n, 900, 450) for n in range(6)]
    nesting = nest(blanks, shop_of(bench, small))
    assert nesting.price == Decimal(80)
    check(nesting, blanks, shop_of(bench, small))


def test_only_sheets_of_the_same_steel(bench: Any) -> None:
    other = {**SHEET, "id": "zinc", "coating": "galvanneal", "price": 1}
    thick = {**SHEET, "id": "thick", "thickness": "1.2 mm", "price": 1}
    nesting = nest([blank(1, 300, 200)], shop_of(bench, other, thick))
    assert [sheet.sheet for sheet in nesting.sheets] == ["steel"]


def test_what_is_left_is_one_large_piece(bench: Any) -> None:
    (sheet,) = nest([blank(n, 480, 300) for n in range(2)], shop_of(bench)).sheets
    assert sheet.rest is not None
    assert sheet.rest.width_mm * sheet.rest.height_mm > 0.8 * sheet.length_mm * sheet.width_mm


def test_a_narrow_rest_is_no_offcut(bench: Any) -> None:
    (sheet,) = nest([blank(1, 1950, 850)], shop_of(bench)).sheets
    assert sheet.rest is None


def test_grain_is_kept_where_it_is_asked_for(bench: Any) -> None:
    blanks = [blank(n, 150, 900) for n in range(8)]
    shop = shop_of(bench, cutting={"keep_grain": ["flat"]})
    nesting = nest(blanks, shop)
    assert {piece.turned for sheet in nesting.sheets for piece in sheet.pieces} == {False}
    check(nesting, blanks, shop)


def test_grain_decides_whether_it_fits(bench: Any) -> None:
    tall = [blank(7, 400, 1500)]
    assert nest(tall, shop_of(bench)).sheets[0].pieces[0].turned
    with pytest.raises(SettingsError, match="F7"):
        nest(tall, shop_of(bench, cutting={"keep_grain": ["flat"]}))


def test_larger_than_any_sheet_names_every_finding(bench: Any) -> None:
    blanks = [blank(1, 300, 200), blank(2, 2100, 300), blank(3, 990, 990, findings=("F3", "F9"))]
    with pytest.raises(SettingsError) as error:
        nest(blanks, shop_of(bench))
    told = str(error.value)
    assert "F2: floor/2, 2100 x 300 mm" in told
    assert "F3, F9: floor/3" in told
    assert "floor/1" not in told
    assert "larger sheet" in told


def test_steel_that_the_shop_has_not(bench: Any) -> None:
    strange = blank(4, 100, 100, sheet="", thickness_mm=3.2)
    nesting = nest([blank(1, 100, 100), strange], shop_of(bench))
    assert [one.id for one, _ in nesting.without_sheet] == ["floor/4"]
    assert len(nesting.sheets) == 1


def test_nothing_to_cut(bench: Any) -> None:
    nesting = nest([], shop_of(bench))
    assert (nesting.sheets, nesting.without_sheet, nesting.price) == ((), (), Decimal(0))


def test_an_outline_that_crosses_itself_names_the_finding(bench: Any) -> None:
    bow = ((0.0, 0.0), (100.0, 100.0), (100.0, 0.0), (0.0, 100.0))
    with pytest.raises(RecordError, match="F5"):
        nest([blank(5, 100, 100, outline_mm=bow)], shop_of(bench))


def test_sheets_are_numbered_through_all_steels(bench: Any) -> None:
    thick = {**SHEET, "id": "thick", "thickness": "1.2 mm"}
    blanks = [blank(1, 100, 100, sheet="thick", thickness_mm=1.2), blank(2, 100, 100)]
    sheets: tuple[NestedSheet, ...] = nest(blanks, shop_of(bench, thick)).sheets
    assert [(sheet.number, sheet.sheet) for sheet in sheets] == [(1, "steel"), (2, "thick")]


def test_masses_and_share(bench: Any) -> None:
    """Masses at 7850 kg/m3 (published-read); share is area over area."""
    (sheet,) = nest([blank(1, 500, 400, corner_radius_mm=0.0)], shop_of(bench)).sheets
    assert sheet.used_share == pytest.approx(0.1)
    assert sheet.mass_kg == pytest.approx(2 * 0.9 * 7.85)
    assert sheet.pieces_mass_kg == pytest.approx(0.2 * 0.9 * 7.85)


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ({"offcuts": [{"sheet": "stel", "size": "400 x 500 mm"}]}, 'no sheet "stel"'),
        ({"offcuts": [{"sheet": "steel", "size": "400 x 500 mm", "count": 0}]}, "greater than or equal to 1"),
        ({"cutting": {"kerf": "0 mm"}}, "greater than 0"),
        ({"cutting": {"kerf": 1.5}}, "has no unit"),
        ({"cutting": {"drawing_unit": "cm"}}, "'mm' or 'inch'"),
        ({"cutting": {"torch": "hot"}}, "Extra inputs"),
        ({"cutting": {"keep_grain": ["round"]}}, "'flat'"),
    ],
)
def test_what_a_shop_book_cannot_say(bench: Any, said: dict[str, Any], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        shop_of(bench, **said)
