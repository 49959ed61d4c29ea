"""Flat patterns by family: what is cut folds to what was wanted; what cannot be bent is named with its finding."""

from __future__ import annotations

import io
import itertools
import math
from typing import Any

import ezdxf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon, box

from soundmetal.calc.bead import beaded_section
from soundmetal.errors import RecordError
from soundmetal.record.shapes import Section
from soundmetal.repair.bending import Bending, bending_of
from soundmetal.scope.blanks import FLANGE
from soundmetal.scope.cut_files import cut_files
from soundmetal.scope.models import Blank, Scope
from soundmetal.scope.patterns.flanges import flanged
from soundmetal.scope.patterns.section import bent_section
from soundmetal.scope.sheets.pattern import pattern_of
from soundmetal.scope.sheets.settings import cutting

SIDES = ("lower", "upper", "front", "rear")
RULES = st.sampled_from(["tested", "handbook", "din"])


def bent(thickness: float = 0.9, radius: float = 0.9, rule: str = "tested") -> Bending:
    return Bending(thickness, radius, rule, 10.0)


def only(scope: Scope) -> Blank:
    (blank,) = scope.blanks
    return blank


def said(blank: Blank) -> str:
    return " ".join(step.text for step in blank.notes)


@given(
    st.floats(60, 900), st.floats(60, 500), st.sets(st.sampled_from(SIDES), min_size=1), st.floats(10, 40),
    st.floats(0.6, 2.0), st.floats(0.5, 4), RULES,
)  # fmt: skip
def test_a_flanged_blank_folds_back_to_its_outside_sizes(
    wide: float, tall: float, sides: set[str], flange: float, thickness: float, radius: float, rule: str
) -> None:
    """Outside flange = edge to bend line + setback - half the allowance; the main face likewise between its lines."""
    bending = bent(thickness, radius, rule)
    if flange <= bending.setback_mm(90) + 0.5:
        return
    flat = flanged(box(0, 0, wide, tall), tuple(sides), flange, bending, up=False)
    x0, y0, x1, y1 = flat.outline.bounds
    add = bending.setback_mm(90) - bending.allowance_mm(90) / 2
    edges = {"lower": y0, "upper": y1, "front": x0, "rear": x1}
    lines = {}
    for side, bend in zip([s for s in SIDES if s in sides], flat.bends, strict=True):
        lines[side] = bend.start[1] if side in ("lower", "upper") else bend.start[0]
        assert abs(edges[side] - lines[side]) + add == pytest.approx(flange, abs=0.05)
    for low, high, size in (("lower", "upper", tall), ("front", "rear", wide)):
        start, end = lines.get(low, 0.0), lines.get(high, size)
        assert end - start + add * sum(s in lines for s in (low, high)) == pytest.approx(size, abs=0.05)
    assert flat.outline.is_valid


@given(st.floats(0.6, 2.0), RULES)
def test_where_two_flanges_meet_neither_lies_in_the_others_bend(thickness: float, rule: str) -> None:
    bending = bent(thickness, thickness, rule)
    flat = flanged(box(0, 0, 300, 200), ("lower", "front"), 20, bending, up=False)
    back = bending.setback_mm(90)
    assert flat.relieved
    assert not flat.outline.intersects(Point(back, back).buffer(bending.relief_mm / 2 - 0.01))
    assert flat.outline.intersection(box(-30, -30, back - 1e-6, back - 1e-6)).area == pytest.approx(0, abs=1e-6)
    lower, front = flat.bends
    assert lower.start[0] == pytest.approx(back)
    assert front.start[1] == pytest.approx(back)


HAT = {
    "kind": "hat",
    "legs": ["20 mm", "35 mm", "60 mm", "35 mm", "20 mm"],
    "bends": [{"through": 90, "way": way} for way in ("down", "up", "up", "down")],
}


def test_a_hat_section_is_made_as_measured(bench: Any, car_of: Any) -> None:
    brace = bench.zone(role="floor", visible=False)
    blank = only(car_of(brace, bench.finding(section=HAT, at="500 x 250 mm")).scope())
    # Deduction of each bend: 2 (R + T) - pi/2 (R + K T), R = T = 0.912 mm, K 0.546 (tested, published-read).
    deduction = 2 * 2 * 0.912 - math.pi / 2 * 0.912 * 1.546
    assert (blank.width_mm, blank.height_mm) == pytest.approx((170, 170 - 4 * deduction), abs=0.001)
    assert [bend.up for bend in blank.bend_lines] == [False, True, True, False]
    assert (blank.bends, blank.family, blank.beads_mm) == (4, "section", ())
    assert blank.legs_mm == (20, 35, 60, 35, 20)
    assert FLANGE not in blank.grain_note


