"""The catalogue as its users meet it: bodies, zones, names, the walk, and names that do not exist."""

from __future__ import annotations

import pytest

from soundmetal.car import catalogue
from soundmetal.car.models import Body, Construction, Role
from soundmetal.errors import Exit, UnknownName
from soundmetal.record.terms import Check, Mounting, Structure

PAIRED = ("left", "right")

#: What every body must have, whatever it stands on.
ON_EVERY_BODY = (
    "core_support cowl.top firewall glass_channel.front tunnel "
    "floor.left.front floor.left.rear toe_board.left kick_panel.left rocker.left.outer rocker.left.inner "
    "pillar_foot.left.a pillar_foot.left.b pillar_foot.left.hinge wheelhouse.left.front wheelhouse.left.rear "
    "fender.left.front fender.left.rear frame_rail.left.front frame_rail.left.centre frame_rail.left.over_axle "
    "frame_rail.left.rear crossmember.front crossmember.centre crossmember.rear "
    "spring_hanger.left.front spring_hanger.left.rear"
)

#: What some bodies have besides.
ON_SOME = {
    "pickup": "cab_corner.left.outer cab_corner.left.inner cab_mount.left.front cab_mount.left.rear "
    "bedside.left.front bedside.left.rear bed_floor.front bed_floor.rear bed_cross_sill.rear "
    "tailgate door.left.skin door.left.bottom "
    "drip_rail.left glass_channel.rear cab_back",
    "sedan": "quarter.left.lower door.left.front.bottom door.left.rear.bottom trunk_lid trunk_floor.left spare_well "
    "drip_rail.left glass_channel.rear seat_pan tail_panel",
    "coupe": "quarter.left.lower door.left.bottom trunk_lid trunk_floor.left spare_well drip_rail.left",
    "wagon": "quarter.left.lower tailgate cargo_floor.left spare_well drip_rail.left glass_channel.left",
    "convertible": "quarter.left.lower door.left.bottom trunk_lid trunk_floor.left spare_well top_well",
}


def test_five_bodies_and_the_structures_they_are_built_on() -> None:
    both = (Structure.UNIBODY, Structure.FRAME)
    assert catalogue.bodies() == (
        ("pickup", (Structure.FRAME,)),
        ("sedan", both),
        ("coupe", both),
        ("wagon", both),
        ("convertible", both),
    )


def test_a_body_is_built_once_and_the_same_whether_asked_by_word_or_by_name() -> None:
    assert catalogue.body("sedan", "frame") is catalogue.body("sedan", "frame")
    assert catalogue.body("sedan", Structure.FRAME) == catalogue.body("sedan", "frame")


def test_enough_zones(car: Body) -> None:
    assert len(car.zones) >= (45 if car.id == "pickup" else 40)
    assert len(car.by_id) == len(car.zones)


def test_the_places_where_rust_hides_are_there(car: Body) -> None:
    wanted = f"{ON_EVERY_BODY} {ON_SOME[car.id]}".split()
    both = wanted + [name.replace(".left", ".right") for name in wanted]
    assert [name for name in both if name not in car.by_id] == []


def test_only_a_frame_has_mounts_and_only_a_unibody_torque_boxes(car: Body) -> None:
    families = {zone.id.split(".")[0] for zone in car.zones}
    on_frame = car.structure is Structure.FRAME
    assert bool({"body_mount", "cab_mount"} & families) is on_frame
    assert bool({"torque_box", "spring_tower"} & families) is not on_frame


def test_a_convertible_has_no_roof_edge_and_no_back_glass() -> None:
    for structure in Structure:
        ids = catalogue.body("convertible", structure).by_id
        assert "drip_rail.left" not in ids
        assert "glass_channel.rear" not in ids


