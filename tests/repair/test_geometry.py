from __future__ import annotations

from typing import Any

import pytest

from soundmetal.repair.cutout import cutouts
from soundmetal.repair.geometry import let_in, treated, visible_seam_mm, whole_panel


def opened(bench: Any, zone: Any, *findings: Any) -> Any:
    policies = bench.shop().policies
    return let_in(cutouts(findings, zone, policies), (), zone, policies)


def test_a_patch_has_one_closed_seam_and_no_plugs(bench: Any) -> None:
    plan = opened(bench, bench.zone(), bench.finding())
    assert plan.seam_mm == plan.cut_mm == pytest.approx(2 * (130 + 90) + 2 * 3.14159265 * 20, abs=0.01)
    assert (plan.blanks, plan.plug_welds, plan.bends) == (1, 0, 0)
    assert plan.blank_mm2 == pytest.approx(plan.cutouts[0].area_mm2)


def test_a_section_at_a_flange_is_plug_welded_there(bench: Any) -> None:
    plan = opened(bench, bench.zone(), bench.finding(reaches_edge=True, at="500 x 40 mm"))
    # 170 mm of flange, 15 mm from both ends, at most 35 mm apart: 140 mm is 4 gaps, so 5 plugs.
    assert plan.factory_flange_mm == pytest.approx(170, abs=0.01)
    assert plan.plug_welds == plan.drilled_spots == 5
    assert plan.bends == 1
    assert plan.blank_mm2 == pytest.approx(plan.cutouts[0].area_mm2 + 170 * 15, abs=1)


def test_treating_strips_the_rust_and_its_feather(bench: Any) -> None:
    plan = treated((bench.finding(),), bench.zone(), bench.shop().policies)
    assert plan.strip_mm2 == pytest.approx((120 + 100) * (80 + 100))
    assert plan.seam_mm == plan.blanks == 0


def test_stripping_never_counts_a_place_twice(bench: Any) -> None:
    two = (bench.finding(id="A", at="300 x 250 mm"), bench.finding(id="B", at="320 x 250 mm"))
    plan = treated(two, bench.zone(), bench.shop().policies)
    assert plan.strip_mm2 == pytest.approx((140 + 100) * (80 + 100))


def test_a_whole_panel_goes_on_by_its_flanges(bench: Any) -> None:
    zone = bench.zone(edges=2)
    plan = whole_panel((bench.finding(),), zone, bench.shop().policies)
    assert plan.factory_flange_mm == 2000
    assert plan.plug_welds == 2 * 29  # SPT-03: 29 on 1000 mm (computed)
    assert plan.cutouts[0].ends == ("lower", "upper")
    assert plan.blank_mm2 == 1000 * 500 + 2000 * 15


def test_closed_boxes_have_a_cavity(bench: Any) -> None:
    assert opened(bench, bench.zone(construction="closed box"), bench.finding()).cavities == 1
    assert opened(bench, bench.zone(), bench.finding()).cavities == 0


def test_braces_where_the_cut_weakens_the_body(bench: Any) -> None:
    assert opened(bench, bench.zone(), bench.finding()).braces == 0
    assert opened(bench, bench.zone(role="load-bearing"), bench.finding()).braces == 1
    rocker = bench.zone("rocker.left.outer")
    assert opened(bench, rocker, bench.finding(zone="rocker.left.outer")).braces == 1
    floor = bench.zone(role="floor")
    assert opened(bench, floor, bench.finding()).braces == 0
    assert opened(bench, floor, bench.finding(size="400 x 400 mm")).braces == 1


def test_new_floors_get_beads(bench: Any) -> None:
    plan = opened(bench, bench.zone(role="floor"), bench.finding())
    # One bead in an opening of 170 x 130: its ends stop 20 mm and half a bead's width short of the seam.
    assert plan.bead_mm == pytest.approx(170 - 2 * (20 + 12.7 / 2), abs=0.01)
    assert opened(bench, bench.zone(), bench.finding()).bead_mm == 0


def test_only_seam_on_finished_skin_is_visible(bench: Any) -> None:
    plan = opened(bench, bench.zone(), bench.finding())
    hidden = opened(bench, bench.zone(visible=False), bench.finding())
    assert visible_seam_mm(plan) == plan.seam_mm
    assert visible_seam_mm(hidden) == 0
