"""Pieces of a panel that is usually bent the same way: cut down to the opening, never without a template."""

from __future__ import annotations

import io
import math
from typing import Any

import ezdxf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, box

from soundmetal.calc.profile import fold_up, lay_flat
from soundmetal.car.catalogue import bodies, body
from soundmetal.car.models import Zone
from soundmetal.repair.bending import Bending, bending_of
from soundmetal.repair.models import Cutout, Method
from soundmetal.repair.profile import profile_of
from soundmetal.scope.blanks import blanks_of, stock_for
from soundmetal.scope.dxf.blank import blank_dxf
from soundmetal.scope.models import Blank
from soundmetal.scope.patterns.section import onto_legs, usual_section
from soundmetal.scope.sheets.pattern import pattern_of
from soundmetal.scope.sheets.settings import cutting

PROFILE = {
    "legs_mm": (45.0, 110.0, 45.0),
    "bends": ({"through": 80.0, "way": "down"}, {"through": 80.0, "way": "down"}),
    "flanges": ({"through": 80.0, "way": "up"}, {"through": 80.0, "way": "up"}),
    "source": "common practice, no source",
    "confidence": "from memory",
}
BENDING = Bending(0.9, 0.9, "tested", 10)


@pytest.fixture
def rocker(bench: Any) -> Zone:
    zone: Zone = bench.zone(
        "rocker.left.outer", size_mm=(1250.0, 200.0), edges=2, shape="single curve", construction="closed box",
        profile=PROFILE,
    )  # fmt: skip
    return zone


def cut(low: float, high: float, *ends: str) -> Cutout:
    return Cutout(box(100, low, 400, high), ("F1",), 0.0, 0.0, True, ends)


def blank_of(bench: Any, zone: Zone, **told: Any) -> Blank:
    finding, shop = bench.finding(zone=zone.id, **told), bench.shop()
    options = bench.options(zone, finding)
    option = next(options[way] for way in (Method.PATCH, Method.BUTT_WELD) if options[way].feasible)
    (blank,) = blanks_of(option, zone, stock_for(0.9, zone, shop), shop.policies, (finding,))
    assert option.geometry.bends == len(blank.bend_lines)
    return blank


@pytest.mark.parametrize(
    ("opening", "legs", "low"),
    [
        (cut(0, 100, "lower"), (15, 45, 55), -15),  # underside and half of the face
        (cut(0, 200, "lower", "upper"), (15, 45, 110, 45, 15), -15),
        (cut(20, 120), (25, 75), 20),
        (cut(120, 200, "upper"), (35, 45, 15), 120),
        (cut(0, 50, "lower"), (15, 45, 10), -15),  # 5 mm beyond the bend: left long for the brake
        (cut(42, 120), (10, 75), 35),
    ],
)
def test_the_profile_is_cut_down_to_the_opening(
    rocker: Zone, opening: Cutout, legs: tuple[float, ...], low: float
) -> None:
    found = profile_of(rocker, opening, 15.0, 10.0)
    assert found is not None
    assert found.legs_mm == pytest.approx(legs)
    assert found.low_mm == pytest.approx(low)
    assert len(found.bends) == len(legs) - 1


def test_a_patch_on_one_leg_stays_flat(rocker: Zone, bench: Any) -> None:
    assert profile_of(rocker, cut(60, 140), 15.0) is None
    assert profile_of(rocker, cut(0, 100, "lower", "front"), 15.0) is None
    assert profile_of(bench.zone(), cut(0, 100, "lower"), 15.0) is None


def test_a_panel_of_another_height_has_the_same_profile_in_proportion(rocker: Zone) -> None:
    low = rocker.model_copy(update={"size_mm": (1250.0, 100.0)})
    found = profile_of(low, cut(0, 100, "lower", "upper"), 15.0)
    assert found is not None
    assert found.legs_mm == pytest.approx((15, 22.5, 55, 22.5, 15))


