from __future__ import annotations

import pytest

from soundmetal.grade.contradictions import contradictions, reading_problems, remarkable

ZONE = "rocker.left.outer"
RUST = {"id": "F1", "zone": ZONE, "seen": "scale", "size": "50 x 50 mm"}


@pytest.fixture
def listed(make_inspection, make_body, make_zone, told):
    def of(zone=None, **record):
        return told(contradictions(make_inspection(**record), make_body(zone or make_zone())))

    return of


def test_a_record_that_agrees_lists_nothing(listed):
    assert listed() == []
    assert listed(zones={ZONE: {"all": "clear"}}) == []
    assert listed(findings=[RUST], zones={ZONE: {"look": "rust"}}) == []


@pytest.mark.parametrize("result", ["rust", "doubt"])
def test_noted_without_a_finding(result, listed):
    assert listed(zones={ZONE: {"tap": result}}) == [
        f"{ZONE}: rust or a doubt is noted, and there is no finding. Write one."
    ]


def test_all_clear_with_a_finding(listed):
    assert "every check is clear" in listed(zones={ZONE: {"all": "clear"}}, findings=[RUST])[0]


def test_not_seen_and_checked(listed):
    assert (
        "yet it was checked" in listed(zones={ZONE: {"all": "clear"}}, not_seen=[{"zone": ZONE, "why": "covered"}])[0]
    )


def test_a_photograph_cannot_be_probed(listed):
    assert "cannot be probed" in listed(basis="photos", findings=[RUST | {"probe": "firm"}])[0]
    assert listed(basis="photos", findings=[RUST]) == []


def test_more_rust_than_the_zone_has(listed):
    assert "is more than" in listed(findings=[RUST | {"size": "2 x 1 m"}])[0]


@pytest.mark.parametrize(("at", "outside"), [("990 x 90 mm", False), ("1010 x 90 mm", True), ("50 x 110 mm", True)])
def test_a_middle_beside_the_part(at, outside, listed):
    """The invented rocker is 1000 mm long and 100 mm high."""
    told = listed(findings=[RUST | {"at": at}])
    assert [f"lies outside {ZONE}" in one for one in told] == [True] * outside


def test_an_outline_beside_the_part(listed):
    outlined = {name: value for name, value in RUST.items() if name != "size"}
    corners = [[f"{x} mm", f"{y} mm"] for x, y in ((1000, 10), (1100, 10), (1100, 60), (1000, 60))]
    assert "lies outside" in listed(findings=[outlined | {"outline": corners}])[0]


def test_a_reading_beside_a_hole_is_the_rim(listed, make_inspection, make_body, make_zone, told, reading):
    """A hole and sound steel beside it agree, so nothing is asked for."""
    holed = RUST | {"seen": "holed", "readings": [reading("0.95 mm")]}
    assert listed(findings=[holed]) == []
    assert "tells of the rim" in told(remarkable(make_inspection(findings=[holed]), make_body(make_zone())))[0]


def test_gives_way_and_looks_sound(listed):
    assert "gives way under the probe" in listed(findings=[RUST | {"seen": "surface", "probe": "gives"}])[0]


def test_a_reference_through_paint(listed, reading):
    found = listed(findings=[RUST | {"reference": reading("1 mm", "ultrasonic", "paint")}])
    assert "does not count" in found[0]


def test_a_reference_far_off(listed, reading):
    assert "far from the usual" in listed(findings=[RUST | {"reference": reading("1.6 mm")}])[0]
    assert listed(findings=[RUST | {"reference": reading("1.2 mm")}]) == []


def test_the_distance_to_a_mounting_is_asked_for(listed, make_zone):
    zone = make_zone(role="floor", mountings=("seat",))
    assert "measure how far" in listed(zone, findings=[RUST])[0]
    written = RUST | {"mounting": {"kind": "seat", "distance": "400 mm"}}
    assert listed(zone, findings=[written]) == []


def test_a_finding_in_an_unknown_zone_is_left_to_the_link_check(listed):
    assert listed(findings=[RUST | {"zone": "nowhere"}]) == []


@pytest.mark.parametrize("thickness", ["1.10 mm", "0.2 mm"])
def test_a_thickness_that_sheet_can_have(thickness, make_finding, make_zone, reading):
    """Mill tolerance about +-10 % (facts on sheet, second-hand)."""
    assert reading_problems(make_finding(readings=[reading(thickness)]), make_zone()) == ()


def test_a_thickness_that_no_sheet_can_have(make_finding, make_zone, reading):
    (problem,) = reading_problems(make_finding(readings=[reading("1.11 mm"), reading("0.9 mm")]), make_zone())
    assert "F1" in problem
    assert "1.11 mm is more than 10% over the usual thickness of rocker.left.outer, 1.00 mm" in problem


def test_the_reference_explains_a_thicker_sheet(make_finding, make_zone, reading):
    finding = make_finding(readings=[reading("1.2 mm")], reference=reading("1.21 mm"))
    assert reading_problems(finding, make_zone()) == ()
    finding = make_finding(readings=[reading("1.2 mm")], reference=reading("1.0 mm"))
    assert "over the reference reading, 1.00 mm" in reading_problems(finding, make_zone())[0]


@pytest.mark.parametrize(
    "note", ["galvanized", "Galvanised sheet", "chapa galvanizada", "zinc both sides", "con cinc"]
)
def test_zinc_explains_a_thicker_reading(note, make_finding, make_zone, reading):
    assert reading_problems(make_finding(readings=[reading("1.2 mm", note=note)]), make_zone()) == ()


@pytest.mark.parametrize("sheet_mm", [1.0, 4.0])
def test_ultrasonic_over_paint_reads_high_by_nature(sheet_mm, make_finding, make_zone, reading):
    zone = make_zone(thickness={"mm": sheet_mm, "source": "x", "confidence": "x"})
    assert reading_problems(make_finding(readings=[reading("4.9 mm", "ultrasonic", "paint")]), zone) == ()


def test_what_does_not_count_is_no_rim(listed, make_inspection, make_body, make_zone, reading):
    holed = RUST | {"seen": "holed", "readings": [reading("0.95 mm", "ultrasonic", "rust")]}
    assert listed(findings=[holed]) == []
    assert remarkable(make_inspection(findings=[holed]), make_body(make_zone())) == ()