@pytest.mark.parametrize(
    ("legs", "bends", "words"),
    [
        (["5 mm", "40 mm"], [90], "leg 1 of the section is 5 mm, shorter than the brake can take"),
        (["40 mm", "40 mm"], [180], "F4: the section cannot be bent: a bend through 180 degrees"),
        (["40 mm", "40 mm"], [270], "F4: the section cannot be bent"),
        (["40 mm", "1 mm", "40 mm"], [90, 90], "leg 2 of 1 mm is shorter"),
        (["60 mm", "20 mm", "20 mm", "60 mm"], [90, 90, 90], "F4: the legs of the section run into each other"),
    ],
)
def test_a_section_that_cannot_be_bent_is_named(legs: list[str], bends: list[float], words: str) -> None:
    section = Section.model_validate({"legs": legs, "bends": [{"through": deg} for deg in bends]})
    with pytest.raises(RecordError, match=words) as error:
        bent_section(box(0, 0, 300, 100), section, bent(), ("F4",))
    assert "F4" in str(error.value)


def test_a_box_section_closes() -> None:
    shape = {"legs": ["15 mm", "50 mm", "80 mm", "50 mm", "79 mm"], "bends": [{"through": 90}] * 4}
    with pytest.raises(RecordError, match="run into each other"):
        bent_section(box(0, 0, 300, 100), Section.model_validate(shape), bent(), ("F4",))
    shape["legs"] = ["76 mm", "50 mm", "80 mm", "50 mm"]
    flat = bent_section(
        box(0, 0, 300, 100), Section.model_validate(shape | {"bends": [{"through": 90}] * 3}), bent(), ("F4",)
    )
    assert len(flat.bends) == 3


def test_the_rule_is_the_shops_to_choose(bench: Any) -> None:
    """BND-14 by test, the stock formula by the handbook, BND-07 by DIN 6935: three allowances for one bend."""
    policies = bench.shop({"policies": {"bend_radius": "1 mm", "bend_rule": "din"}}).policies
    din = bending_of(policies, 1.0)
    assert din.deduction_mm(90) == pytest.approx(1.9187, abs=0.002)  # DIN 6935, from memory
    tested = Bending(0.048 * 25.4, 0.030 * 25.4, "tested", 10)
    assert tested.deduction_mm(90) / 25.4 == pytest.approx(0.072, abs=0.001)  # published-read
    assert bent(3.175, 9.525, "handbook").allowance_mm(180) == pytest.approx((0.71 * 3.175 + 1.57 * 9.525) * 2)
    # Thinner than any tested sheet: the handbook's factor as K = 2 y / pi.
    assert bent(0.5, 0.5).allowance_mm(90) == pytest.approx(math.pi / 2 * (0.5 + 2 * 0.71 / math.pi * 0.5))


def test_openings_to_keep_are_cut_into_the_blank(bench: Any, car_of: Any) -> None:
    keep = [{"at": "480 x 240 mm", "hole": "30 mm"}, {"at": "540 x 260 mm", "size": "40 x 20 mm"}]
    plain = only(car_of(bench.zone(), bench.finding(at="500 x 250 mm")).scope())
    blank = only(car_of(bench.zone(), bench.finding(at="500 x 250 mm", keep=keep)).scope())
    pattern = pattern_of(blank, cutting())
    assert len(pattern.inside) == 2
    gone = (plain.mass_kg - blank.mass_kg) / (0.912 * 7.85e-6)
    assert gone == pytest.approx(math.pi * 225 + 800, rel=1e-3)
    assert pattern.area_mm2 == pytest.approx(blank.mass_kg / (0.912 * 7.85e-6), rel=1e-3)


def test_an_opening_across_the_cut_line_is_told(bench: Any, car_of: Any) -> None:
    keep = [{"at": "415 x 250 mm", "hole": "30 mm"}]
    blank = only(car_of(bench.zone(), bench.finding(at="500 x 250 mm", keep=keep)).scope())
    assert blank.openings_mm == ()
    assert "crosses the cut line" in said(blank)


