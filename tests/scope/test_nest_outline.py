"""Outlines of lines and arcs, the path beside them, and the flat piece of a blank."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon, box

from soundmetal.errors import RecordError, SettingsError
from soundmetal.record.terms import Aim
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets import settings as settings_module
from soundmetal.scope.sheets.contour import Contour, Vertex, bulge_of, contour_of, rounded_box
from soundmetal.scope.sheets.kerf import beside
from soundmetal.scope.sheets.pattern import pattern_of
from soundmetal.scope.sheets.settings import cutting, cutting_of

BLANK = Blank("floor/1", "floor", ("F1",), 200.0, 100.0, 20.0, 0.9, 20, "flat", 0, 0.0, 0.1)


def corners(shape: Polygon) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in shape.exterior.coords)


def rounded(width: float, height: float, radius: float, segments: int = 64) -> Polygon:
    """A rounded rectangle as the cut-outs make it."""
    return box(0, 0, width, height).buffer(-radius).buffer(radius, quad_segs=segments)


@given(
    width=st.floats(50, 900), height=st.floats(50, 900), radius=st.floats(2, 24), segments=st.sampled_from([16, 64])
)
def test_chords_become_the_arcs_they_came_from(width: float, height: float, radius: float, segments: int) -> None:
    """Area and length of a rounded rectangle are known exactly: w h - (4 - pi) r2, 2 (w + h) - (8 - 2 pi) r."""
    found = contour_of(corners(rounded(width, height, radius, segments)))
    assert [bool(v.bulge) for v in found.vertices].count(True) == 4
    assert len(found.vertices) <= 8
    assert abs(found.area) == pytest.approx(width * height - (4 - math.pi) * radius**2, abs=0.01)
    assert found.length == pytest.approx(2 * (width + height) - (8 - 2 * math.pi) * radius, abs=0.01)
    assert found.bounds == pytest.approx((0, 0, width, height), abs=0.001)


def test_a_circle_is_two_arcs() -> None:
    found = contour_of(corners(Point(30, 40).buffer(12.5, quad_segs=16)))
    assert [abs(v.bulge) for v in found.vertices] == pytest.approx([1, 1])
    assert abs(found.area) == pytest.approx(math.pi * 12.5**2, abs=0.01)


@pytest.mark.parametrize(
    "points",
    [
        ((0, 0), (100, 0), (100, 50), (0, 50)),
        ((0, 0), (100, 0), (120, 40), (60, 90), (10, 60)),
        tuple((50 * math.cos(math.radians(a)), 50 * math.sin(math.radians(a))) for a in range(0, 360, 45)),
    ],
)
def test_polygons_stay_polygons(points: tuple[tuple[float, float], ...]) -> None:
    found = contour_of(points)
    assert [v.bulge for v in found.vertices] == [0] * len(points)
    assert abs(found.area) == pytest.approx(Polygon(points).area)


def test_corners_that_are_none_are_left_out() -> None:
    found = contour_of([(0, 0), (50, 0), (100, 0), (100, 0), (100, 50), (0, 50), (0, 0)])
    assert {v[:2] for v in found.vertices} == {(0, 0), (100, 0), (100, 50), (0, 50)}


def test_a_line_is_no_outline() -> None:
    with pytest.raises(ValueError, match="three corners"):
        contour_of([(0, 0), (50, 0), (100, 0)])


def test_bounds_count_the_belly_of_an_arc() -> None:
    half = Contour((Vertex(0, 0, 1.0), Vertex(10, 0)))
    assert half.bounds == pytest.approx((0, -5, 10, 0))
    assert half.area == pytest.approx(math.pi * 25 / 2)
    assert half.length == pytest.approx(math.pi * 5 + 10)


def test_direction_turn_move_and_scale() -> None:
    one = rounded_box(80, 40, 10)
    back = one.running(clockwise=True)
    assert back.area == pytest.approx(-one.area)
    assert back.running(clockwise=True) is back
    assert back.running(clockwise=False).area == pytest.approx(one.area)
    assert one.turned().bounds == pytest.approx((-40, 0, 0, 80))
    assert one.moved(5, 7).bounds == pytest.approx((5, 7, 85, 47))
    assert one.scaled(0.5).area == pytest.approx(one.area / 4)


def test_a_box_with_half_round_ends() -> None:
    slot = rounded_box(100, 20, 15)
    assert slot.area == pytest.approx(80 * 20 + math.pi * 100)
    assert all(math.dist(a[:2], b[:2]) > 1 for a, b in slot.ways)


@given(by=st.floats(0.1, 3), radius=st.sampled_from([0.0, 5.0, 20.0]))
def test_a_path_grows_by_its_own_length(by: float, radius: float) -> None:
    """Steiner's formula, exact with arcs: area + length x by + by2 x (pi for round corners, 4 for square ones)."""
    outline = rounded_box(170, 130, radius)
    grown = beside(outline, by)
    assert grown.area == pytest.approx(outline.area + outline.length * by + (math.pi if radius else 4) * by**2)
    assert len(grown.vertices) == len(outline.vertices)


