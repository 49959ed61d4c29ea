from __future__ import annotations

import time
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from soundmetal.car import catalogue
from soundmetal.grade.car import grade_car
from soundmetal.record.terms import Aim, Structure
from soundmetal.repair.models import Method
from soundmetal.scope.models import Scope
from soundmetal.scope.work import all_aims, work_out


def test_each_panel_gets_its_method(scopes: dict[Aim, Scope]) -> None:
    taken = {panel.panel: panel.choice.taken.method for panel in scopes[Aim.SOUND].panels}
    assert taken == {
        "fender.left.rear": Method.TREAT,
        "rocker.left.outer": Method.BUTT_WELD,
        "rocker.left.inner": Method.TREAT,
        "floor.left.front": Method.REFER,
        "frame_rail.left.rear": Method.REFER,
        "rocker.right.outer": Method.BUTT_WELD,
        "cab_corner.left.outer": Method.BUTT_WELD,
        "firewall": Method.LEAVE,
    }


def test_the_aims_differ(scopes: dict[Aim, Scope]) -> None:
    arrest, sound, factory = (scopes[aim] for aim in Aim)
    assert arrest.total.likely < sound.total.likely < factory.total.likely
    assert arrest.total.hours.likely < sound.total.hours.likely < factory.total.hours.likely
    methods = {panel.panel: panel.choice.taken.method for panel in factory.panels}
    assert methods["rocker.left.outer"] is Method.FULL_PANEL  # no seam left to be seen
    assert methods["rocker.left.inner"] is not Method.TREAT  # thinned metal gets cut out
    for scope in (arrest, sound, factory):
        refers = {p.panel for p in scope.panels if p.choice.taken.method is Method.REFER}
        assert refers == {"floor.left.front", "frame_rail.left.rear"}  # safety does not bend to the aim


def test_lines_add_up_to_the_cent(scopes: dict[Aim, Scope]) -> None:
    for scope in scopes.values():
        total = scope.total
        assert sum(line.amount for line in total.lines) == total.likely == total.net + total.tax
        assert all(line.amount == line.amount.quantize(Decimal("0.01")) for line in total.lines)
        by_panel = sum((panel.price.likely for panel in scope.panels), Decimal(0))
        assert by_panel == total.net


def test_hours_of_the_lines_are_the_hours_told(scopes: dict[Aim, Scope]) -> None:
    for scope in scopes.values():
        assert sum(line.hours for line in scope.total.lines) == pytest.approx(scope.total.hours.likely)
        assert sum(panel.hours.likely for panel in scope.panels) == pytest.approx(scope.total.hours.likely)


def test_ranges_hold_what_is_told(scopes: dict[Aim, Scope]) -> None:
    for scope in scopes.values():
        for price in (scope.total.price, *(panel.price for panel in scope.panels)):
            assert price.low <= price.likely <= price.high
        for hours in (scope.total.hours, scope.days, *(panel.hours for panel in scope.panels)):
            assert hours.low <= hours.likely <= hours.high
        assert scope.total.price.low < scope.total.price.high


def test_shared_access_is_counted_once(scopes: dict[Aim, Scope]) -> None:
    access = [op for panel in scopes[Aim.SOUND].panels for op in panel.operations if op.kind == "access"]
    assert len(access) == 1
    assert set(access[0].findings) == {"F2", "F3"}
    assert access[0].hours.likely == 1.5


def test_same_record_same_scope(car: Any, scopes: dict[Aim, Scope]) -> None:
    assert car.scope(Aim.SOUND) == scopes[Aim.SOUND]


def test_nothing_found_is_nothing_to_do(bench: Any, car_of: Any) -> None:
    scope = car_of(bench.zone()).scope()
    assert scope.panels == scope.order == ()
    assert scope.total.likely == 0
    assert scope.total.price.low == scope.total.price.high == 0
    assert scope.days.high == 0
    assert "certifies" in scope.cautions[0].text


def test_a_car_that_is_sound_costs_nothing(bench: Any, car_of: Any) -> None:
    kept = bench.finding(seen="sound", repair={"kind": "butt weld", "state": "sound"})
    scope = car_of(bench.zone(), kept).scope()
    assert scope.panels[0].choice.taken.method is Method.LEAVE
    assert scope.total.likely == 0
    assert scope.holds == ()


def test_tax_is_on_top_of_everything(bench: Any, car_of: Any) -> None:
    found = bench.finding()
    plain = car_of(bench.zone(), found).scope().total
    taxed = car_of(bench.zone(), found, shop={"tax": 8.25, "tax_name": "Sales tax"}).scope().total
    assert taxed.net == plain.net
    assert taxed.tax == (plain.net * Decimal("0.0825")).quantize(Decimal("0.01"))
    assert taxed.lines[-1].kind == "tax"
    assert taxed.lines[-1].text.values["tax_word"] == "Sales tax"
    assert taxed.price.low == pytest.approx(plain.price.low * Decimal("1.0825"), abs=Decimal("0.02"))


def test_no_price_is_told_for_what_others_price_beyond_an_allowance(scopes: dict[Aim, Scope]) -> None:
    lines = [line for line in scopes[Aim.SOUND].total.lines if line.panel == "frame_rail.left.rear"]
    assert [line.amount for line in lines if line.kind == "outside work"] == [Decimal("180.00"), Decimal("950.00")]
    assert not any(line.kind == "sheet" for line in lines)


