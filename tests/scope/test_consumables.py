"""Consumables against figures worked out from published rows (see tests/validation for the rows themselves)."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from soundmetal.errors import SettingsError
from soundmetal.repair.models import Geometry
from soundmetal.scope.blanks import stock_for
from soundmetal.scope.consumables import consumables_of, gas_litres, sheets_needed, together, wire_kg
from soundmetal.scope.models import Blank

SEAM = Geometry(seam_mm=1000, cut_mm=1000, strip_mm2=100_000, cavities=1, blanks=1)
PLUGS = Geometry(plug_welds=10, factory_flange_mm=400)


def test_wire_for_a_metre_of_seam(bench: Any) -> None:
    # WLD-19 (computed): 20.829 g/m of weld metal at 0.9 mm; planned with 0.9 of the wire in the seam.
    assert wire_kg(SEAM, 0.9, bench.shop()) * 1000 == pytest.approx(20.829 / 0.9, abs=0.02 / 0.9)


def test_wire_for_plugs(bench: Any) -> None:
    # SPT-06 (computed): 8 mm hole in 0.9 mm, cap 9 x 1 mm: 0.6048 g.
    assert wire_kg(PLUGS, 0.9, bench.shop()) * 1000 == pytest.approx(10 * 0.6048 / 0.9, rel=0.002)


def test_gas_for_a_metre_of_seam(bench: Any) -> None:
    # 0.8 mm row: 400 to 550 mm/min (read): 1000/475 min at 12 l/min, times 2.5 for pre- and post-flow (from memory).
    assert gas_litres(SEAM, 0.9, bench.shop()) == pytest.approx(1000 / 475 * 12 * 2.5)


def test_thicker_than_the_table_takes_its_last_speed(bench: Any) -> None:
    assert gas_litres(SEAM, 6.0, bench.shop()) == gas_litres(SEAM, 3.2, bench.shop())


def test_use_is_the_shop_books(bench: Any) -> None:
    stock = stock_for(0.9, bench.zone(), bench.shop())
    found = {one.id: one for one in consumables_of(SEAM, stock, bench.shop())}
    assert found["discs"].amount == pytest.approx(0.3 + 1.0 + 2.0 * 0.1)
    assert found["epoxy"].amount == pytest.approx(0.25 * 0.1)
    assert found["wax"].amount == 0.5
    assert found["wax"].price == Decimal("12.00")


def test_nothing_welded_needs_no_wire(bench: Any) -> None:
    stock = stock_for(0.9, bench.zone(), bench.shop())
    found = {one.id for one in consumables_of(Geometry(strip_mm2=1000), stock, bench.shop())}
    assert not {"wire", "gas", "sealer"} & found


def test_several_panels_are_laid_out_together(bench: Any) -> None:
    stock = stock_for(0.9, bench.zone(), bench.shop())
    one = consumables_of(SEAM, stock, bench.shop())
    both = {c.id: c.amount for c in together([one, one], bench.shop())}
    assert both == pytest.approx({c.id: 2 * c.amount for c in one})


def test_a_consumable_without_a_price_is_named(bench: Any) -> None:
    shop = bench.shop()
    stock = stock_for(0.9, bench.zone(), shop)
    bare = shop.model_copy(update={"consumables": {}})
    with pytest.raises(SettingsError, match='no consumable "discs"'):
        together([[c for c in consumables_of(SEAM, stock, shop) if c.id == "discs"]], bare)


def test_sheets_are_counted_by_area_and_waste(bench: Any) -> None:
    def blank(n: int, side: float, thickness: float, sheet: str) -> Blank:
        return Blank(f"p/{n}", "p", (), side, side, 20, thickness, None, "flat", 0, 0, 1, sheet=sheet)

    whole = 48 * 25.4 * 96 * 25.4
    side = (whole / 1.25) ** 0.5
    wanted = [
        blank(1, side - 1, 0.912, "20 ga"),
        blank(2, 100, 0.912, "20 ga zinc"),
        blank(3, 100, 1.214, "18 ga"),
        blank(4, 100, 2.657, ""),
    ]
    assert [(c.id, c.amount, c.price) for c in sheets_needed(wanted, bench.shop())] == [
        ("sheet 20 ga", 1, Decimal("72.00")),
        ("sheet 20 ga zinc", 1, Decimal("80.00")),
        ("sheet 18 ga", 1, Decimal("92.00")),
        ("sheet 2.66 mm", 1, Decimal("0.00")),
    ]
    more = sheets_needed([blank(1, side + 1, 0.912, "20 ga")], bench.shop())
    assert more[0].amount == 2