def test_a_path_inside_an_l_shape() -> None:
    outline = contour_of([(0, 0), (100, 0), (100, 40), (40, 40), (40, 100), (0, 100)])
    assert beside(outline, 1).area == pytest.approx(102 * 42 + 42 * 60)


def test_a_path_where_arc_and_line_meet_in_a_corner() -> None:
    """No exact way: set off as chords, and read again; shapely's own buffer is the witness."""
    outline = Contour((Vertex(0, 0), Vertex(100, 0, bulge_of(60))))
    grown = beside(outline, 2)
    witness = Polygon(outline.ring(0.05)).buffer(2, join_style="mitre")
    assert grown.area == pytest.approx(witness.area, rel=1e-4)


def test_a_tight_arc_is_not_turned_over() -> None:
    groove = Contour(
        (Vertex(0, 0), Vertex(100, 0), Vertex(100, 50), Vertex(52, 50, -1.0), Vertex(48, 50), Vertex(0, 50))
    )
    grown = beside(groove, 3)
    assert Polygon(grown.ring()).is_valid
    assert grown.area > groove.area


def test_an_opening_narrower_than_the_cut() -> None:
    with pytest.raises(RecordError, match="narrower than the cut"):
        beside(rounded_box(100, 2), -1.5)


def flanged(*sides: str, bent: tuple[str, ...] | None = None) -> Blank:
    """A blank 200 x 100 mm with an allowance of 15 mm on some sides."""
    wide = 200 + 15 * len({"front", "rear"} & set(sides))
    tall = 100 + 15 * len({"lower", "upper"} & set(sides))
    return replace(
        BLANK, width_mm=wide, height_mm=tall, grown=sides, bent=sides if bent is None else bent,
        allowance_mm=15.0, outline_mm=corners(box(300, 50, 500, 150)),
    )  # fmt: skip


@pytest.mark.parametrize(
    "sides", [(), ("lower",), ("lower", "upper"), ("front", "lower", "rear", "upper"), ("rear",)]
)
def test_the_flat_piece_has_the_blanks_size(sides: tuple[str, ...]) -> None:
    made = flanged(*sides)
    flat = pattern_of(made, cutting())
    assert flat.outside.bounds == pytest.approx((0, 0, made.width_mm, made.height_mm), abs=0.001)
    length = {"front": 100, "rear": 100, "lower": 200, "upper": 200}
    assert flat.area_mm2 == pytest.approx(200 * 100 + 15 * sum(length[side] for side in sides), abs=0.01)
    assert len(flat.bends) == len(sides)


def test_bend_lines_lie_where_the_opening_ends() -> None:
    flat = pattern_of(flanged("front", "lower"), cutting())
    assert flat.bends == (((15, 15), (15, 115)), ((15, 15), (215, 15)))


def test_a_lapped_piece_is_larger_all_round_and_has_no_bend() -> None:
    made = replace(
        flanged("lower", "upper", "front", "rear", bent=()), outline_mm=corners(rounded(200, 100, 20)),
        width_mm=230.0, height_mm=130.0,
    )  # fmt: skip
    flat = pattern_of(made, cutting())
    assert flat.size_mm == pytest.approx((230, 130), abs=0.001)
    assert flat.bends == ()
    assert flat.area_mm2 == pytest.approx(230 * 130 - (4 - math.pi) * 35**2, abs=0.05)


