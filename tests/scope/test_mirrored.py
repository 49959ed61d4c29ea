"""The car's right side: blanks are cut as they lie on it, mirror images of the left ones, bends up and down alike."""

from __future__ import annotations

import io
from typing import Any

import ezdxf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely import transform
from shapely.geometry import LineString, Polygon, box

from soundmetal.repair.models import Method
from soundmetal.scope.blanks import blanks_of, stock_for
from soundmetal.scope.cut_files import cut_files
from soundmetal.scope.dxf.blank import blank_dxf
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.contour import circle, rounded_box
from soundmetal.scope.sheets.pattern import Mark, Pattern, pattern_of
from soundmetal.scope.sheets.settings import cutting

SIDES = ("left", "right")
PIECE = Pattern(
    rounded_box(170, 130, 20).running(clockwise=True), (circle(60, 60, 25), rounded_box(30, 12, 6).moved(100, 40)),
    bends=(((0, 20), (170, 20)),), beads=(((40, 100), (130, 100)),), marks=(Mark(140, 100, 3.2),),
)  # fmt: skip


def shapes(data: bytes) -> dict[str, list[Any]]:
    """Shapes by layer as an independent reader (ezdxf's own flattening) finds them, and words with their sizes."""
    found: dict[str, list[Any]] = {}
    for one in ezdxf.read(io.StringIO(data.decode())).modelspace():
        layer = one.dxf.layer
        if one.dxftype() == "LWPOLYLINE":
            path = ezdxf.path.make_path(one)
            shape: Any = Polygon([(p.x, p.y) for p in path.flattening(0.001)])
        elif one.dxftype() == "LINE":
            shape = LineString([(p.x, p.y) for p in (one.dxf.start, one.dxf.end)])
        else:
            shape = one.dxf.text
        found.setdefault(layer, []).append(shape)
    return found


def flipped(shape: Any, width: float) -> Any:
    return transform(shape, lambda points: [(width - x, y) for x, y in points])


def assert_mirror_images(left: bytes, right: bytes, width: float) -> None:
    one, other = shapes(left), shapes(right)
    assert one.keys() == other.keys()
    for layer in one.keys() - {"TEXT"}:
        assert len(one[layer]) == len(other[layer])
        for a, b in zip(one[layer], other[layer], strict=True):
            assert flipped(a, width).hausdorff_distance(b) < 0.01
    said = [[word for word in found["TEXT"] if word.startswith(("UP", "DOWN"))] for found in (one, other)]
    assert said[0] == said[1]


def the_blank(bench: Any, side: str, **told: Any) -> Blank:
    zone = bench.zone(f"floor.{side}.front", role="floor", visible=False, edges=4)
    finding, shop = bench.finding(zone=zone.id, **told), bench.shop()
    options = bench.options(zone, finding)
    option = next(options[way] for way in (Method.PATCH, Method.BUTT_WELD) if options[way].feasible)
    (blank,) = blanks_of(option, zone, stock_for(0.9, zone, shop), shop.policies, (finding,))
    return blank


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.integers(60, 300), st.integers(60, 200), st.integers(1, 1000), st.integers(1, 500),
    st.integers(3, 40), st.booleans(), st.sampled_from(["along", "up"]),
)  # fmt: skip
def test_left_and_right_are_mirror_images(
    bench: Any, wide: int, tall: int, x: int, y: int, hole: int, edge: bool, run: str
) -> None:
    finding = {
        "size": f"{wide} x {tall} mm", "at": f"{x} x {y} mm", "reaches_edge": edge,
        "keep": [{"at": f"{x} x {y} mm", "hole": f"{hole} mm"}],
        "beads": {"pitch": "60 mm", "width": "16 mm", "depth": "5 mm", "run": run},
    }  # fmt: skip
    left, right = (the_blank(bench, side, **finding) for side in SIDES)
    assert (left.front_right, right.front_right) == (False, True)
    assert (left.width_mm, left.height_mm, left.mass_kg) == (right.width_mm, right.height_mm, right.mass_kg)
    drawn = [blank_dxf(one, pattern_of(one, cutting()), cutting()) for one in (left, right)]
    assert_mirror_images(*drawn, left.width_mm)


