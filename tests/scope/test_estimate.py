from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from soundmetal.record.terms import Aim
from soundmetal.repair.models import Method
from soundmetal.scope.models import Scope


def full_panel(scope: Scope) -> Any:
    choice = scope.panels[0].choice
    every = [choice.taken, *(loser.option for loser in choice.losers)]
    return next(option for option in every if option.method is Method.FULL_PANEL)


def test_a_panel_is_bought_where_that_is_cheaper(bench: Any, car_of: Any) -> None:
    zone = bench.zone(separable=True, edges=4, shape="compound")
    made = full_panel(car_of(zone, bench.finding()).scope())
    assert not made.bought
    cheap = {"bought": [{"zone": zone.id, "price": 165, "freight": 35, "trim_h": 1.0}]}
    bought = full_panel(car_of(zone, bench.finding(), shop=cheap).scope())
    assert bought.bought
    assert bought.price < made.price
    dear = {"bought": [{"zone": zone.id, "price": 9000, "trim_h": 1.0}]}
    again = full_panel(car_of(zone, bench.finding(), shop=dear).scope())
    assert not again.bought
    assert again.price == made.price


def test_every_possible_option_has_hours_and_price(scopes: dict[Aim, Scope]) -> None:
    for scope in scopes.values():
        for panel in scope.panels:
            choice = panel.choice
            for option in (choice.taken, *(loser.option for loser in choice.losers)):
                assert (option.price is not None) == option.feasible == (option.hours is not None)


def test_the_choice_has_the_least_price_but_for_the_stated_reasons(scopes: dict[Aim, Scope]) -> None:
    for aim in (Aim.ARREST, Aim.SOUND):
        for panel in scopes[aim].panels:
            prices = [loser.option.price for loser in panel.choice.losers if loser.option.price is not None]
            limit = min([panel.choice.taken.price, *prices]) * Decimal("1.05")
            assert panel.choice.taken.price <= limit


def test_what_is_told_of_a_panel_without_shared_access_is_its_options_price(bench: Any, car_of: Any) -> None:
    scope = car_of(bench.zone(access_hours=(0.5, 1.0, 2.0)), bench.finding()).scope()
    assert scope.panels[0].price.likely == scope.panels[0].choice.taken.price


def test_outside_work_is_asked_for_by_what_is_done(bench: Any, car_of: Any) -> None:
    blasting = {"price": 300, "days": 2, "when": "before metal", "per": "car", "only": "always"}
    car_paint = {"outside": {"blasting": {"name": {"en": "blasting"}, **blasting}}}
    treated = car_of(bench.zone(), bench.finding(seen="surface"), shop=car_paint).scope()
    lines = [line for line in treated.total.lines if line.kind == "outside work"]
    assert [(line.panel, line.amount) for line in lines] == [("", Decimal("300.00"))]
    assert treated.total.likely == sum(p.price.likely for p in treated.panels) + Decimal("300.00")
    assert any(task.away and task.panel == "" for task in treated.order)
    kept = bench.finding(seen="sound", repair={"kind": "butt weld", "state": "sound"})
    assert car_of(bench.zone(), kept, shop=car_paint).scope().total.likely == 0


def test_markup_goes_on_what_is_bought_not_on_work(bench: Any, car_of: Any) -> None:
    plain = car_of(bench.zone(), bench.finding(), shop={"markup": 0}).scope().total.lines
    marked = car_of(bench.zone(), bench.finding(), shop={"markup": 50}).scope().total.lines
    for one, other in zip(plain, marked, strict=True):
        if one.kind == "labour":
            assert one.amount == other.amount
        if one.kind in ("sheet", "consumable"):
            assert other.amount == pytest.approx(one.amount * Decimal("1.5"), abs=Decimal("0.02"))


def test_an_inner_layer_that_was_seen_carries_no_chance(bench: Any, car: Any, scopes: dict[Aim, Scope]) -> None:
    rockers = {panel.panel: panel.inner_chance for panel in scopes[Aim.SOUND].panels}
    assert rockers["rocker.left.outer"] == 0  # its inner rocker is a zone with a finding of its own
    assert rockers["rocker.right.outer"] == pytest.approx(0.3)  # nobody looked behind this one
