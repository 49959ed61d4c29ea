"""Which zone a photograph shows."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.car.catalogue import body
from soundmetal.photos.exif import PhotoFacts
from soundmetal.photos.scan import Found
from soundmetal.photos.tags import Matcher, Placed, place, place_by
from soundmetal.photos.vocabulary import vocabulary
from soundmetal.record.models import PhotoNote

PICKUP = Matcher(body("pickup", "frame"), vocabulary())


def put(name: str = "IMG_1.jpg", *keywords: str, note: PhotoNote | None = None) -> Placed:
    return place_by(PICKUP, name, keywords, note)


@pytest.mark.parametrize(
    ("text", "zone"),
    [
        ("rocker.left.outer", "rocker.left.outer"),
        ("rocker_left_outer", "rocker.left.outer"),
        ("rocker-left-outer 3", "rocker.left.outer"),
        ("RockerLeftOuter", "rocker.left.outer"),
        ("ROCKER PANEL LH OUTER", "rocker.left.outer"),
        ("sill, left, outer", "rocker.left.outer"),
        ("estribo izquierdo exterior", "rocker.left.outer"),
        ("Estribo Exterior Izq.", "rocker.left.outer"),
        ("zócalo derecho interior", "rocker.right.inner"),
        ("zocalo derecho interior", "rocker.right.inner"),
        ("cab corner left outer 2", "cab_corner.left.outer"),
        ("esquina de la cabina derecha, interior", "cab_corner.right.inner"),
        ("floor pan front left", "floor.left.front"),
        ("piso delantero izquierdo", "floor.left.front"),
        ("toeboard l", "toe_board.left"),
        ("kick-up left", "frame_rail.left.over_axle"),
        ("left frame rail over the axle", "frame_rail.left.over_axle"),
        ("A-pillar left", "pillar_foot.left.a"),
        ("tailgate", "tailgate"),
        ("cowl", "cowl.top"),  # the pickup has one cowl zone: nothing is left open
    ],
)
def test_a_text_that_names_one_zone(text: str, zone: str) -> None:
    match = PICKUP.match(text)
    assert match.zone == zone
    assert match.sure


@pytest.mark.parametrize(
    ("text", "best"),
    [
        ("rocker", {"rocker.left.outer", "rocker.right.outer", "rocker.left.inner"}),
        ("rocker outer", {"rocker.left.outer", "rocker.right.outer"}),
        ("rocker left", {"rocker.left.outer", "rocker.left.inner"}),
        ("driver side rocker outer", {"rocker.left.outer", "rocker.right.outer"}),
        ("rocker left and right outer", {"rocker.left.outer", "rocker.right.outer"}),
        ("light rust on the rocker outer", {"rocker.left.outer", "rocker.right.outer"}),
        ("cab corner and rocker, left outer", {"cab_corner.left.outer", "rocker.left.outer"}),
    ],
)
def test_what_is_left_open_is_never_guessed(text: str, best: set[str]) -> None:
    match = PICKUP.match(text)
    assert match.zone is None
    assert not match.sure
    assert {zone for zone, _score in match.best} >= best
    assert len(match.best) <= 3


@pytest.mark.parametrize(
    "text", ["IMG_1234", "2008", "flood left front", "left outer", "", "🚗", "l", "spare tire well"]
)
def test_a_text_that_names_no_steel_of_this_body(text: str) -> None:
    assert PICKUP.match(text).zone is None
    assert PICKUP.match(text).best == ()


@pytest.mark.parametrize(
    "text", ["rockr left outer", "estrivo izquierdo exterior", "cab cornner left outer", "tailgtae"]
)
def test_a_misspelt_word_helps_but_a_person_should_look(text: str) -> None:
    match = PICKUP.match(text)
    assert match.zone in {"rocker.left.outer", "cab_corner.left.outer", "tailgate"}
    assert not match.sure


def test_the_record_decides() -> None:
    placed = put("cowl/rocker.left.outer.jpg", "tailgate", note=PhotoNote(zone="firewall"))
    assert placed == Placed("firewall", "record", True, (("firewall", 1.0),))


def test_an_unknown_zone_in_the_record_places_nothing_and_suggests() -> None:
    placed = put("rocker.left.outer.jpg", note=PhotoNote(zone="rocker.lef.outer"))
    assert (placed.zone, placed.by, placed.sure) == (None, None, False)
    assert placed.best[0][0] == "rocker.left.outer"


def test_keywords_before_folder_before_file_name() -> None:
    assert put("cowl/tailgate.jpg", "firewall").zone == "firewall"
    assert put("cowl/tailgate.jpg", "firewall").by == "keyword"
    assert put("cowl/tailgate.jpg").by == "folder"
    assert put("tailgate.jpg").by == "file name"
    assert put("cowl/tailgate.jpg", "2008", "rust").zone == "cowl.top"


def test_folders_from_the_inside_out() -> None:
    assert put("cowl/tailgate/1.jpg").zone == "tailgate"
    assert put("left rocker/outer/1.jpg").zone == "rocker.left.outer"
    assert put("cab/rockers/izquierdo/exterior/1.jpg").zone == "rocker.left.outer"


def test_words_spread_over_keywords_are_read_together() -> None:
    assert put("1.jpg", "rust", "outer", "left", "rocker") == put("1.jpg", "rocker", "outer", "left", "rust")
    assert put("1.jpg", "rocker", "left", "outer").sure


def test_a_later_source_may_complete_but_not_contradict() -> None:
    assert put("left/rocker outer.jpg").zone == "rocker.left.outer"
    assert put("rocker/left outer 2.jpg").zone == "rocker.left.outer"
    assert put("rocker left/cowl.jpg").zone is None
    assert put("cowl/1.jpg", "rocker").zone is None
    assert put("rocker left/right outer.jpg").zone is None


def test_keywords_that_name_two_zones_are_listed_not_chosen() -> None:
    placed = put("1.jpg", "rocker left outer", "cab corner left outer")
    assert placed.zone is None
    assert {zone for zone, _score in placed.best} >= {"rocker.left.outer", "cab_corner.left.outer"}
    beside = put("1.jpg", "rocker left outer", "door")
    assert (beside.zone, beside.sure) == ("rocker.left.outer", False)


def test_a_number_may_count_photographs() -> None:
    sedan = Matcher(body("sedan", "unibody"), vocabulary())
    numbered = [zone for zone in sedan.zones if zone[-1].isdigit()]
    for zone in numbered:
        assert sedan.match(zone).sure
        assert not sedan.match(zone.replace(".", " ")).sure


def test_every_zone_of_every_body_is_found_by_its_own_id_and_by_its_words() -> None:
    from soundmetal.car.catalogue import bodies

    for name, structures in bodies():
        for structure in structures:
            reader = Matcher(body(name, structure), vocabulary())
            for zone in reader.zones:
                assert reader.match(zone).zone == zone
                assert reader.match(zone.replace(".", "-").upper() + "-12").zone == zone
                assert place_by(reader, f"{zone}/IMG_0107.jpg", (), None).zone == zone


def test_place_reads_the_shipped_vocabulary(pickup) -> None:
    found = Found("estribo izquierdo exterior 1.jpg", Path("x"), "JPEG", "0" * 64, 1)
    assert place(found, PhotoFacts(), None, pickup).zone == "rocker.left.outer"
    assert place(found, PhotoFacts(keywords=("tailgate",)), None, pickup).zone == "tailgate"


@given(st.text(max_size=60))
def test_any_text_is_read_and_a_sure_zone_is_among_those_that_fit(text: str) -> None:
    match = PICKUP.match(text)
    assert match.zone is None or match.fits == (match.zone,)
    assert not match.sure or match.zone
    assert all(0 < score <= 1 for _zone, score in match.best)


WORDS = ["rocker", "sill", "left", "right", "outer", "inner", "front", "door", "rust", "estribo", "izq", "floor"]


@given(st.lists(st.sampled_from(WORDS), max_size=5))
def test_the_order_of_words_does_not_change_a_sure_zone(words: list[str]) -> None:
    match, back = PICKUP.match(" ".join(words)), PICKUP.match(" ".join(reversed(words)))
    assert (match.zone, match.sure) == (back.zone, back.sure)