def test_every_text_in_both_languages_and_no_name_twice(car: Body) -> None:
    for zone in car.zones:
        for texts in (zone.names, zone.plain, zone.access_work):
            assert texts.keys() == {"en", "es"}
            assert all(text == text.strip() and text for text in texts.values())
        assert all(text.endswith(".") and len(text) < 120 for text in zone.plain.values()), zone.id
    for language in ("en", "es"):
        names = [zone.name(language) for zone in car.zones]
        assert [name for name in names if names.count(name) > 1] == []
        assert car.name(language)


def test_the_side_is_in_the_name_and_in_nothing_of_the_other_side(car: Body) -> None:
    words = {"left": ("left", "izquierd"), "right": ("right", "derech")}
    for zone in car.zones:
        parts = zone.id.split(".")
        for side, other in (PAIRED, PAIRED[::-1]):
            if side in parts:
                said = f"{zone.names['en']} {zone.names['es']}".lower()
                everything = " ".join(
                    [*zone.names.values(), *zone.plain.values(), *zone.access_work.values()]
                ).lower()
                assert all(word in said for word in words[side]), zone.id
                assert "izquierd" not in everything or side == "left", zone.id
                assert "derech" not in everything or side == "right", zone.id
                assert other not in everything.split(), zone.id


def test_left_and_right_are_alike_in_all_but_side(car: Body) -> None:
    told = {"id", "names", "plain", "access", "access_work", "plan"}
    for zone in car.zones:
        if "left" in zone.id.split("."):
            twin = car.by_id[zone.id.replace(".left", ".right")]
            assert twin.model_dump(exclude=told) == zone.model_dump(exclude=told)
            assert twin.access == zone.access.replace(".left", ".right")


def test_the_walk_goes_round_the_car(car: Body) -> None:
    ids = [zone.id for zone in car.zones]
    outside = ids[: ids.index("firewall")]
    left = [name for name in outside if "left" in name.split(".")]
    right = [name for name in outside if "right" in name.split(".")]
    assert outside.index(left[-1]) < outside.index(right[0])
    assert right == [name.replace(".left", ".right") for name in reversed(left)]
    under = [zone.id for zone in car.zones if zone.plan.strip == "frame"]
    assert ids[-len(under) :] == under


def test_the_walk_is_the_same_every_time(car: Body) -> None:
    again = catalogue.build(car.id, car.structure, catalogue.read_yaml)
    assert again.model_dump_json() == car.model_dump_json()


def test_the_first_and_last_steps_of_the_walk_round_a_pickup() -> None:
    ids = [zone.id for zone in catalogue.body("pickup", "frame").zones]
    assert ids[:6] == [
        "core_support",
        "hood",
        "cowl.top",
        "glass_channel.front",
        "fender.left.front",
        "wheelhouse.left.front",
    ]
    assert ids[-1] == "crossmember.rear"


def test_rockers_pillar_feet_and_floors_carry_load_only_without_a_frame() -> None:
    for body in ("sedan", "coupe", "wagon", "convertible"):
        on_frame, unibody = catalogue.body(body, "frame").by_id, catalogue.body(body, "unibody").by_id
        for zone in ("rocker.left.outer", "rocker.right.inner", "pillar_foot.left.b", "pillar_foot.left.hinge"):
            assert unibody[zone].role is Role.LOAD_BEARING
            assert on_frame[zone].role in (Role.SKIN, Role.INNER)
        assert unibody["floor.left.front"].role is Role.LOAD_BEARING
        assert on_frame["floor.left.front"].role is Role.FLOOR


def test_frame_parts_are_rails_crossmembers_mounts_hangers_or_what_does_their_work(car: Body) -> None:
    families = {
        "frame_rail",
        "crossmember",
        "body_mount",
        "cab_mount",
        "spring_hanger",
        "torque_box",
        "spring_tower",
    }
    for zone in car.zones:
        assert zone.frame_part is (zone.id.split(".")[0] in families), zone.id
        assert not zone.frame_part or zone.role is Role.LOAD_BEARING, zone.id


