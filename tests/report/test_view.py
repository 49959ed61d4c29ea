"""Right-hand panels are drawn as seen by who stands before the car; distances still count from the front."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest
from shapely.geometry import box

from soundmetal.record.terms import Units
from soundmetal.repair.models import Cutout
from soundmetal.repair.practice import practice
from soundmetal.report.drawings.bent import Bent, folded
from soundmetal.report.drawings.dimension import SMALL_MM, Field
from soundmetal.report.drawings.shop_cutout import locator, shop_cutout
from soundmetal.report.drawings.svg import Drawing
from soundmetal.report.drawings.view import SeenFrom, View, view_of
from soundmetal.report.language import language, languages
from soundmetal.report.shop_fit import MM_PER_PT, width_mm

EN = language("en", Units.METRIC, "USD")
SVG = "{http://www.w3.org/2000/svg}"
#: An opening 100 mm from the front of a panel of 1000 x 200 mm, 200 mm long.
CUT = Cutout(box(100, 20, 300, 120), ("F1",), 600.0, 600.0, True)


def both(mm: float) -> tuple[str, str]:
    return f"{mm:.0f} mm", f"{mm / 25.4:.1f} in"


def words(svg: str) -> list[str]:
    return [text.text or "" for text in ET.fromstring(svg).iter(f"{SVG}text")]


def middle_of_opening(svg: str) -> float:
    """Give the middle of the dashed outline, in mm on paper."""
    dashed = [p for p in ET.fromstring(svg).iter(f"{SVG}path") if p.get("stroke-dasharray", "").startswith("2.4")]
    xs = [float(x) for x, _ in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", dashed[0].get("d", ""))]
    return (min(xs) + max(xs)) / 2


@pytest.mark.parametrize(
    ("zone", "skin", "flat", "view"),
    [
        ("rocker.left.outer", True, False, View(SeenFrom.OUTSIDE, True, False)),
        ("rocker.right.outer", True, False, View(SeenFrom.OUTSIDE, True, True)),
        ("rocker.right.inner", False, False, View(SeenFrom.OUTSIDE, True, True)),
        ("rocker.left.inner", False, False, View(SeenFrom.OUTSIDE, True, False)),
        ("firewall", False, False, View(SeenFrom.PLAIN, False, False)),
        ("floor.right.front", False, True, View(SeenFrom.ABOVE, True, True)),
        ("bed_floor.front", False, True, View(SeenFrom.ABOVE, False, False)),
    ],
)
def test_views(zone: str, skin: bool, flat: bool, view: View) -> None:
    assert view_of(zone, skin=skin, flat=flat) == view


@pytest.mark.parametrize("zone", ["toe_board.left", "toe_board.right", "firewall", "tailgate"])
def test_what_lies_across_is_seen_from_behind_on_both_sides(zone: str) -> None:
    assert practice().lies_across(zone)
    view = view_of(zone, skin=zone == "tailgate", flat=False, across=True)
    assert (view.seen, view.front_right) == (SeenFrom.BEHIND, False)
    svg = locator((580.0, 300.0), [("1.1", CUT)], EN, both, view=view)
    assert "← left" in words(svg)
    assert "1.1 begins 100 mm from the left edge and 20 mm from the lower side." in svg.replace("\u00a0", " ")


def test_a_turned_field_mirrors_along_the_panel_only() -> None:
    plain, turned = Field(0, 0, 100, 50, 2.0, 10.0, 5.0), Field(0, 0, 100, 50, 2.0, 10.0, 5.0, turned=True)
    for x, y in ((0, 0), (30, 10), (100, 50)):
        assert turned.at((x, y)) == pytest.approx(
            (plain.left + plain.right - plain.at((x, y))[0], plain.at((x, y))[1])
        )


def test_the_right_hand_panel_is_the_left_hand_one_turned_round() -> None:
    left, right = View(SeenFrom.OUTSIDE, True, False), View(SeenFrom.OUTSIDE, True, True)
    drawn = {view: locator((1000.0, 200.0), [("1.1", CUT)], EN, both, view=view) for view in (left, right)}
    span = 1000 / 30 * 1  # 1 : 30 is the first usual scale at which 1000 mm go into 38 mm
    assert middle_of_opening(drawn[left]) == pytest.approx(1.0 + 200 / 30, abs=0.01)
    assert middle_of_opening(drawn[right]) == pytest.approx(1.0 + span - 200 / 30, abs=0.01)
    for svg in drawn.values():
        assert "100 mm" in words(svg)  # from the front, however it lies
    assert "← front" in words(drawn[left])
    assert "front →" in words(drawn[right])


def test_the_cut_out_says_from_where_it_is_seen() -> None:
    for view, told in (
        (View(SeenFrom.OUTSIDE, True, True), "seen from outside, lower side at the bottom"),
        (View(SeenFrom.ABOVE, True, True), "seen from above, outer edge at the bottom"),
        (View(SeenFrom.ABOVE, False, False), "seen from above, left edge at the bottom"),
        (View(), "lower side at the bottom"),
    ):
        said = words(shop_cutout(CUT, [], EN, both, name="1.1", scale=5.0, view=view))
        assert any(line.startswith(told) for line in said)
        assert ("front →" in said) == view.front_right


@pytest.mark.parametrize("code", languages())
def test_words_under_a_bent_piece_are_not_cut_off(code: str) -> None:
    """Measured with the pages' own font: the line must end on the drawing."""
    lang = language(code, Units.METRIC, "USD")
    for level in (True, False):
        way = Bent(((0.0, 15.0), (0.0, 0.0), (100.0, 0.0)), (15.0, 100.0), (0,), level)
        drawing = Drawing(90.0, 30.0, "bent")
        folded(drawing, [way], lang, both, 0.0, ["a"])
        longest = max(words(drawing.markup), key=len)
        assert 0.4 + width_mm(longest, SMALL_MM / MM_PER_PT) <= 90.0