def test_openings_are_cut_and_small_holes_are_marked() -> None:
    holes = tuple(corners(Point(*at).buffer(d / 2, quad_segs=16)) for at, d in (((330, 80), 25.0), ((400, 100), 3.2)))
    flat = pattern_of(replace(flanged("lower"), openings_mm=holes), cutting())
    (opening,) = flat.inside
    assert opening.area == pytest.approx(math.pi * 12.5**2, abs=0.01)
    (mark,) = flat.marks
    assert (mark.x, mark.y, mark.diameter_mm) == pytest.approx((100, 65, 3.2), abs=0.001)
    assert flat.area_mm2 == pytest.approx(200 * 115 - math.pi * 12.5**2, abs=0.01)


def test_a_turned_piece_keeps_everything() -> None:
    holes = (corners(Point(330, 80).buffer(12.5, quad_segs=16)), corners(Point(400, 100).buffer(1, quad_segs=16)))
    bead = ((320.0, 100.0), (480.0, 100.0))
    flat = pattern_of(replace(flanged("lower"), openings_mm=holes, beads_mm=(bead,)), cutting())
    over = flat.turned()
    assert over.size_mm == pytest.approx(flat.size_mm[::-1])
    assert over.outside.bounds[:2] == pytest.approx((0, 0), abs=1e-9)
    assert over.area_mm2 == pytest.approx(flat.area_mm2)
    assert flat.bends == (((0, 15), (200, 15)),)
    assert over.bends == (((100, 0), (100, 200)),)
    assert flat.beads == (((20, 65), (180, 65)),)
    assert over.beads == (((50, 20), (50, 180)),)
    assert (over.marks[0].x, over.marks[0].y) == pytest.approx((50, 100))
    again = over.turned().turned().turned()
    assert again.outside.bounds == pytest.approx(flat.outside.bounds)


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"outline_mm": ((0, 0), (9, 9), (9, 0), (0, 9))}, "cannot be cut"),
        ({"outline_mm": ((0, 0), (9, 9))}, "fewer than three"),
        ({"outline_mm": ((0, 0), (5, 0), (9, 0))}, "cannot be cut"),
        ({"openings_mm": (((190, 40), (240, 40), (240, 60), (190, 60)),)}, "not inside"),
        ({"openings_mm": (((300, 40), (302, 40), (302, 42), (300, 42)),)}, "not inside"),
    ],
)
def test_what_cannot_be_cut_names_the_finding(changes: dict[str, Any], told: str) -> None:
    with pytest.raises(RecordError, match=rf"F1: the blank floor/1 .*{told}"):
        pattern_of(replace(BLANK, **changes), cutting())


def test_every_blank_of_a_car_has_its_own_size(scopes: Any, car: Any) -> None:
    blanks = [one for aim in Aim for one in scopes[aim].blanks]
    assert blanks
    for one in blanks:
        assert pattern_of(one, cutting_of(car.shop)).size_mm == pytest.approx((one.width_mm, one.height_mm), abs=0.01)
        assert len(one.bent) == one.bends


def test_settings_of_the_shop_go_before_the_defaults(bench: Any) -> None:
    said = {"kerf": "0.9 mm", "compensate": True, "drawing_unit": "inch", "keep_grain": ["flat"]}
    own = cutting_of(bench.shop({"cutting": said}))
    assert (own.kerf_mm, own.compensate, own.drawing_unit, own.keep_grain) == (0.9, True, "inch", ("flat",))
    assert (own.spacing_mm, own.edge_mm) == (cutting().spacing_mm, cutting().edge_mm)
    assert cutting_of(bench.shop()) == cutting()


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("kerf_mm", 0, "greater than 0"),
        ("torch", 1, "Extra inputs"),
        ("drawing_unit", "cm", "'mm' or 'inch'"),
        ("layers", {"cut": {"name": "BEND", "colour": 7}}, "one name"),
        ("layers", {"cut": {"name": "CUT OUTER", "colour": 7}}, "match pattern"),
    ],
)
def test_a_wrong_data_file_is_told(monkeypatch: pytest.MonkeyPatch, key: str, value: Any, told: str) -> None:
    from soundmetal.data import read_yaml

    data = dict(read_yaml("cutting.yaml"))
    data[key] = {**data[key], **value} if isinstance(value, dict) else value
    monkeypatch.setattr(settings_module, "read_yaml", lambda _name: data)
    with pytest.raises(SettingsError, match=told):
        settings_module.cutting.__wrapped__()