def test_a_hole_near_a_bend_is_drilled_after(bench: Any, car_of: Any) -> None:
    keep = [{"at": "500 x 8 mm", "hole": "10 mm"}]
    blank = only(car_of(bench.zone(), bench.finding(at="500 x 40 mm", reaches_edge=True, keep=keep)).scope())
    assert "drill it after bending" in said(blank)


def test_a_section_in_a_compound_panel_is_bent_not_shaped(bench: Any, car_of: Any) -> None:
    brace = bench.zone(shape="compound", role="floor", visible=False)
    scope = car_of(brace, bench.finding(section=HAT, at="500 x 250 mm")).scope()
    kinds = {operation.kind for panel in scope.panels for operation in panel.operations}
    assert only(scope).form == "flat"
    assert {"bend", "form_flat"} <= kinds
    assert not {"form_compound", "form_single_curve"} & kinds


def test_a_compound_shape_is_a_rough_blank(bench: Any, car_of: Any) -> None:
    blank = only(car_of(bench.zone(shape="compound"), bench.finding()).scope())
    assert (blank.width_mm, blank.height_mm) == pytest.approx((170 + 30, 130 + 30), abs=0.01)
    assert (blank.family, blank.bend_lines) == ("rough", ())
    assert "Rough blank" in said(blank)


def test_a_flange_too_short_for_the_brake_is_told(bench: Any, car_of: Any) -> None:
    low = bench.finding(at="500 x 40 mm", reaches_edge=True)
    blank = only(car_of(bench.zone(), low, shop={"policies": {"flange": "6 mm"}}).scope())
    assert "shorter than the brake can take" in said(blank)
    fine = only(car_of(bench.zone(), low).scope())
    assert "shorter than the brake" not in said(fine)


FACTORY = {"pitch": "76.2 mm", "width": "12.7 mm", "depth": "6.35 mm"}


def test_factory_beads_are_laid_and_draw_the_sheet_in(bench: Any, car_of: Any) -> None:
    wide = bench.finding(size="400 x 230 mm", at="900 x 500 mm", beads=FACTORY)
    blank = only(car_of(bench.zone(visible=False, size_mm=(2000.0, 1000.0)), wide).scope())
    # 280 mm high: room for three at 76.2 mm once 26.35 mm are kept free at either side; each draws in 0.2854 in.
    assert len(blank.beads_mm) == 3
    assert blank.height_mm == pytest.approx(280 + 3 * 0.2854 * 25.4, abs=0.02)
    at = [start[1] for start, _ in blank.beads_mm]
    assert [b - a for a, b in itertools.pairwise(at)] == pytest.approx([76.2 + 0.2854 * 25.4] * 2, abs=0.02)
    flat = Polygon(blank.flat_mm)
    for start, end in blank.beads_mm:
        assert min(flat.exterior.distance(Point(start)), flat.exterior.distance(Point(end))) >= 20 + 6.35 - 0.01
    assert blank.bead_mm == pytest.approx(sum(math.dist(*line) for line in blank.beads_mm), abs=0.01)
    stiff = next(step for step in blank.notes if "times" in step.values)
    # BED-02 by hand for this sheet (half ring, wall bending left out): parallel axes, textbook.
    t, r, pitch = blank.thickness_mm, 6.35, 76.2
    ring, rest = math.pi * r * t, (pitch - 12.7) * t
    up = ring * (2 * r / math.pi) / (ring + rest)
    own = r**3 * t * (math.pi / 2 - 4 / math.pi) + ring * (2 * r / math.pi - up) ** 2
    times = (own + (pitch - 12.7) * t**3 / 12 + rest * up**2) / (pitch * t**3 / 12)
    assert float(str(stiff.values["times"])) == pytest.approx(times, abs=1)
    assert "take a deeper die" in said(blank)


def test_beads_of_the_shops_own_die_come_up_to_the_factorys(bench: Any, car_of: Any) -> None:
    sparse = FACTORY | {"pitch": "200 mm"}
    wide = bench.finding(size="400 x 230 mm", at="900 x 500 mm", beads=sparse)
    blank = only(car_of(bench.zone(visible=False, size_mm=(2000.0, 1000.0)), wide).scope())
    step = next(step for step in blank.notes if "is as stiff as the factory's" in step.text)
    pitch = float(str(step.values["pitch_mm"]))
    own = beaded_section(pitch, 12.7, 4.76, 0.912).inertia_mm4 / pitch
    theirs = beaded_section(200, 12.7, 6.35, 0.912).inertia_mm4 / 200
    assert own == pytest.approx(theirs, rel=1e-6)
    assert pitch < 200


