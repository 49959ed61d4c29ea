"""A work bench for the tests of repair and scope: invented zones, findings and cars, graded by the real rules."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

import pytest

from soundmetal.car.models import Body, Zone
from soundmetal.data import read_yaml
from soundmetal.grade.books import RuleBook, rule_book
from soundmetal.grade.car import grade_car
from soundmetal.grade.models import Grades
from soundmetal.record.models import Finding, Inspection
from soundmetal.record.shopbook import ShopBook
from soundmetal.record.terms import Aim
from soundmetal.repair.models import Method, Option
from soundmetal.repair.propose import propose

ZONE: dict[str, object] = {
    "id": "fender.left.rear",
    "names": {"en": "fender"},
    "plain": {"en": "the skin over the wheel"},
    "role": "skin",
    "construction": "open skin",
    "shape": "flat",
    "thickness": {"mm": 0.9, "source": "invented", "confidence": "invented"},
    "size_mm": (1000.0, 500.0),
    "edges": 1,
    "separable": False,
    "frame_part": False,
    "visible": True,
    "mountings": (),
    "access": "none",
    "access_hours": (0.0, 0.0, 0.0),
    "checks": ("look", "tap", "probe"),
    "plan": {"polygon": ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))},
}


class Bench:
    """Makes what a test needs; every maker takes only what differs from a plain case."""

    def zone(self, zone_id: str = "fender.left.rear", **changes: object) -> Zone:
        return Zone.model_validate({**ZONE, "id": zone_id, **changes})

    def body(self, *zones: Zone) -> Body:
        return Body(id="cart", structure="frame", names={"en": "cart"}, zones=zones)  # type: ignore[arg-type]

    def finding(self, **changes: object) -> Finding:
        plain: dict[str, object] = {"id": "F1", "zone": "fender.left.rear", "seen": "holed"}
        if changes.get("seen") != "sound" and "area" not in changes:
            plain["size"] = "120 x 80 mm"
        return Finding.model_validate(plain | changes)

    def inspection(self, *findings: Finding, **changes: object) -> Inspection:
        plain: dict[str, object] = {
            "soundmetal": 1,
            "vehicle": {"body": "cart", "structure": "frame"},
            "date": "2026-11-18",
            "basis": "walkround",
            "findings": [finding.model_dump() for finding in findings],
        }
        return Inspection.model_validate(plain | changes)

    def shop(self, changes: Mapping[str, Any] | None = None) -> ShopBook:
        """The default shop book with other values laid over it, maps within maps."""
        return ShopBook.model_validate(_laid_over(copy.deepcopy(read_yaml("shop_book.yaml")), changes or {}))

    def book(self, name: str = "shop") -> RuleBook:
        return rule_book(name)

    def grades(self, body: Body, *findings: Finding, book: str = "shop", **changes: object) -> Grades:
        return grade_car(self.inspection(*findings, **changes), body, rule_book(book))

    def options(
        self, zone: Zone, *findings: Finding, aim: Aim = Aim.SOUND, book: str = "shop", shop: ShopBook | None = None
    ) -> dict[Method, Option]:
        """The six options of the one panel that has findings."""
        body = self.body(zone)
        (found,) = propose(self.grades(body, *findings, book=book), body, shop or self.shop(), rule_book(book), aim)
        return {option.method: option for option in found}


def _laid_over(below: Any, above: Mapping[str, Any]) -> dict[str, Any]:
    merged = dict(below)
    for key, value in above.items():
        both = isinstance(value, Mapping) and isinstance(merged.get(key), Mapping)
        merged[key] = _laid_over(merged[key], value) if both else value
    return merged


@pytest.fixture(scope="session")
def bench() -> Bench:
    return Bench()
