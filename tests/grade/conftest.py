"""Small invented zones, findings and cars for the grading tests."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from soundmetal.car.models import Body, Zone
from soundmetal.record.models import Finding, Inspection


def zone_of(**changes: object) -> Zone:
    plain: dict[str, object] = {
        "id": "rocker.left.outer",
        "names": {"en": "rocker"},
        "plain": {"en": "the box under the door"},
        "role": "floor",
        "construction": "open skin",
        "shape": "flat",
        "thickness": {"mm": 1.0, "source": "invented", "confidence": "invented"},
        "size_mm": (1000.0, 100.0),
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
    return Zone.model_validate(plain | changes)


def finding_of(**changes: object) -> Finding:
    plain: dict[str, object] = {"id": "F1", "zone": "rocker.left.outer", "seen": "surface"}
    if changes.get("seen") != "sound" and "area" not in changes:
        plain["size"] = "100 x 50 mm"
    return Finding.model_validate(plain | changes)


def reading_of(thickness: str, method: str = "caliper", surface: str = "bare", note: str = "") -> dict[str, str]:
    return {"thickness": thickness, "method": method, "surface": surface, "note": note}


def inspection_of(**changes: object) -> Inspection:
    plain: dict[str, object] = {
        "soundmetal": 1,
        "vehicle": {"body": "cart", "structure": "frame"},
        "date": "2026-11-18",
        "basis": "lift",
    }
    return Inspection.model_validate(plain | changes)


def body_of(*zones: Zone) -> Body:
    return Body(id="cart", structure="frame", names={"en": "cart"}, zones=zones)  # type: ignore[arg-type]


@pytest.fixture(scope="session")
def make_zone() -> Callable[..., Zone]:
    return zone_of


@pytest.fixture(scope="session")
def make_finding() -> Callable[..., Finding]:
    return finding_of


@pytest.fixture(scope="session")
def reading() -> Callable[..., dict[str, str]]:
    return reading_of


@pytest.fixture(scope="session")
def make_inspection() -> Callable[..., Inspection]:
    return inspection_of


@pytest.fixture(scope="session")
def make_body() -> Callable[..., Body]:
    return body_of


@pytest.fixture(scope="session")
def told() -> Callable[[Any], list[str]]:
    """Give a function that fills in steps as plain text; a field without a value raises."""

    def fill(steps: Any) -> list[str]:
        return [step.text.format(**step.values) for step in steps]

    return fill
