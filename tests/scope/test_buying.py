"""Make or buy: the published break-even, the same answer as the full prices, and what is told of it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.buying import break_even_hours
from soundmetal.record.terms import Aim
from soundmetal.repair.models import Method, Option
from soundmetal.scope.estimate import Place, Setting, priced
from soundmetal.scope.models import Scope

PANEL = {"zone": "fender.left.rear", "price": 165, "freight": 35, "trim_h": 3.0}


def weighed(bench: Any, method: Method = Method.PATCH, shop: Any = None, **zone: Any) -> Option:
    book, place_on = bench.shop(shop or {}), bench.zone(edges=0, **zone)
    found = bench.options(place_on, bench.finding(), shop=book)[method]
    grades = bench.grades(bench.body(place_on), bench.finding())
    place = Place(place_on, grades.findings, found.geometry, True)
    return priced(found, place, Setting(book, Aim.SOUND, bench.inspection().basis))


def test_buy_01_break_even_hours() -> None:
    # BUY-01, (buy - material) / rate (computed): 165 + 35 + 3.0 h x 95 against 18 of sheet -> 4.9158 h, 0.002 h.
    assert break_even_hours(165, 35, 3.0, 18, 95) == pytest.approx(4.9158, abs=0.002)


@given(*(st.floats(0, 1000) for _ in range(4)), st.floats(1, 300), st.floats(0, 100))
def test_making_costs_less_under_it_and_more_over_it(
    price: float, freight: float, fit: float, material: float, rate: float, by: float
) -> None:
    even = break_even_hours(price, freight, fit, material, rate)
    bought = price + freight + fit * rate
    assert material + (even - by) * rate <= bought + 1e-6 <= material + (even + by) * rate + 2e-6


def test_the_break_even_on_the_option_is_the_formulas_own(bench: Any) -> None:
    shop = {"bought": [PANEL], "markup": 0, "operations": {"trim_panel": {"low_factor": 1.0, "high_factor": 1.0}}}
    buying = weighed(bench, shop=shop).buying
    assert buying is not None
    assert buying.paid == Decimal("200.00")
    assert buying.fit_h == pytest.approx(3.0)
    assert buying.even_h == pytest.approx(break_even_hours(165, 35, 3.0, float(buying.sheet), 95.0))


@pytest.mark.parametrize("shape", ["flat", "single curve", "compound"])
@pytest.mark.parametrize("price", [1, 40, 120, 165, 900])
def test_what_is_taken_is_what_the_break_even_says(bench: Any, shape: str, price: int) -> None:
    found = weighed(bench, shop={"bought": [{**PANEL, "price": price, "freight": 0, "trim_h": 0.5}]}, shape=shape)
    assert found.buying is not None
    assert found.buying.even_h is not None
    if abs(found.buying.make_h - found.buying.even_h) > 0.01:
        assert found.bought is (found.buying.make_h > found.buying.even_h)
    assert found.buying.text.text.startswith("Bought" if found.bought else "Made here")
    assert found.buying.text.text.format(**found.buying.text.values)


def test_a_section_may_come_from_a_bought_panel_and_is_then_not_drawn(bench: Any, car_of: Any) -> None:
    zone = bench.zone(edges=0, shape="compound", size_mm=(500.0, 400.0))
    scope: Scope = car_of(zone, bench.finding(), shop={"bought": [{**PANEL, "price": 60, "trim_h": 0.5}]}).scope()
    (work,) = scope.panels
    assert work.choice.taken.method is Method.PATCH
    assert work.choice.taken.bought
    assert work.blanks == ()
    assert {o.kind for o in work.operations} & {"template", "form_compound"} == set()
    assert "trim_panel" in {o.kind for o in work.operations}
    assert any(line.kind == "bought panel" for line in scope.total.lines)


def test_without_a_panel_it_tells_what_one_might_cost(bench: Any) -> None:
    plain = weighed(bench)
    assert plain.buying is not None
    assert (plain.buying.paid, plain.buying.even_h, plain.bought) == (None, None, False)
    most = plain.buying.most
    shop = {"markup": 0, "operations": {"trim_panel": {"low_factor": 1.0, "high_factor": 1.0}}}
    for price, bought in ((most * 9 / 10, True), (most * 11 / 10, False)):
        panel = {**PANEL, "price": round(price, 2), "freight": 0, "trim_h": 0.0}
        unmarked = weighed(bench, shop={**shop, "bought": [panel]})
        assert unmarked.bought is bought


def test_what_needs_no_new_metal_is_not_weighed(bench: Any) -> None:
    found = bench.options(bench.zone(), bench.finding(seen="surface"))[Method.TREAT]
    grades = bench.grades(bench.body(bench.zone()), bench.finding(seen="surface"))
    place = Place(bench.zone(), grades.findings, found.geometry, True)
    done = priced(found, place, Setting(bench.shop(), Aim.SOUND, bench.inspection().basis))
    assert done.buying is None
    assert done.price is not None
