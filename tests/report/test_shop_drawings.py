"""Drawings for the bench: flat blanks against plain geometry, sizes written right, the order's lists right."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from soundmetal.grade.models import Level, Step
from soundmetal.record.shapes import Section
from soundmetal.record.terms import Units
from soundmetal.repair.bending import Bending
from soundmetal.repair.cutout import cutouts
from soundmetal.repair.models import Cutout
from soundmetal.report.drawings.blank import Piece, blank, scale_of
from soundmetal.report.drawings.cutout import Rust
from soundmetal.report.drawings.dimension import SCALES, scale_for
from soundmetal.report.drawings.shop_cutout import locator, shop_cutout
from soundmetal.report.drawings.view import SeenFrom, View
from soundmetal.report.language import language
from soundmetal.report.shop_blank_notes import blank_lines
from soundmetal.report.shop_order import nearest_before, runs
from soundmetal.report.shop_sizes import Sizes
from soundmetal.report.shop_telling import reminders, shop_telling, terms
from soundmetal.scope.models import Blank, Task
from soundmetal.scope.patterns.flanges import flanged
from soundmetal.scope.patterns.section import bent_section
from soundmetal.scope.sheets.pattern import pattern_of
from soundmetal.scope.sheets.settings import cutting
from soundmetal.scope.work import work_out

SIDES = ("front", "rear", "lower", "upper")
US = Sizes(language("en", Units.US, "USD"))
METRIC = Sizes(language("en", Units.METRIC, "USD"))


def both(mm: float) -> tuple[str, str]:
    return US.main(mm), US.other(mm)


def said(svg: str) -> str:
    return re.sub(r"<[^>]+>", " ", svg).replace("\u00a0", " ")


def a_blank(wide: float, tall: float, **more: Any) -> Blank:
    plain: dict[str, Any] = {
        "corner_radius_mm": 0.0,
        "gauge": 20,
        "form": "flat",
        "bends": 0,
        "bead_mm": 0,
        "mass_kg": 1,
    }
    return Blank("p/1", "p", ("F1",), wide, tall, thickness_mm=0.9, **(plain | more))


def piece(made: Blank) -> Piece:
    return Piece(made, pattern_of(made, cutting()))


BENDING = Bending(0.9, 0.9, "tested", 10)


def flanged_piece(sides: tuple[str, ...], flange: float = 15.0) -> Piece:
    flat = flanged(box(0, 0, 254, 127), sides, flange, BENDING, up=True)
    x0, y0, x1, y1 = flat.outline.bounds
    made = a_blank(
        x1 - x0, y1 - y0, flat_mm=tuple(flat.outline.exterior.coords), bend_lines=flat.bends, bends=len(flat.bends),
        section_mm=flat.section_mm, legs_mm=flat.legs_mm, family=flat.family, across_mm=flat.across_mm,
        across_legs_mm=flat.across_legs_mm,
    )  # fmt: skip
    return piece(made)


def test_a_rounded_patch_keeps_its_rounded_area() -> None:
    """Geometry: a 170 x 130 mm patch with 19 mm corners is w h - (4 - pi) r2 = 21790 mm2."""
    flat = piece(a_blank(170, 130, corner_radius_mm=19.0)).flat
    assert flat.area == pytest.approx(170 * 130 - (4 - math.pi) * 19**2, rel=2e-5)


def test_drawn_blanks_have_the_sizes_of_the_cut_list(job) -> None:
    """What is drawn flat and what the scope lists as the size to cut are worked out apart; they must agree."""
    scope = work_out(job.inspection, job.body, job.shop, job.book, job.grades, job.inspection.aim)
    shop = shop_telling(job)
    checked = 0
    for work in scope.panels:
        for cut, made in zip(work.choice.taken.geometry.cutouts, work.blanks, strict=False):
            x0, y0, x1, y1 = piece(made).flat.bounds
            assert cut.findings == made.findings
            assert (x1 - x0, y1 - y0) == pytest.approx((made.width_mm, made.height_mm), abs=0.01)
            checked += 1
    assert checked
    assert shop.jobs


def test_a_blank_says_its_sizes_in_both_units() -> None:
    svg = said(blank(piece(a_blank(254, 139.7)), US.lang, both, name="3.1", scale=5.0))
    assert "10 in" in svg
    assert "254 mm" in svg
    assert "5 1/2 in" in svg
    assert "140 mm" in svg
    assert "1 : 5" in svg
    assert "Blank 3.1, flat: 10 in by 5 1/2 in." in svg


def test_a_flanged_blank_is_drawn_flat_and_bent() -> None:
    whole = blank(
        flanged_piece(("lower", "upper")), METRIC.lang, lambda mm: (METRIC.main(mm), ""), name="1.1", scale=5
    )
    svg = said(whole)
    assert " a up 90° " in svg
    assert " b up 90° " in svg
    assert "2 bends to make. Bent, its outside legs are 15 mm, 127 mm, 15 mm." in svg
    assert "bent, seen from its right-hand end" in svg


def test_flanges_both_ways_are_drawn_bent_both_ways() -> None:
    whole = flanged_piece(("lower", "rear"))
    assert [(way.level, way.legs_mm) for way in whole.bent] == [(True, (15.0, 127.0)), (False, (254.0, 15.0))]
    svg = said(blank(whole, METRIC.lang, lambda mm: (METRIC.main(mm), ""), name="1.1", scale=5))
    assert "from its right-hand end" in svg
    assert "from its bottom edge" in svg


def test_a_right_hand_piece_is_drawn_as_it_lies() -> None:
    """The rear flange of a right-hand piece is at its left, on the flat drawing and on the bent one."""
    left = flanged_piece(("rear",))
    right = piece(replace(left.made, front_right=True))
    (across,) = right.bent
    assert across.legs_mm == left.bent[0].legs_mm[::-1]
    width = left.made.width_mm
    assert right.pattern.bends[0][0][0] == pytest.approx(width - left.pattern.bends[0][0][0])
    ends = [max(y for x, y in way.line if x < sum(p for p, _ in way.line) / len(way.line)) for way in right.bent]
    assert ends[0] > 10  # the flange stands up at the left end
    view = View(SeenFrom.OUTSIDE, True, True)
    svg = said(blank(right, METRIC.lang, lambda mm: (METRIC.main(mm), ""), name="1.1", scale=5, view=view))
    assert "front →" in svg
    assert "seen from outside" in svg


@given(st.sets(st.sampled_from(["lower", "upper"]), min_size=1))
def test_a_bent_piece_lies_level_with_its_flanges_where_they_stand(sides: set[str]) -> None:
    """Flanges that go up stand over the face; the face itself is as long as its straight part."""
    (way,) = flanged_piece(tuple(sorted(sides))).bent
    points = way.line
    low, high = min(y for _, y in points), max(y for _, y in points)
    level = [x for x, y in points if y == pytest.approx(low, abs=1e-6)]
    back = BENDING.setback_mm(90)
    assert max(level) - min(level) == pytest.approx(127 - back * len(sides), abs=0.01)
    # From the neutral line to the flange's free end: its outside size less what lies below that line.
    assert high - low == pytest.approx(15 - (1 - 0.546) * 0.9, abs=0.01)


def test_bends_beads_and_openings_are_told_to_be_scribed(job) -> None:
    shop = shop_telling(job)
    told = " ".join(str(line.unescape()) for line in blank_lines(shop, flanged_piece(("lower", "rear"))))
    # Flange 15 mm outside, tested deduction of 0.9 mm sheet (K 0.546 at the nearest radius): half of it lies inside.
    at = 15 - (2 * 1.8 - math.pi / 2 * 0.9 * 1.546) / 2
    assert told.count(f"({at:.1f}\u00a0mm) from the") == 2
    assert "Bend a, up 90°, inside radius" in told
    assert "from the bottom edge." in told
    assert "from the right edge." in told
    beaded = a_blank(
        200,
        120,
        beads_mm=(((20, 60), (180, 60)),),
        bead_size_mm=(12.7, 4.76),
        openings_mm=(((40, 20), (70, 20), (70, 40), (40, 40)),),
    )
    told = " ".join(str(line.unescape()) for line in blank_lines(shop, piece(beaded)))
    assert "Bead lines 2\u00a03/8\u00a0in (60\u00a0mm) from the bottom edge, 13/16" in told
    assert "(20\u00a0mm) to" in told
    assert "Each 1/2\u00a0in (12.7\u00a0mm) wide" in told
    assert "its middle 2\u00a03/16\u00a0in (55\u00a0mm) from the left edge" in told


def test_every_leg_of_a_drawn_section_has_its_size() -> None:
    hat = Section.model_validate(
        {"legs": ["20 mm", "35 mm", "60 mm", "35 mm", "20 mm"],
         "bends": [{"through": 90, "way": way} for way in ("down", "up", "up", "down")]}
    )  # fmt: skip
    flat = bent_section(box(0, 0, 300, 80), hat, BENDING, ("F1",))
    made = a_blank(300, 160, flat_mm=tuple(flat.outline.exterior.coords), bend_lines=flat.bends, family=flat.family,
                   section_mm=flat.section_mm, legs_mm=flat.legs_mm)  # fmt: skip
    svg = said(blank(piece(made), METRIC.lang, lambda mm: (METRIC.main(mm), ""), name="1.1", scale=5))
    assert "its outside legs are 20 mm, 35 mm, 60 mm, 35 mm, 20 mm" in svg
    assert [svg.count(f" {size} mm ") for size in (20, 35, 60)] == [2, 2, 1]


def test_measured_rust_is_hatched_in_its_own_shape() -> None:
    cut = Cutout(box(0, 0, 200, 100), ("F1",), 0.0, 600.0, True)
    whole = Rust((20, 20, 180, 80), Level.SPENT)
    shaped = Rust((20, 20, 180, 80), Level.SPENT, Polygon([(20, 20), (180, 20), (20, 80)]))
    drawn = [str(shop_cutout(cut, [one], US.lang, both, name="1.1", scale=2.0)) for one in (whole, shaped)]
    assert drawn[0] != drawn[1]
    assert shaped.polygon.area == whole.polygon.area / 2


def test_a_cut_out_says_sizes_radius_and_where_it_runs_out() -> None:
    cut = Cutout(box(100, 0, 354, 127), ("F1",), 254.0, 508.0, True, ("lower",))
    svg = said(shop_cutout(cut, [], US.lang, both, name="1.1", scale=5.0, radius_mm=19.05))
    assert "10 in" in svg
    assert "R 3/4 in" in svg
    assert "runs out at these sides of the panel: lower" in svg


def test_the_panel_shows_where_an_opening_lies() -> None:
    cut = Cutout(box(254, 50.8, 354, 127), ("F1",), 0.0, 300.0, True)
    svg = said(locator((1000.0, 300.0), [("1.1", cut)], US.lang, both))
    assert "10 in" in svg
    assert "2 in" in svg


def test_a_place_that_nobody_wrote_down_gets_no_dimension() -> None:
    cut = Cutout(box(254, 50.8, 354, 127), ("F1",), 0.0, 300.0, False)
    svg = said(locator((1000.0, 300.0), [("1.1", cut)], US.lang, both))
    assert "10 in" not in svg
    assert "1.1: measure its place on the car." in svg


@given(st.floats(1, 5000), st.floats(1, 2000))
def test_a_drawing_fits_its_room(wide: float, tall: float) -> None:
    scale = scale_for(wide, tall, (54.0, 26.0))
    assert wide / scale <= 54.0 + 1e-6
    assert tall / scale <= 26.0 + 1e-6
    assert scale in SCALES or scale > SCALES[-1]


def test_one_scale_for_all_pieces() -> None:
    assert scale_of([box(0, 0, 100, 50), box(0, 0, 500, 50)]) == scale_of([box(0, 0, 500, 50)])


@pytest.mark.parametrize(
    ("mm", "inches", "metric"),
    [
        (25.4, "1 in", "25 mm"),
        (304.8, "12 in", "305 mm"),
        (1587.5, "62 1/2 in", "1,588 mm"),
        (3.175, "1/8 in", "3.2 mm"),
    ],
)
def test_lengths_by_the_exact_inch(mm: float, inches: str, metric: str) -> None:
    """25.4 mm to the inch, exact (international yard and pound agreement, 1959); never feet, never metres."""
    assert (US.main(mm).replace("\u00a0", " "), US.other(mm).replace("\u00a0", " ")) == (inches, metric)
    assert METRIC.main(mm) == US.other(mm)


def test_measures_by_the_exact_pound_and_quart() -> None:
    """Exact by definition: 0.45359237 kg a pound, 0.946352946 l a US quart, 28.316846592 l a cubic foot."""
    assert US.mass(0.45359237).replace("\u00a0", " ") == "1.0 lb"
    assert US.amount(0.946352946, "l").replace("\u00a0", " ") == "1.0 qt"
    assert US.amount(28.316846592 * 10, "l", gas=True).replace("\u00a0", " ") == "10.0 cu ft"
    assert METRIC.amount(2.25, "l").replace("\u00a0", " ") == "2.3 l"
    assert US.amount(2.01, "each") == "3"


def _task(name: str, *after: str) -> Task:
    return Task(name, Step("x", {}, ""), "", (), 1.0, 0.0, 1.0, after)


def test_the_order_names_only_what_comes_right_before() -> None:
    tasks = [_task("a"), _task("b", "a"), _task("c", "a", "b"), _task("d", "a"), _task("e", "a", "b", "c", "d")]
    direct = nearest_before(tasks)
    assert direct["c"] == {"b"}
    assert direct["e"] == {"c", "d"}


@given(st.sets(st.integers(1, 60), max_size=30))
def test_runs_say_every_number_once(numbers: set[int]) -> None:
    found: list[int] = []
    for part in filter(None, runs(numbers).split(", ")):
        low, _, high = part.partition("–")
        found += range(int(low), int(high or low) + 1)
    assert found == sorted(numbers)


def test_reminders_are_sourced_and_their_ids_are_unique() -> None:
    ids = [one.id for one in reminders()]
    assert len(ids) == len(set(ids))
    assert all(one.source for one in reminders())


def test_every_driver_of_the_scope_can_be_said(job) -> None:
    scope = work_out(job.inspection, job.body, job.shop, job.book, job.grades, job.inspection.aim)
    drivers = {o.driver for work in scope.panels for o in work.operations if o.kind != "access"}
    assert drivers <= set(terms())
    assert {entry.unit for entry in job.shop.consumables.values()} <= {*terms(), "each"}


def test_cut_outs_of_the_scope_are_in_panel_coordinates(job) -> None:
    finding = next(g.finding for g in job.grades.findings if g.finding.id == "F04")
    (cut,) = cutouts((finding,), job.body.by_id[finding.zone], job.shop.policies)
    x0, _, x1, _ = cut.outline.bounds
    assert (x0 + x1) / 2 == pytest.approx(finding.at[0])