def test_words_are_not_mirrored_and_say_where_the_front_is(bench: Any) -> None:
    finding = {"size": "200 x 120 mm", "at": "300 x 60 mm", "reaches_edge": True}
    for side, arrow in (("left", "FRONT <"), ("right", "FRONT >")):
        blank = the_blank(bench, side, **finding)
        words = shapes(blank_dxf(blank, pattern_of(blank, cutting()), cutting()))["TEXT"]
        assert f"floor.{side}.front/1" in words
        assert arrow in words
        assert any(word.startswith("UP 90") for word in words)


def test_mirrored_twice_is_the_same() -> None:
    twice = PIECE.mirrored().mirrored()
    assert [v for one in twice.inside for v in one.vertices] != []
    assert Polygon(twice.outside.ring()).symmetric_difference(Polygon(PIECE.outside.ring())).area < 1e-6
    assert (twice.bends, twice.beads, twice.front) == (PIECE.bends, PIECE.beads, PIECE.front)
    assert PIECE.mirrored().marks[0].x == pytest.approx(30)
    assert PIECE.mirrored().outside.area < 0 < PIECE.mirrored().inside[0].area  # cuts keep their square side


def test_the_front_turns_with_the_piece() -> None:
    fronts = [PIECE.front]
    piece = PIECE
    for _ in range(4):
        piece = piece.turned()
        fronts.append(piece.front)
    assert fronts == [(-1, 0), (0, -1), (1, 0), (0, 1), (-1, 0)]


def test_a_right_hand_blank_is_laid_on_the_sheet_as_it_is_cut(bench: Any, car_of: Any) -> None:
    """The sheet's drawing and the blank's own show one and the same piece, not its mirror image."""
    zone = bench.zone("fender.right.rear", edges=1)
    keep = [{"at": "480 x 60 mm", "hole": "30 mm"}]
    car = car_of(zone, bench.finding(zone=zone.id, at="500 x 40 mm", reaches_edge=True, keep=keep))
    files = cut_files(car.scope().blanks, car.shop).files
    own = shapes(next(data for name, data in files.items() if name.startswith("blank_")))
    laid = shapes(next(data for name, data in files.items() if name.endswith(".dxf") and name.startswith("sheet_")))
    outline, hole = own["CUT_OUTER"][0], own["CUT_INNER"][0]
    there, gap = laid["CUT_OUTER"][0], laid["CUT_INNER"][0]
    if there.bounds[3] - there.bounds[1] > there.bounds[2] - there.bounds[0]:
        outline, hole = (transform(one, lambda points: [(-y, x) for x, y in points]) for one in (outline, hole))
    dx, dy = there.bounds[0] - outline.bounds[0], there.bounds[1] - outline.bounds[1]
    moved = transform(hole, lambda points: [(x + dx, y + dy) for x, y in points])
    assert moved.symmetric_difference(gap).area < 0.1
    # The hole was 20 mm nearer to the front than the rust's middle; seen from outside the front lies at the right.
    whole = box(*own["CUT_OUTER"][0].bounds)
    assert own["CUT_INNER"][0].centroid.x - whole.centroid.x == pytest.approx(20, abs=0.01)


def test_what_lies_across_is_not_turned(bench: Any) -> None:
    """A toe board is measured from its left edge on both sides, so both are cut as seen from behind."""
    zone = bench.zone("toe_board.right", role="floor", visible=False)
    finding, shop = bench.finding(zone=zone.id, at="200 x 150 mm"), bench.shop()
    option = bench.options(zone, finding)[Method.PATCH]
    (blank,) = blanks_of(option, zone, stock_for(0.9, zone, shop), shop.policies, (finding,))
    assert (blank.front_right, blank.across) == (False, True)
    words = shapes(blank_dxf(blank, pattern_of(blank, cutting()), cutting()))["TEXT"]
    assert "LEFT <" in words