def test_part_of_a_rocker_is_bent_as_the_whole_one_without_a_measured_section(rocker: Zone, bench: Any) -> None:
    blank = blank_of(bench, rocker, size="300 x 70 mm", at="500 x 40 mm", reaches_edge=True)
    assert (blank.family, blank.template_first) == ("section", True)
    assert blank.legs_mm == pytest.approx((15, 45, 55))
    assert [(bend.bent_deg, bend.up) for bend in blank.bend_lines] == [(80, True), (80, False)]
    thick = blank.thickness_mm
    takes = math.radians(80) * (thick + 0.546 * thick)
    assert blank.height_mm == pytest.approx(15 + 45 + 55 - 2 * (2 * math.tan(math.radians(40)) * 2 * thick - takes))
    assert any("Template on the car" in note.text for note in blank.notes)
    words = [
        one.dxf.text
        for one in ezdxf.read(
            io.StringIO(blank_dxf(blank, pattern_of(blank, cutting()), cutting()).decode())
        ).modelspace().query("TEXT")
    ]  # fmt: skip
    assert "TEMPLATE FIRST" in words
    # Corners in the field are as round as the opening's.
    rounded = [v for v in pattern_of(blank, cutting()).outside.vertices if v.bulge]
    assert len(rounded) == 2


def test_a_measured_section_goes_before_the_usual_one(rocker: Zone, bench: Any) -> None:
    section = {"legs": ["40 mm", "60 mm"], "bends": [{"through": 70}]}
    blank = blank_of(bench, rocker, size="300 x 70 mm", at="500 x 40 mm", reaches_edge=True, section=section)
    assert (blank.legs_mm, blank.template_first) == ((40, 60), False)


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 90), st.floats(100, 200), st.booleans(), st.booleans(), st.floats(0.6, 1.6))
def test_a_usual_section_folds_back_to_its_outside_sizes(
    low: float, high: float, lower: bool, upper: bool, thick: float
) -> None:
    """Fold the flat strip up again and measure its legs on the outside, between the corners of the outer faces."""
    usual = Zone.model_construct(profile=_usual(), size_mm=(1250.0, 200.0))
    ends = (("lower",) if lower else ()) + (("upper",) if upper else ())
    bending = Bending(thick, thick, "din", 10.0)
    profile = profile_of(
        usual, cut(0 if lower else low, 200 if upper else high, *ends), 15.0, bending.least_flange_mm
    )
    if profile is None:
        return
    flat = usual_section(box(100, 0 if lower else low, 400, 200 if upper else high), profile, bending)
    assert flat is not None
    takes = [bending.allowance_mm(bend.bent_deg) for bend in flat.bends]
    backs = [0.0, *(bending.setback_mm(bend.bent_deg) for bend in flat.bends), 0.0]
    at = [flat.outline.bounds[1], *(bend.start[1] for bend in flat.bends), flat.outline.bounds[3]]
    halves = [0.0, *(one / 2 for one in takes), 0.0]
    for number, leg in enumerate(profile.legs_mm):
        straight = at[number + 1] - at[number] - halves[number] - halves[number + 1]
        assert straight + backs[number] + backs[number + 1] == pytest.approx(leg, abs=0.05)


def _usual() -> Any:
    zone = body("pickup", "frame").by_id["rocker.left.outer"]
    assert zone.profile is not None
    return zone.profile


def test_openings_to_keep_are_cut_into_bent_pieces(rocker: Zone, bench: Any) -> None:
    """A drain in the underside and one in the face: each lies on its leg, as far from the bend as on the car."""
    keep = [{"at": "450 x 20 mm", "hole": "12 mm"}, {"at": "520 x 75 mm", "hole": "20 mm"}]
    blank = blank_of(bench, rocker, size="300 x 70 mm", at="500 x 40 mm", reaches_edge=True, keep=keep)
    assert len(blank.openings_mm) == 2
    thick = blank.thickness_mm
    back, half = math.tan(math.radians(40)) * 2 * thick, math.radians(80) * thick * 1.546 / 2
    drain, face = (sum(y for _, y in one[:-1]) / (len(one) - 1) for one in blank.openings_mm)
    flange, edge = (bend.start[1] for bend in blank.bend_lines)
    # 20 mm above the lower edge outside is 20 - setback from the end of the bend.
    assert drain - flange == pytest.approx(20 - back + half, abs=0.01)
    assert face - edge == pytest.approx(75 - 45 - back + half, abs=0.01)
    assert len(pattern_of(blank, cutting()).inside) == 2