def test_skins_are_visible_and_frame_parts_are_not(car: Body) -> None:
    for zone in car.zones:
        assert zone.role is not Role.SKIN or zone.visible, zone.id
        assert not (zone.frame_part and zone.visible), zone.id


def test_checks_fit_the_construction(car: Body) -> None:
    for zone in car.zones:
        assert Check.LOOK in zone.checks
        assert len(set(zone.checks)) == len(zone.checks) >= 2
        if zone.construction is Construction.CLOSED_BOX:
            assert {Check.PROBE, Check.DRAIN} <= set(zone.checks), zone.id
        if zone.id.startswith(("frame_rail", "crossmember")):
            assert Check.GAUGE in zone.checks, zone.id


def test_steel_near_belts_seats_suspension_steering_and_brakes_says_so(car: Body) -> None:
    near = {
        "floor.left.front": Mounting.SEAT,
        "pillar_foot.left.b": Mounting.BELT,
        "firewall": Mounting.BRAKE,
        "frame_rail.left.front": Mounting.STEERING,
        "frame_rail.left.over_axle": Mounting.SUSPENSION,
        "spring_hanger.left.front": Mounting.SUSPENSION,
    }
    assert [zone for zone, mounting in near.items() if mounting not in car.by_id[zone].mountings] == []


def test_zones_of_one_access_group_have_the_same_hours(car: Body) -> None:
    groups: dict[str, set[tuple[float, float, float]]] = {}
    for zone in car.zones:
        groups.setdefault(zone.access, set()).add(zone.access_hours)
        low, likely, high = zone.access_hours
        assert 0 < low <= likely <= high
    assert all(len(hours) == 1 for hours in groups.values())
    assert {car.by_id[zone].access for zone in ("floor.left.front", "toe_board.left", "rocker.left.inner")} == {
        "carpet.left"
    }


def test_every_thickness_names_its_source_and_how_sure_it_is(car: Body) -> None:
    for zone in car.zones:
        assert len(zone.thickness.source) > 10, zone.id
        assert "memory" in zone.thickness.confidence or "second-hand" in zone.thickness.confidence


def test_names_of_bodies() -> None:
    assert list(catalogue.body_names("en").values()) == ["Pickup", "Sedan", "Coupe", "Station wagon", "Convertible"]
    assert catalogue.body_names("es")["sedan"] == "Sedán"
    assert catalogue.body_names("fr") == catalogue.body_names("en")


def test_names_fall_back_to_english() -> None:
    zone = catalogue.body("pickup", "frame").by_id["rocker.left.outer"]
    assert zone.name("es") == "Estribo exterior izquierdo"
    assert zone.name("fr") == zone.name("en") == "Left outer rocker"
    assert zone.plain_words("fr") == zone.plain["en"]
    assert zone.access_words("es").startswith("Quitar molduras")
    assert zone.area_mm2 == 1250 * 200


@pytest.mark.parametrize(
    ("name", "structure", "says"),
    [
        ("pikup", "frame", 'Did you mean "pickup"?'),
        ("zeppelin", "frame", "Choose one of: pickup, sedan, coupe, wagon, convertible."),
        ("pickup", "unibody", "Choose frame."),
        ("sedan", "balsa", "Choose unibody or frame."),
    ],
)
def test_unknown_bodies_and_structures_say_what_to_do(name: str, structure: str, says: str) -> None:
    with pytest.raises(UnknownName) as caught:
        catalogue.body(name, structure)
    assert caught.value.exit_code is Exit.UNKNOWN_NAME
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


def test_an_unknown_zone_suggests_the_right_one() -> None:
    pickup = catalogue.body("pickup", "frame")
    with pytest.raises(UnknownName, match=r'Did you mean "rocker\.left\.outer"\?'):
        catalogue.zone(pickup, "rocker.lef.outer")
    with pytest.raises(UnknownName, match="soundmetal zones"):
        catalogue.zone(pickup, "%%%%")
    assert catalogue.zone(pickup, "firewall").id == "firewall"