def test_a_closer_look_narrows_the_range(bench: Any, car_of: Any) -> None:
    zone = bench.zone(construction="closed box", edges=2)
    wide = [
        car_of(zone, bench.finding(), basis=basis).scope().total
        for basis in ("photos", "walkround", "lift", "stripped", "blasted")
    ]
    spans = [total.hours.high - total.hours.low for total in wide]
    assert spans == sorted(spans, reverse=True)
    assert wide[0].likely > wide[1].likely > wide[-1].likely


def test_every_body_of_the_catalogue_can_be_worked_out(bench: Any) -> None:
    shop, book = bench.shop({"policies": {"draws": 200}}), bench.book()
    for turn, (name, structures) in enumerate(catalogue.bodies()):
        body = catalogue.body(name, structures[-1])
        found = [
            bench.finding(id=f"F{n}", zone=zone.id, size="60 x 40 mm", seen=("holed", "scale")[n % 2])
            for n, zone in enumerate(body.zones)
        ]
        inspection = bench.inspection(*found)
        aim = list(Aim)[turn % 3]
        scope = work_out(inspection, body, shop, book, grade_car(inspection, body, book), aim)
        assert len(scope.panels) == len(body.zones)
        assert scope.total.price.low <= scope.total.likely <= scope.total.price.high
        assert all(panel.choice.taken.price is not None for panel in scope.panels)


def test_a_whole_car_is_fast(bench: Any) -> None:
    body = catalogue.body("pickup", Structure.FRAME)
    found = [bench.finding(id=f"F{n}", zone=z.id, size="60 x 40 mm") for n, z in enumerate(body.zones[:20])]
    inspection, book = bench.inspection(*found), bench.book()
    grades = grade_car(inspection, body, book)
    started = time.perf_counter()
    all_aims(inspection, body, bench.shop(), book, grades)
    assert time.perf_counter() - started < 10  # three aims; about 1 s alone, the machine may be busy


words = st.sampled_from(["surface", "scale", "pitted", "holed", "gone"])


@settings(max_examples=40)
@given(
    st.lists(st.tuples(words, st.integers(5, 900), st.integers(5, 400)), min_size=1, max_size=4),
    st.sampled_from(list(Aim)),
    st.sampled_from(["photos", "walkround", "blasted"]),
    st.sampled_from([0.0, 0.4, 1.0]),
    st.decimals(0, 30, places=2),
)
def test_money_and_ranges_hold_for_any_car(
    bench: Any, car_of: Any, wanted: Any, aim: Aim, basis: str, rho: float, tax: Decimal
) -> None:
    found = [bench.finding(id=f"F{n}", seen=s, size=f"{w} x {h} mm") for n, (s, w, h) in enumerate(wanted)]
    zone = bench.zone(construction="closed box", edges=2, separable=True, access_hours=(0.5, 1.0, 2.0))
    shop = {"tax": str(tax), "policies": {"draws": 400, "correlation": rho}}
    scope = car_of(zone, *found, shop=shop, basis=basis).scope(aim)
    total = scope.total
    assert sum(line.amount for line in total.lines) == total.likely == total.net + total.tax
    assert total.price.low <= total.likely == total.price.likely <= total.price.high
    assert total.hours.low <= total.hours.likely <= total.hours.high
    assert sum(share for _, share in total.histogram) == pytest.approx(1)
    assert total.mean_hours == pytest.approx(total.analytic_mean_hours, rel=0.03)


spots = st.one_of(st.none(), st.tuples(st.integers(1, 1000), st.integers(1, 500)))


@settings(max_examples=60)
@given(
    st.tuples(words, st.integers(10, 700), st.integers(10, 350), spots),
    st.tuples(st.integers(0, 200), st.integers(0, 60)),
    st.integers(0, 4),
    st.booleans(),
    st.sampled_from(list(Aim)),
)
def test_more_rust_is_never_cheaper(
    bench: Any, car_of: Any, rust: Any, more: tuple[int, int], edges: int, separable: bool, aim: Aim
) -> None:
    # The chosen price may be up to `near_price` above the least, so the least of the possible ones is compared.
    seen, width, height, at = rust
    zone = bench.zone(edges=edges, separable=separable)
    shop = {"policies": {"draws": 100, "near_price": 0.0}}
    place = {"at": f"{at[0]} x {at[1]} mm"} if at else {}

    def price(w: int, h: int) -> Decimal:
        found = bench.finding(seen=seen, size=f"{w} x {h} mm", **place)
        return Decimal(car_of(zone, found, shop=shop).scope(aim).total.likely)

    assert price(width + more[0], height + more[1]) >= price(width, height) - Decimal("0.02")


@pytest.mark.parametrize("aim", list(Aim))
def test_another_place_is_never_cheaper(bench: Any, car_of: Any, aim: Aim) -> None:
    zone = bench.zone(edges=1)
    places = [bench.finding(id=f"F{n}", at=f"{200 + 250 * n} x 250 mm") for n in range(3)]
    prices = [car_of(zone, *places[: n + 1]).scope(aim).total.likely for n in range(3)]
    assert prices == sorted(prices)


def test_a_worse_place_is_never_cheaper(bench: Any, car_of: Any) -> None:
    order = ["surface", "scale", "pitted", "holed", "gone"]
    skin = [car_of(bench.zone(), bench.finding(seen=seen)).scope().total.likely for seen in order]
    assert skin == sorted(skin)
    seat = {"kind": "seat", "distance": "60 mm"}
    zone = bench.zone(role="load-bearing", mountings=("seat",))
    carrying = [car_of(zone, bench.finding(seen=seen, mounting=seat)).scope().total.likely for seen in order]
    assert carrying == sorted(carrying)
