"""Wrong data: one line that names the file and the key, and never a half-built car."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest

from soundmetal.car import catalogue, reading
from soundmetal.data import read_yaml
from soundmetal.errors import Exit, SettingsError

Change = Callable[[dict[str, Any]], object]


def with_change(file: str, change: Change) -> reading.Reader:
    """Give a reader that hands out one file changed and all others as they are."""
    changed = copy.deepcopy(read_yaml(file))
    change(changed)
    return lambda name: changed if name == file else read_yaml(name)


OUTSIDE, INSIDE, UNDER = reading.KINDS
PLAN = "car/plans/cab_and_bed.yaml"


def rocker(data: dict[str, Any]) -> dict[str, Any]:
    return dict.__getitem__(data, "rocker.left.outer")


CASES: list[tuple[str, Change, str, str]] = [
    (OUTSIDE, lambda d: rocker(d).pop("role"), "outside.yaml, rocker.left.outer.role", "Field required"),
    (OUTSIDE, lambda d: rocker(d).update(role="chrome"), "outside.yaml, rocker.left.outer.role", "load-bearing"),
    (OUTSIDE, lambda d: rocker(d).update(colour="red"), "outside.yaml, rocker.left.outer.colour", "not permitted"),
    (
        OUTSIDE,
        lambda d: rocker(d).update(edges=5),
        "outside.yaml, rocker.left.outer.edges",
        "less than or equal to 4",
    ),
    (OUTSIDE, lambda d: rocker(d).update(size_mm=[-1, 2]), "rocker.left.outer.size_mm.0", "greater than 0"),
    (OUTSIDE, lambda d: rocker(d)["names"].pop("es"), "rocker.left.outer.names", 'no text in language "es"'),
    (OUTSIDE, lambda d: rocker(d).update(steel="rocker_out"), "rocker.left.outer.steel", 'mean "rocker_outer"?'),
    (OUTSIDE, lambda d: rocker(d).update(access="roker.left"), "rocker.left.outer.access", 'mean "rocker.left"?'),
    (OUTSIDE, lambda d: rocker(d).update(checks="lick"), "rocker.left.outer.checks", 'no checks "lick"'),
    (OUTSIDE, lambda d: rocker(d).update(on={"unibodi": {}}), "rocker.left.outer.on.unibodi", "no such structure"),
    (OUTSIDE, lambda d: rocker(d).update(on=[1]), "rocker.left.outer.on", "must hold named entries"),
    (OUTSIDE, lambda d: d.update({"firewall": {}}), "inside.yaml, firewall", "outside.yaml as well"),
    (UNDER, lambda d: d.update({"crossmember.front": "steel"}), "under.yaml, crossmember.front", "named entries"),
    (
        reading.SHARED,
        lambda d: d["steels"]["floor"].update(mm=0.1),
        "zones.yaml, steels.floor.mm",
        "greater than 0.3",
    ),
    (reading.SHARED, lambda d: d["steels"]["floor"].pop("source"), "zones.yaml, steels.floor.source", "required"),
    (reading.SHARED, lambda d: d["access"]["dash"].update(hours=[3, 2, 1]), "zones.yaml, access.dash", "must rise"),
    (reading.SHARED, lambda d: d["checks"].update(skin=["sniff"]), "zones.yaml, checks.skin.0", "look"),
    (reading.BODIES, lambda d: d["pickup"]["names"].pop("en"), "bodies.yaml, pickup.names", 'language "en"'),
    (reading.BODIES, lambda d: d["pickup"]["sheets"].update(wood=[]), "bodies.yaml, pickup.sheets.wood", "frame"),
    (
        reading.BODIES,
        lambda d: d["pickup"]["sheets"]["frame"].append("cab_and_bed"),
        "bodies.yaml, pickup",
        'zone "core_support" twice',
    ),
    (PLAN, lambda d: d["side"][0].update(id="fendre.left.front"), "cab_and_bed.yaml", 'mean "fender.left.front"?'),
    (PLAN, lambda d: d["side"][0].update(id="tunnel"), "cab_and_bed.yaml, tunnel", "word left"),
    (PLAN, lambda d: d["front"][0].update(polygon=[[0, 0], [1, 0], [0, 1]]), "cab_and_bed.yaml, front.0", "not both"),
    (PLAN, lambda d: d["front"][0].pop("box"), "cab_and_bed.yaml, front.0", "a box or a polygon"),
    (PLAN, lambda d: d["front"][0].update(box=[0, 0, 0, 9]), "cab_and_bed.yaml, core_support", "has no area"),
    (
        PLAN,
        lambda d: d["side"][0].update(polygon=[[0, 0], [9, 9], [9, 0], [0, 9]]),
        "cab_and_bed.yaml, fender.left.front",
        "crosses itself",
    ),
    (PLAN, lambda d: d["front"][0].update(strip="roof"), "cab_and_bed.yaml, core_support.strip", "pattern"),
    (
        PLAN,
        lambda d: d["front"][0].update(change={"edges": "many"}),
        "cab_and_bed.yaml, core_support.edges",
        "valid integer",
    ),
    (PLAN, lambda d: d["outlines"][0].update(kind="doodle"), "cab_and_bed.yaml, outlines.0.kind", "pattern"),
]


@pytest.mark.parametrize(("file", "change", "where", "what"), CASES, ids=[f"{case[2]}" for case in CASES])
def test_wrong_data_is_named_by_file_and_key(file: str, change: Change, where: str, what: str) -> None:
    with pytest.raises(SettingsError) as caught:
        catalogue.build("pickup", "frame", with_change(file, change))
    message = str(caught.value)
    assert where in message
    assert what in message
    assert "\n" not in message
    assert caught.value.exit_code is Exit.SETTINGS


def test_a_file_that_holds_a_list_is_named() -> None:
    with pytest.raises(SettingsError, match=r"bodies\.yaml: must hold named entries"):
        catalogue.build("pickup", "frame", lambda name: [] if name == reading.BODIES else read_yaml(name))


def test_a_sheet_that_is_not_there_is_named() -> None:
    read = with_change(reading.BODIES, lambda d: d["pickup"]["sheets"].update(frame=["nowhere"]))
    with pytest.raises(SettingsError, match=r"nowhere\.yaml"):
        catalogue.build("pickup", "frame", read)


def test_what_the_files_hold_is_not_changed_by_building() -> None:
    before = copy.deepcopy(read_yaml(OUTSIDE))
    catalogue.build("sedan", "unibody", read_yaml)
    assert read_yaml(OUTSIDE) == before


def test_nothing_in_the_files_is_left_unused() -> None:
    cars = [catalogue.body(name, structure) for name, structures in catalogue.bodies() for structure in structures]
    used = {zone.id for car in cars for zone in car.zones}
    assert set(reading.kinds()) <= used
    common = reading.shared()
    raw = [entry for _file, entry in reading.kinds().values()]
    assert set(common.access) <= {zone.access for car in cars for zone in car.zones}
    assert set(common.checks) == {entry["checks"] for entry in raw} | {
        different["checks"] for entry in raw for different in entry.get("on", {}).values() if "checks" in different
    }
    sources = {zone.thickness.source for car in cars for zone in car.zones}
    assert {steel.source for steel in common.steels.values()} == sources
