"""What drives the spread: shares against variances worked out on paper, and the parts against the whole."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.shares import swings, variance_shares
from soundmetal.calc.three_point import pert_quantile, pert_variance
from soundmetal.grade.models import Spread
from soundmetal.record.terms import Aim
from soundmetal.scope.growth import Hidden
from soundmetal.scope.items import Estimate, Material, WorkItem
from soundmetal.scope.models import Operation, Scope
from soundmetal.scope.simulate import GROWTH, INNER, PRICE, WORK, simulate
from soundmetal.scope.tornado import drivers

RATES = {"metal": Decimal(100)}
SURE = Spread(1.0, 1.0, 1.0)


def item(kind: str, likely: float, low: float = 0.75, high: float = 1.6, power: float = 0.0) -> WorkItem:
    operation = Operation(f"p/{kind}", kind, "p", (), "x", 1, "h", Spread(low, 1.0, high), "invented")
    grows = bool(power)
    return WorkItem(operation, "metal", 0.0 if grows else likely, likely if grows else 0.0, power, low, high)


def panel(*work: WorkItem, growth: Spread = SURE, **more: Any) -> Estimate:
    return Estimate(
        "p", (), Hidden(growth, more.pop("chance", 0.0)), work, more.pop("materials", ()), rates=RATES, **more
    )


def test_shares_are_those_of_the_variances_when_nothing_is_shared(bench: Any) -> None:
    """EST-02 (S76, read): 5/8/14 has variance 2.7500; twice the hours has four times it, so 0.2 and 0.8."""
    assert pert_variance(5, 8, 14) == pytest.approx(2.75, abs=0.0005)
    work = item("cut", 8.0, 5 / 8, 14 / 8), item("butt_mig", 16.0, 5 / 8, 14 / 8)
    found = drivers(simulate([panel(*work)], 0.0, 100_000, seed=5), bench.shop())
    assert [(d.cause, d.name) for d in found] == [(WORK, "butt_mig"), (WORK, "cut")]
    assert [d.share for d in found] == pytest.approx([0.8, 0.2], abs=0.01)


def test_a_bar_ends_at_the_published_quantiles(bench: Any) -> None:
    # EST-05 (computed): 5/8/14 beta-PERT, mean 8.5, P10 6.377, P90 10.800; at 100 an hour.
    (found,) = drivers(simulate([panel(item("cut", 8.0, 5 / 8, 14 / 8))], 0.4, 10_000, seed=1), bench.shop())
    assert float(found.low) == pytest.approx(100 * (6.377 - 8.5), abs=1)
    assert float(found.high) == pytest.approx(100 * (10.800 - 8.5), abs=1)
    assert pert_quantile(5, 8, 14, np.array([0.9]))[0] == pytest.approx(10.800, abs=0.003)


def test_the_parts_add_up_to_the_price_in_every_draw(bench: Any) -> None:
    box = Spread(1.1, 1.6, 3.0)
    bought = (Material("sheet", Decimal("40.00"), 1.0), Material("outside work", Decimal("180.00"), 0.0, 0.7, 1.7))
    parts = panel(item("cut", 2.0, power=0.5), item("strip", 1.0, power=1.0), growth=box, chance=0.3,
                  inner_work=(item("plug", 2.0),), materials=bought)  # fmt: skip
    draws = simulate([parts, parts], 0.4, 2000, seed=9)
    assert sum(part.money for part in draws.parts) == pytest.approx(draws.money.sum(axis=0))
    assert {part.cause for part in draws.parts} == {WORK, GROWTH, INNER, PRICE}
    whole = drivers(draws, bench.shop(), most=1000)
    assert sum(driver.share for driver in whole) == pytest.approx(1.0, abs=1e-3)


def test_hidden_growth_leads_where_the_work_itself_is_sure(bench: Any) -> None:
    sure = panel(item("strip", 5.0, 0.99, 1.01, power=1.0), growth=Spread(1.1, 1.6, 3.0))
    found = drivers(simulate([sure], 0.4, 5000, seed=2), bench.shop())
    assert found[0].cause == GROWTH
    assert found[0].share > 0.95


def test_a_sure_price_has_no_drivers(bench: Any) -> None:
    assert drivers(simulate([panel(item("cut", 1.0, 1.0, 1.0))], 0.4, 200, seed=1), bench.shop()) == ()
    assert drivers(simulate([], 0.4, 200, seed=1), bench.shop()) == ()


def test_the_cars_drivers_stand_in_order_and_can_be_told(scopes: dict[Aim, Scope]) -> None:
    for scope in scopes.values():
        found = scope.total.drivers
        assert 3 <= len(found) <= 8
        assert [d.share for d in found] == sorted((d.share for d in found), reverse=True)
        assert all(d.low <= 0 <= d.high for d in found)
        assert all(d.text.text.format(**d.text.values) for d in found)


def test_tax_widens_the_bars(bench: Any) -> None:
    draws = simulate([panel(item("cut", 8.0))], 0.4, 1000, seed=1)
    plain, taxed = (drivers(draws, bench.shop({"tax": tax}))[0] for tax in (0, 10))
    assert float(taxed.high) == pytest.approx(1.1 * float(plain.high), abs=0.01)
    assert taxed.share == pytest.approx(plain.share)


def test_the_deposit_is_the_shops_share_of_the_whole_price(car_of: Any, bench: Any) -> None:
    total = car_of(bench.zone(), bench.finding(), shop={"deposit": 30, "tax": 7.5}).scope().total
    assert total.deposit == (total.likely * 30 / 100).quantize(Decimal("0.01"), "ROUND_HALF_UP")
    assert car_of(bench.zone(), bench.finding(), shop={"deposit": 0}).scope().total.deposit == 0


@given(st.lists(st.lists(st.floats(-100, 100), min_size=8, max_size=8), min_size=1, max_size=6))
def test_shares_add_up_to_one_and_bars_hold_the_mean(rows: list[list[float]]) -> None:
    parts = np.array(rows)
    shares = variance_shares(parts)
    varies = float(np.var(parts.sum(axis=0))) > 1e-6
    assert float(shares.sum()) == pytest.approx(1.0 if varies else shares.sum(), abs=1e-6)
    ends = swings(parts, 0.0, 1.0)
    assert (ends[:, 0] <= 1e-9).all()
    assert (ends[:, 1] >= -1e-9).all()