def test_an_opening_on_a_bend_is_taken_from_the_car(rocker: Zone, bench: Any) -> None:
    keep = [{"at": "450 x 45 mm", "hole": "12 mm"}]
    blank = blank_of(bench, rocker, size="300 x 70 mm", at="500 x 40 mm", reaches_edge=True, keep=keep)
    assert blank.openings_mm == ()
    assert any("crosses the cut line or a bend" in note.text for note in blank.notes)


def test_openings_in_a_measured_hat_count_along_its_outside(bench: Any) -> None:
    hat = {
        "legs": ["20 mm", "35 mm", "60 mm", "35 mm", "20 mm"],
        "bends": [{"through": 90, "way": way} for way in ("down", "up", "up", "down")],
    }
    zone = bench.zone(role="floor", visible=False)
    low = 250 - 80 / 2 - 25  # lower edge of the opening: rust 80 mm high round 250 mm, margin 25 mm
    keep = [{"at": f"500 x {low + 20 + 35 + 30} mm", "hole": "20 mm"}, {"at": "500 x 20 mm", "hole": "20 mm"}]
    blank = blank_of(bench, zone, section=hat, at="500 x 250 mm", keep=keep)
    (opening,) = blank.openings_mm
    middle = sum(y for _, y in opening[:-1]) / (len(opening) - 1)
    # In the middle of the hat's top, so half-way between its two bends.
    assert middle == pytest.approx((blank.bend_lines[1].start[1] + blank.bend_lines[2].start[1]) / 2, abs=0.01)
    assert not any("crosses" in note.text for note in blank.notes)


def test_a_hole_near_a_bend_of_a_section_is_told(rocker: Zone, bench: Any) -> None:
    keep = [{"at": "450 x 39 mm", "hole": "6 mm"}]
    blank = blank_of(bench, rocker, size="300 x 70 mm", at="500 x 40 mm", reaches_edge=True, keep=keep)
    assert len(blank.openings_mm) == 1
    assert any("drill it after bending" in note.text for note in blank.notes)


def test_an_opening_beyond_the_piece_is_not_its_own() -> None:
    profile = profile_of(Zone.model_construct(profile=_usual(), size_mm=(1250.0, 200.0)), cut(0, 100, "lower"), 15.0)
    assert profile is not None
    flat = usual_section(box(100, 0, 400, 100), profile, BENDING)
    assert flat is not None
    assert onto_legs(Point(395, 20).buffer(10), flat) is None
    assert onto_legs(Point(250, 150).buffer(10), flat) is None


def test_every_rocker_of_the_catalogue_can_be_bent(bench: Any) -> None:
    """On every body the usual profile folds with the default brake and does not run into itself."""
    for name, structures in bodies():
        for structure in structures:
            found = [zone for zone in body(name, structure).zones if zone.profile is not None]
            assert {zone.id for zone in found} == {"rocker.left.outer", "rocker.right.outer"}
            for zone in found:
                bending = bending_of(bench.shop().policies, zone.thickness.mm)
                whole = Cutout(box(0, 0, *zone.size_mm), ("F1",), 0.0, 0.0, True, ("lower", "upper"))
                profile = profile_of(zone, whole, bench.shop().policies.flange)
                assert profile is not None
                folds = [bending.fold(b.through, None, up=b.way == "up") for b in profile.bends]
                line = fold_up(lay_flat(profile.legs_mm, folds, bending.thickness_mm))
                start, end = line[0], line[-1]
                # Both flanges stand in one plane, as on any rocker: their lines are parallel and meet at the ends.
                way = math.atan2(line[1][1] - start[1], line[1][0] - start[0])
                last = math.atan2(end[1] - line[-2][1], end[0] - line[-2][0])
                assert way == pytest.approx(last, abs=1e-6)
                assert end[1] - start[1] == pytest.approx(0, abs=0.5)
