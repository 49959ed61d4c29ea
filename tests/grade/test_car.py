from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.car import catalogue
from soundmetal.errors import LinkError
from soundmetal.grade.books import rule_book
from soundmetal.grade.car import grade_car
from soundmetal.grade.models import SEVERITY, Level
from soundmetal.record.terms import Structure

FLOOR, RAIL, SKIN = "floor.left", "frame_rail.left.rear", "door.left.skin"


@pytest.fixture(scope="session")
def cart(make_body, make_zone):
    return make_body(
        make_zone(id=SKIN, role="skin"),
        make_zone(id=FLOOR, role="floor"),
        make_zone(id=RAIL, role="load-bearing", frame_part=True),
    )


def test_findings_come_worst_first_and_ties_in_the_order_of_the_walk(cart, make_inspection):
    same = {"seen": "surface", "size": "50 x 50 mm"}
    findings = [
        {"id": "late", "zone": FLOOR, **same},
        {"id": "early", "zone": SKIN, **same, "rusted_share": 0},
        {"id": "twin", "zone": FLOOR, **same},
        {"id": "unsafe", "zone": RAIL, "seen": "holed", "size": "10 x 10 mm"},
        {"id": "spent", "zone": SKIN, "seen": "gone", "size": "500 x 100 mm"},
    ]
    grades = grade_car(make_inspection(findings=findings), cart, rule_book("shop"))
    assert [one.finding.id for one in grades.findings] == ["unsafe", "spent", "late", "twin", "early"]
    assert [state.zone_id for state in grades.zones] == [SKIN, FLOOR, RAIL]
    assert grades.by_id["spent"].level is Level.SPENT


def test_a_finding_in_no_zone_of_the_car_is_an_error_with_a_hint(cart, make_inspection):
    findings = [{"id": "F1", "zone": "flor.left", "seen": "surface", "size": "50 x 50 mm"}]
    with pytest.raises(LinkError, match=r'no zone "flor.left". Did you mean "floor.left"\?'):
        grade_car(make_inspection(findings=findings), cart, rule_book("shop"))


@given(
    rows=st.lists(
        st.tuples(st.sampled_from([FLOOR, RAIL, SKIN]), st.sampled_from(["surface", "scale", "pitted", "holed"])),
        max_size=8,
    )
)
def test_the_order_and_the_zones_always_agree(rows, cart, make_inspection):
    findings = [{"id": f"F{n}", "zone": z, "seen": s, "size": "30 x 30 mm"} for n, (z, s) in enumerate(rows)]
    inspection = make_inspection(findings=findings)
    grades = grade_car(inspection, cart, rule_book("uk"))
    keys = [(SEVERITY[one.level], one.score) for one in grades.findings]
    assert keys == sorted(keys, reverse=True)
    assert sorted(one.finding.id for one in grades.findings) == [one["id"] for one in findings]
    assert grades == grade_car(inspection, cart, rule_book("uk"))
    for state in grades.zones:
        own = [one.level for one in grades.findings if one.zone_id == state.zone_id]
        assert all(SEVERITY[state.level] >= SEVERITY[level] for level in own)
        assert state.level is not Level.SOUND


def test_a_whole_pickup_without_a_word_is_not_seen(make_inspection):
    body = catalogue.body("pickup", Structure.FRAME)
    grades = grade_car(make_inspection(), body, rule_book("shop"))
    assert {state.level for state in grades.zones} == {Level.NOT_SEEN}
    assert len(grades.zones) == len(body.zones)


def test_a_whole_pickup_checked_clear_is_sound(make_inspection):
    body = catalogue.body("pickup", Structure.FRAME)
    zones = {zone.id: {"all": "clear"} for zone in body.zones}
    grades = grade_car(make_inspection(zones=zones), body, rule_book("shop"))
    assert {state.level for state in grades.zones} == {Level.SOUND}
