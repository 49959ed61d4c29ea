from __future__ import annotations

from decimal import Decimal
from typing import Any

import numpy as np
import pytest

from soundmetal.record.terms import Aim
from soundmetal.scope.models import Scope
from soundmetal.scope.money import cents, hours_price, with_percent
from soundmetal.scope.price import hours_range, money_range

KINDS = {"labour", "sheet", "consumable", "bought panel", "outside work", "allowance", "tax"}


def test_a_patch_priced_by_hand(bench: Any, car_of: Any) -> None:
    """Rust 120 x 80 mm in a flat hidden field, nothing hidden, every operation at its likely hours."""
    certain = {"low_factor": 1.0, "high_factor": 1.0}
    shop = {"operations": dict.fromkeys(bench.shop().operations, certain), "markup": 0}
    scope = car_of(bench.zone(visible=False, edges=0), bench.finding(), shop=shop, basis="blasted").scope()
    seam = (2 * (130 + 90) + 2 * np.pi * 20) / 1000
    bare = (170 + 100) * (130 + 100) / 1e6
    metal = 0.15 + 0.30 * seam + 0.30 + 0.10 + (0.60 + 0.8 + 0.4) * seam
    strip = 0.3 + 4 * bare + 0.2 + 1.0 * bare + 0.1 * seam
    amounts = {(line.kind, line.text.text.split(":")[0]): line.amount for line in scope.total.lines}
    assert amounts["labour", "Metal work, {method_word}"] == pytest.approx(Decimal(metal * 95), abs=Decimal("0.01"))
    assert amounts["labour", "Stripping and protecting"] == pytest.approx(Decimal(strip * 75), abs=Decimal("0.01"))
    assert scope.total.hours.likely == pytest.approx(metal + strip, abs=1e-4)
    assert scope.total.hours.low == pytest.approx(scope.total.hours.high)
    sheet = (170 * 130 - (4 - np.pi) * 400) * 1.25 / (1219.2 * 2438.4) * 72
    assert amounts["sheet", "Sheet steel"] == pytest.approx(Decimal(sheet), abs=Decimal("0.01"))
    assert not any(kind == "allowance" and amount > Decimal("0.01") for (kind, _), amount in amounts.items())


def test_every_line_is_of_a_known_kind_and_can_be_told(scopes: dict[Aim, Scope]) -> None:
    for scope in scopes.values():
        for line in scope.total.lines:
            assert line.kind in KINDS
            assert line.text.text.format(**line.text.values)
            assert line.amount >= 0


def test_the_histogram_covers_the_range(scopes: dict[Aim, Scope]) -> None:
    total = scopes[Aim.SOUND].total
    prices = [price for price, _ in total.histogram]
    assert prices == sorted(prices)
    assert prices[0] < total.price.low < total.price.high < prices[-1]
    assert sum(share for _, share in total.histogram) == pytest.approx(1)


def test_a_range_is_moved_out_and_never_the_figure_in() -> None:
    draws = np.linspace(10.0, 20.0, 101)
    assert hours_range(draws, 15.0).low == pytest.approx(11)
    assert hours_range(draws, 25.0).high == 25.0
    assert hours_range(draws, 5.0).low == 5.0
    assert money_range(draws, Decimal("30.00")).high == Decimal("30.00")


@pytest.mark.parametrize(
    ("amount", "rounded"), [("0.005", "0.01"), ("0.0049", "0.00"), ("2.675", "2.68"), ("-0.005", "-0.01")]
)
def test_cents_round_half_up(amount: str, rounded: str) -> None:
    assert cents(Decimal(amount)) == Decimal(rounded)


def test_money_helpers() -> None:
    assert hours_price(0.1, Decimal("95.05")) == Decimal("9.51")
    assert with_percent(Decimal("10.00"), Decimal("18")) == Decimal("11.80")
