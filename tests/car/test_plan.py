"""The steel plan's geometry, by shapely: nothing overlaps, everything can be tapped, left mirrors right."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon
from shapely.ops import polylabel, unary_union

from soundmetal.car.catalogue import LABEL_CLEARANCE_MM, label_spot
from soundmetal.car.models import Body, on_page

STRIPS = ("body", "frame")
LEAST_WIDTH_MM = 60.0
OVERLAP_MM2 = 1.0


def shapes(car: Body, strip: str) -> dict[str, Polygon]:
    return {zone.id: Polygon(zone.plan.polygon) for zone in car.zones if zone.plan.strip == strip}


def test_every_shape_is_a_plain_valid_polygon(car: Body) -> None:
    for zone in car.zones:
        shape = Polygon(zone.plan.polygon)
        assert shape.is_valid, zone.id
        assert not shape.interiors
        assert zone.plan.polygon[0] != zone.plan.polygon[-1], f"{zone.id}: its reader closes it"


@pytest.mark.parametrize("strip", STRIPS)
def test_no_two_shapes_of_a_strip_overlap(car: Body, strip: str) -> None:
    drawn = shapes(car, strip)
    clash = [
        (a, b) for (a, one), (b, two) in combinations(drawn.items(), 2) if one.intersection(two).area > OVERLAP_MM2
    ]
    assert clash == []


def test_every_shape_is_wide_enough_to_be_seen_and_tapped(car: Body) -> None:
    for strip in STRIPS:
        for name, shape in shapes(car, strip).items():
            widest = polylabel(shape, tolerance=0.5)
            assert 2 * shape.exterior.distance(widest) >= LEAST_WIDTH_MM - 1, name


def test_labels_stand_inside_with_room_around(car: Body) -> None:
    for zone in car.zones:
        shape = Polygon(zone.plan.polygon)
        assert zone.plan.label is not None
        spot = Point(zone.plan.label)
        assert shape.contains(spot), zone.id
        assert shape.exterior.distance(spot) >= LABEL_CLEARANCE_MM, zone.id


def test_left_mirrors_right_and_the_middle_mirrors_itself(car: Body) -> None:
    for zone in car.zones:
        if "right" in zone.id.split("."):
            continue
        twin = car.by_id[zone.id.replace(".left", ".right")]
        flipped = Polygon([(x, -y) for x, y in twin.plan.polygon])
        assert flipped.equals(Polygon(zone.plan.polygon)), zone.id
        assert zone.plan.label is not None
        assert twin.plan.label is not None
        assert twin.plan.label[0] == zone.plan.label[0]
        assert twin.plan.label[1] == pytest.approx(-zone.plan.label[1], abs=1e-9)


def test_left_lies_below_zero_and_right_above(car: Body) -> None:
    for zone in car.zones:
        ys = [y for _x, y in zone.plan.polygon]
        parts = zone.id.split(".")
        assert "left" not in parts or max(ys) < 0, zone.id
        assert "right" not in parts or min(ys) > 0, zone.id


def test_the_plan_is_at_the_scale_of_a_car(car: Body) -> None:
    x0, y0, x1, y1 = car.bounds("body")
    assert (y0, x0 < 0) == (-y1, True)
    assert 4800 < x1 - x0 < 5500
    assert 2800 < y1 - y0 < 3200
    fx0, fy0, fx1, fy1 = car.bounds("frame")
    assert x0 <= fx0 < fx1 <= x1
    assert fy0 == -fy1


def test_the_order_from_front_to_rear_is_that_of_the_car(car: Body) -> None:
    def middle(name: str) -> float:
        return float(Polygon(car.by_id[name].plan.polygon).centroid.x)

    for names in (
        ["core_support", "cowl.top", "firewall", "toe_board.left", "floor.left.front", "floor.left.rear"],
        ["frame_rail.left.front", "frame_rail.left.centre", "frame_rail.left.over_axle", "frame_rail.left.rear"],
        ["crossmember.front", "crossmember.centre", "crossmember.rear"],
        ["fender.left.front", "fender.left.rear", "rocker.left.outer", "wheelhouse.left.rear"],
    ):
        assert sorted(names, key=middle) == names


def test_skins_are_folded_outward(car: Body) -> None:
    def away(name: str) -> float:
        return abs(float(Polygon(car.by_id[name].plan.polygon).centroid.y))

    door = next(zone.id for zone in car.zones if zone.id.startswith("door.left") and zone.id.endswith("skin"))
    rows = [
        "tunnel",
        "floor.left.front",
        "rocker.left.inner",
        "rocker.left.outer",
        door.replace("skin", "bottom"),
        door,
    ]
    assert sorted(rows, key=away) == rows
    if "drip_rail.left" in car.by_id:
        assert away("drip_rail.left") == max(away(zone.id) for zone in car.zones)


def test_thin_lines_keep_clear_of_the_zones(car: Body) -> None:
    for strip in STRIPS:
        steel = unary_union(list(shapes(car, strip).values()))
        for line in car.outlines:
            if line.strip == strip:
                drawn = Point(line.points[0]) if line.kind == "caption" else LineString(line.points)
                assert not steel.intersects(drawn), (line.kind, line.points[0])


def test_outlines_mirror_each_other_and_captions_speak_both_languages(car: Body) -> None:
    lines = {(line.strip, line.kind, frozenset(line.points)) for line in car.outlines if line.kind != "caption"}
    assert {(strip, kind, frozenset((x, -y) for x, y in points)) for strip, kind, points in lines} == lines
    captions = [line for line in car.outlines if line.kind == "caption"]
    assert all(line.text.keys() == {"en", "es"} for line in captions)
    assert {"front", "rear", "left side", "right side"} <= {line.text["en"] for line in captions}


@given(st.tuples(st.floats(-9e3, 9e3), st.floats(-9e3, 9e3)))
def test_turning_a_point_to_the_page_twice_gives_it_back(point: tuple[float, float]) -> None:
    assert on_page(on_page(point)) == pytest.approx(point)


@given(st.floats(100, 2000), st.floats(100, 2000), st.floats(10, 45))
def test_a_label_lies_inside_even_a_hooked_shape(width: float, height: float, arm: float) -> None:
    hook = Polygon([(0, 0), (width, 0), (width, arm), (arm, arm), (arm, height), (0, height)])
    assert hook.contains(Point(label_spot(hook)))
