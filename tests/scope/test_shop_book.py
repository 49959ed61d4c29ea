"""The default shop book: it loads, it says where every figure is from, and it refuses what cannot be."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from soundmetal.data import DATA
from soundmetal.handbook.gauge import msg


def test_defaults_load_and_are_those_of_the_trade_table(bench: Any) -> None:
    shop = bench.shop()
    policies = shop.policies
    assert (policies.margin, policies.corner_radius, policies.bridge, policies.feather) == (25, 20, 40, 50)
    assert (policies.patch_share, policies.near_price) == (0.25, 0.05)
    assert (policies.plug_hole, policies.plug_pitch, policies.plug_end) == (8, 35, 15)
    assert not policies.overlap_allowed
    assert shop.shop.name == "Your shop"


def test_every_figure_has_a_source(bench: Any) -> None:
    shop = bench.shop()
    assert all(op.source for op in shop.operations.values())
    assert all(used.source for used in shop.consumables.values())
    lines = (DATA / "shop_book.yaml").read_text(encoding="utf-8").splitlines()
    start, end = lines.index("policies:"), lines.index("widening:")
    policies = [line for line in lines[start + 1 : end] if line.startswith("  ")]
    assert len(policies) >= 18
    assert [line for line in policies if "#" not in line] == []


def test_every_name_is_in_both_languages(bench: Any) -> None:
    shop = bench.shop()
    for named in (*shop.operations.values(), *shop.consumables.values(), *shop.outside.values()):
        assert {"en", "es"} <= set(named.name)
    assert {"en", "es"} <= set(shop.terms)


def test_gauges_of_the_stock_sheets_are_the_published_ones(bench: Any) -> None:
    for sheet in bench.shop().sheets:
        assert sheet.gauge is not None
        assert sheet.thickness == pytest.approx(
            msg(sheet.gauge).mm, abs=0.001
        )  # Manufacturers' Standard Gauge (read)


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"rates": {"metal": -1}}, "greater than 0"),
        ({"rates": {"trim": 0}}, "greater than 0"),
        ({"rates": {"metal": "cheap"}}, "decimal"),
        ({"policies": {"margin": 25}}, "has no unit"),
        ({"policies": {"corner_radius": "100 mm"}}, "would leave rust"),
        ({"policies": {"patch_share": 0}}, "greater than 0"),
        ({"policies": {"crew": 0}}, "greater than or equal to 1"),
        ({"policies": {"correlation": 1.5}}, "less than or equal to 1"),
        ({"sheets": []}, "at least one stock sheet"),
        ({"operations": {"plug": {"high_factor": 0.5}}}, "greater than or equal to 1"),
        ({"operations": {"plug": {"driver": "mile"}}}, "Input should be"),
        ({"consumables": {"wax": {"uses": {"moon": 1}}}}, "Input should be"),
        ({"colour": "red"}, "Extra inputs"),
    ],
)
def test_what_cannot_be_is_refused(bench: Any, changes: dict[str, Any], told: str) -> None:
    with pytest.raises(ValidationError, match=told):
        bench.shop(changes)


def test_a_shop_that_works_for_cents_is_priced_at_the_metal(bench: Any, car_of: Any) -> None:
    cheap = {"rates": {"metal": 0.01, "strip": 0.01, "trim": 0.01}}
    scope = car_of(bench.zone(), bench.finding(), shop=cheap).scope()
    assert 0 < scope.total.likely < 60
    assert sum(line.amount for line in scope.total.lines if line.kind == "labour") < 1
