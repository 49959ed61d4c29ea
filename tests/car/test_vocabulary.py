"""The words that people use: both languages for every family, and no word that could mean two zones of one body."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest

from soundmetal.car import catalogue
from soundmetal.car.models import Body
from soundmetal.data import read_yaml
from soundmetal.photos.tags import Matcher
from soundmetal.photos.vocabulary import vocabulary

LANGUAGES = {"en", "es"}


@pytest.fixture(scope="module")
def words() -> dict[str, Any]:
    found: dict[str, Any] = read_yaml("car/vocabulary.yaml")
    return found


def said(entry: dict[str, list[str]]) -> set[str]:
    return {word for texts in entry.values() for word in texts}


def test_every_entry_speaks_both_languages_in_lower_case(words: dict[str, Any]) -> None:
    for group in ("families", "sides", "places"):
        for name, entry in words[group].items():
            assert entry.keys() == LANGUAGES, name
            assert all(texts for texts in entry.values()), name
            for texts in entry.values():
                assert len(texts) == len(set(texts)), name
                assert all(word == word.lower().strip() and word for word in texts), name
    assert words["unsure_sides"].keys() == {"driver", "passenger", "kerb"}
    assert words["unsure_sides"]["driver"].keys() == words["unsure_sides"]["passenger"].keys() == LANGUAGES


def test_every_part_of_every_zone_has_words(words: dict[str, Any], car: Body) -> None:
    known = words["sides"].keys() | words["places"].keys()
    for zone in car.zones:
        family, *parts = zone.id.split(".")
        assert family in words["families"], zone.id
        assert set(parts) <= known, zone.id


def test_no_words_for_what_no_car_has(words: dict[str, Any]) -> None:
    ids = [
        zone.id.split(".")
        for name, structures in catalogue.bodies()
        for structure in structures
        for zone in catalogue.body(name, structure).zones
    ]
    assert words["families"].keys() == {parts[0] for parts in ids}
    assert words["sides"].keys() | words["places"].keys() == {part for parts in ids for part in parts[1:]}


def test_a_word_means_one_family_on_any_one_body(words: dict[str, Any], car: Body) -> None:
    families = sorted({zone.id.split(".")[0] for zone in car.zones})
    for one, two in combinations(families, 2):
        assert not said(words["families"][one]) & said(words["families"][two]), (one, two)


def test_a_word_means_one_place_in_any_one_family(words: dict[str, Any], car: Body) -> None:
    offered: dict[str, set[str]] = {}
    for zone in car.zones:
        family, *parts = zone.id.split(".")
        offered.setdefault(family, set()).update(set(parts) & words["places"].keys())
    for family, parts in offered.items():
        for one, two in combinations(sorted(parts), 2):
            assert not said(words["places"][one]) & said(words["places"][two]), (family, one, two)


def test_sides_do_not_share_words_with_each_other_or_with_the_unsure(words: dict[str, Any]) -> None:
    groups = [said(words["sides"][side]) for side in ("left", "right")]
    groups += [said(entry) for entry in words["unsure_sides"].values()]
    for one, two in combinations(groups, 2):
        assert not one & two


def test_a_zone_is_found_by_its_own_name_in_both_languages(car: Body) -> None:
    reader = Matcher(car, vocabulary())
    for zone in car.zones:
        for language in sorted(LANGUAGES):
            match = reader.match(zone.name(language))
            if zone.id[-1].isdigit():  # "mount 3" may be photograph 3: such a mount is told by its plain id only
                assert match.zone is None
                assert all(near.startswith("body_mount") for near, _score in match.best)
            else:
                assert match.zone == zone.id, zone.name(language)


@pytest.mark.parametrize(
    ("text", "zone"),
    [
        ("lh sill outer", "rocker.left.outer"),
        ("zoclo izq interior", "rocker.left.inner"),
        ("estribo derecho exterior", "rocker.right.outer"),
        ("piso izquierdo delantero", "floor.left.front"),
        ("under seat floor right", "floor.right.rear"),
        ("bajo asiento derecho", "floor.right.rear"),
        ("esquina de cabina izquierda exterior", "cab_corner.left.outer"),
        ("chasis izquierdo sobre el eje", "frame_rail.left.over_axle"),
        ("larguero derecho central", "frame_rail.right.centre"),
        ("front wheel arch left", "wheelhouse.left.front"),
        ("guardafango derecho trasero", "fender.right.rear"),
        ("salpicadera izquierda delantera", "fender.left.front"),
        ("toeboard rh", "toe_board.right"),
        ("bulkhead", "firewall"),
        ("pared de fuego", "firewall"),
        ("canaleta izquierda", "drip_rail.left"),
        ("pilar b derecho", "pillar_foot.right.b"),
        ("travesaño trasero de caja", None),
        ("driver side rocker outer", None),
        ("estribo exterior lado del chofer", None),
        ("nearside sill outer", None),
        ("rocker left", None),
        ("left", None),
    ],
)
def test_words_of_the_shop_floor_on_a_pickup(text: str, zone: str | None) -> None:
    assert Matcher(catalogue.body("pickup", "frame"), vocabulary()).match(text).zone == zone
