"""The same work bench as for repair, and a small car that needs a bit of everything."""

from __future__ import annotations

import runpy
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from soundmetal.car.models import Body
from soundmetal.grade.car import grade_car
from soundmetal.record.models import Inspection
from soundmetal.record.shopbook import ShopBook
from soundmetal.record.terms import Aim
from soundmetal.scope.models import Scope
from soundmetal.scope.work import all_aims, work_out

Bench: Any = runpy.run_path(str(Path(__file__).parents[1] / "repair" / "conftest.py"))["Bench"]


@pytest.fixture(scope="session")
def bench() -> Any:
    return Bench()


@dataclass(frozen=True)
class Car:
    """An inspected car and how to work it out."""

    bench: Any
    body: Body
    inspection: Inspection
    shop: ShopBook

    def scope(self, aim: Aim = Aim.SOUND, book: str = "shop") -> Scope:
        rules = self.bench.book(book)
        grades = grade_car(self.inspection, self.body, rules)
        return work_out(self.inspection, self.body, self.shop, rules, grades, aim)

    def aims(self) -> dict[Aim, Scope]:
        rules = self.bench.book()
        return all_aims(self.inspection, self.body, self.shop, rules, grade_car(self.inspection, self.body, rules))


def zones(bench: Any) -> tuple[Any, ...]:
    box = {"construction": "closed box", "edges": 2}
    cab = {"access": "carpet.left", "access_hours": (0.8, 1.5, 3.0)}
    return (
        bench.zone(),
        bench.zone("rocker.left.outer", separable=True, size_mm=(1250.0, 200.0), shape="single curve", **box),
        bench.zone("rocker.left.inner", role="inner", visible=False, size_mm=(1250.0, 130.0), **box, **cab),
        bench.zone("floor.left.front", role="load-bearing", visible=False, mountings=("seat",), edges=2, **cab),
        bench.zone("frame_rail.left.rear", role="load-bearing", frame_part=True, visible=False, edges=0),
        bench.zone("rocker.right.outer", separable=True, size_mm=(1250.0, 200.0), shape="single curve", **box),
        bench.zone("cab_corner.left.outer", shape="compound", size_mm=(300.0, 380.0), edges=2),
        bench.zone("firewall", role="inner", visible=False),
        bench.zone("tunnel", role="floor", visible=False),
    )


def findings(bench: Any) -> tuple[Any, ...]:
    seat = {"kind": "seat", "distance": "60 mm"}
    kept = {"kind": "butt weld", "state": "sound"}
    return (
        bench.finding(id="F1", zone="rocker.left.outer", size="420 x 80 mm", reaches_edge=True),
        bench.finding(id="F2", zone="rocker.left.inner", seen="scale", size="300 x 60 mm"),
        bench.finding(id="F3", zone="floor.left.front", mounting=seat, at="300 x 250 mm"),
        bench.finding(id="F4", zone="frame_rail.left.rear", size="60 x 40 mm"),
        bench.finding(id="F5", zone="rocker.right.outer", size="300 x 80 mm", reaches_edge=True),
        bench.finding(id="F6", zone="cab_corner.left.outer", size="100 x 90 mm", at="150 x 60 mm"),
        bench.finding(id="F7", zone="firewall", seen="sound", repair=kept),
        bench.finding(id="F8", seen="surface", size="100 x 100 mm"),
    )


@pytest.fixture(scope="session")
def car(bench: Any) -> Car:
    return Car(bench, bench.body(*zones(bench)), bench.inspection(*findings(bench)), bench.shop())


@pytest.fixture(scope="session")
def scopes(car: Car) -> dict[Aim, Scope]:
    return car.aims()


@pytest.fixture(scope="session")
def car_of(bench: Any) -> Any:
    """Make a car of one zone with findings, for a shop book with other values."""

    def make(zone: Any, *found: Any, shop: Any = None, basis: str = "walkround", **record: Any) -> Car:
        return Car(bench, bench.body(zone), bench.inspection(*found, basis=basis, **record), bench.shop(shop or {}))

    return make