def test_beads_run_up_where_the_factorys_do(bench: Any, car_of: Any) -> None:
    wide = bench.finding(size="400 x 230 mm", at="900 x 500 mm", beads=FACTORY | {"run": "up"})
    blank = only(car_of(bench.zone(visible=False, size_mm=(2000.0, 1000.0)), wide).scope())
    assert all(start[0] == pytest.approx(end[0]) for start, end in blank.beads_mm)
    assert blank.width_mm == pytest.approx(450 + len(blank.beads_mm) * 0.2854 * 25.4, abs=0.05)


def test_a_mounting_of_unknown_place_is_told(bench: Any, car_of: Any) -> None:
    near = {"kind": "engine", "distance": "40 mm"}
    blank = only(car_of(bench.zone(), bench.finding(mounting=near, at="300 x 250 mm")).scope())
    step = next(step for step in blank.notes if "mounting_word" in step.values)
    assert step.values == {"mounting_word": "engine", "near_mm": 40, "clear_mm": 30}


def test_the_drawing_tells_way_angle_and_radius(bench: Any, car_of: Any) -> None:
    car = car_of(bench.zone(role="floor", visible=False), bench.finding(section=HAT, at="500 x 250 mm"))
    blank = only(car.scope())
    files = cut_files([blank], car.shop).files
    data = next(text for name, text in files.items() if name.startswith("blank_") and name.endswith(".dxf"))
    doc = ezdxf.read(io.StringIO(data.decode()))
    space = doc.modelspace()
    lines = [e for e in space if e.dxf.layer == "BEND"]
    words = [e.dxf.text for e in space.query("TEXT")]
    assert len(lines) == 4
    assert words.count("DOWN 90 R 0.912") == 2
    assert words.count("UP 90 R 0.912") == 2
    assert not doc.audit().errors


@settings(max_examples=30)
@given(st.lists(st.tuples(st.floats(20, 80), st.booleans()), min_size=2, max_size=5))
def test_bend_lines_stay_in_order_on_the_pattern(bends: list[tuple[float, bool]]) -> None:
    section = Section.model_validate(
        {"legs": ["60 mm"] * (len(bends) + 1),
         "bends": [{"through": deg, "way": "up" if up else "down"} for deg, up in bends]}
    )  # fmt: skip
    try:
        flat = bent_section(box(100, 50, 400, 90), section, bent(), ("F1",))
    except RecordError:
        return  # Random legs may run into each other; the property is of those that do not.
    size = flat.outline.bounds
    blank = Blank(
        "p/1", "p", ("F1",), 300, size[3] - size[1], 0, 0.9, 20, "flat", len(bends), 0, 1,
        flat_mm=tuple(flat.outline.exterior.coords), bend_lines=flat.bends,
    )  # fmt: skip
    pattern = pattern_of(blank, cutting())
    at = [start[1] for start, _ in pattern.bends]
    assert at == sorted(at)
    assert at == pytest.approx([bend.start[1] - 50 for bend in flat.bends])


def test_a_flat_place_in_a_compound_panel_is_no_rough_blank(bench: Any, car_of: Any) -> None:
    """Its flange is drawn and bent, and once beaded its outside sizes are the opening's."""
    pan = bench.zone(shape="compound", role="floor", visible=False, size_mm=(650.0, 580.0), edges=2)
    told = {"size": "160 x 110 mm", "at": "380 x 70 mm", "form": "flat"}
    beads = {"pitch": "90 mm", "width": "16 mm", "depth": "5 mm"}
    blank = only(car_of(pan, bench.finding(**told, beads=beads)).scope())
    assert (blank.family, blank.form, len(blank.bend_lines), len(blank.beads_mm)) == ("flanged", "flat", 1, 2)
    assert blank.legs_mm == pytest.approx((15, 150))
    # Arc less chord of a bead 16 mm wide and 5 mm deep, by hand: radius 8.9 mm.
    arc = 2 * 8.9 * math.asin(8 / 8.9)
    deduction = 2 * 2 * 0.912 - math.pi / 2 * 0.912 * 1.546
    assert blank.height_mm == pytest.approx(150 + 15 - deduction + 2 * (arc - 16), abs=0.01)
    assert blank.bead_size_mm == (16, 5)
