from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.grade.models import Level
from soundmetal.record.terms import Aim
from soundmetal.repair.models import Method, Option
from soundmetal.repair.propose import propose

ORDER = [Method.LEAVE, Method.TREAT, Method.PATCH, Method.BUTT_WELD, Method.FULL_PANEL, Method.REFER]


def possible(options: dict[Method, Option]) -> set[Method]:
    return {method for method, option in options.items() if option.feasible}


def test_every_panel_gets_all_six_in_one_order(bench: Any) -> None:
    body = bench.body(bench.zone("cowl.top"), bench.zone(), bench.zone("hood"))
    found = (bench.finding(id="B"), bench.finding(id="A", zone="cowl.top"))
    panels = propose(bench.grades(body, *found), body, bench.shop(), bench.book(), Aim.SOUND)
    assert [[o.method for o in options] for options in panels] == [ORDER, ORDER]
    assert [options[0].panel for options in panels] == ["cowl.top", "fender.left.rear"]


def test_findings_of_one_zone_are_solved_together(bench: Any) -> None:
    found = (bench.finding(id="A", at="300 x 250 mm"), bench.finding(id="B", at="420 x 250 mm"))
    patch = bench.options(bench.zone(), *found)[Method.PATCH]
    assert patch.findings == ("A", "B")
    assert len(patch.geometry.cutouts) == 1


def test_a_sound_earlier_repair_stays(bench: Any) -> None:
    kept = bench.finding(seen="sound", repair={"kind": "butt weld", "state": "sound"})
    options = bench.options(bench.zone(), kept)
    assert possible(options) == {Method.LEAVE}
    assert options[Method.PATCH].why_not is not None
    assert options[Method.PATCH].why_not.text == "It is sound and stays as it is."


def test_an_earlier_repair_that_hides_rust_is_not_left_or_treated(bench: Any) -> None:
    hidden = bench.finding(seen="sound", repair={"kind": "lapped patch", "state": "hides rust"})
    options = bench.options(bench.zone(), hidden)
    assert possible(options) == {Method.PATCH}
    # Nobody wrote its extent down, so the practice's own 200 x 150 mm stands in.
    assert options[Method.PATCH].geometry.cutouts[0].size_mm == pytest.approx((250, 200))


@pytest.mark.parametrize(
    ("seen", "aim", "treat"),
    [
        ("surface", Aim.ARREST, True),
        ("surface", Aim.SOUND, True),
        ("surface", Aim.FACTORY, True),
        ("scale", Aim.ARREST, True),
        ("scale", Aim.SOUND, True),
        ("scale", Aim.FACTORY, False),
        ("holed", Aim.ARREST, False),
        ("holed", Aim.SOUND, False),
        ("holed", Aim.FACTORY, False),
    ],
)
def test_what_may_be_treated(bench: Any, seen: str, aim: Aim, treat: bool) -> None:
    options = bench.options(bench.zone(), bench.finding(seen=seen), aim=aim)
    assert options[Method.TREAT].feasible is treat
    assert not options[Method.LEAVE].feasible
    assert options[Method.PATCH].feasible


def test_a_patch_needs_sound_metal_all_round(bench: Any) -> None:
    options = bench.options(bench.zone(), bench.finding(reaches_edge=True, at="500 x 50 mm"))
    assert options[Method.PATCH].why_not is not None
    assert options[Method.PATCH].why_not.source == "R3"
    assert options[Method.BUTT_WELD].feasible
    assert options[Method.BUTT_WELD].geometry.factory_flange_mm == pytest.approx(170, abs=0.01)


def test_a_patch_is_limited_to_its_share_of_the_panel(bench: Any) -> None:
    # 1000 x 500 mm: a quarter is 125,000 mm2; 350 x 300 mm grown by 25 mm has 140,000.
    options = bench.options(bench.zone(), bench.finding(size="350 x 300 mm"))
    why = options[Method.PATCH].why_not
    assert why is not None
    assert why.values["limit_share"] == 0.25
    assert why.values["share"] == pytest.approx(0.28, abs=0.01)
    assert options[Method.BUTT_WELD].feasible


def test_a_panel_without_edges_still_has_a_way(bench: Any) -> None:
    options = bench.options(bench.zone(edges=0), bench.finding(size="600 x 400 mm"))
    assert possible(options) == {Method.BUTT_WELD}
    assert options[Method.BUTT_WELD].geometry.factory_flange_mm == 0


def test_in_the_field_the_edge_is_only_for_a_shorter_seam(bench: Any) -> None:
    options = bench.options(bench.zone(), bench.finding(at="500 x 300 mm"))
    assert options[Method.BUTT_WELD].why_not is not None
    assert options[Method.BUTT_WELD].why_not.text.startswith("The rust lies in the field")


def test_several_patches_give_way_to_one_section(bench: Any) -> None:
    found = [bench.finding(id=f"F{n}", size="100 x 100 mm", at=f"{140 + 240 * n} x 140 mm") for n in range(4)]
    options = bench.options(bench.zone(), *found)
    patch, section = options[Method.PATCH].geometry, options[Method.BUTT_WELD].geometry
    assert len(patch.cutouts) == 4
    assert len(section.cutouts) == 1
    assert section.seam_mm < patch.seam_mm


def test_a_whole_panel_only_where_it_comes_off(bench: Any) -> None:
    fixed = bench.options(bench.zone(), bench.finding())[Method.FULL_PANEL]
    loose = bench.options(bench.zone(separable=True, edges=4), bench.finding())[Method.FULL_PANEL]
    assert not fixed.feasible
    assert loose.feasible
    assert loose.geometry.seam_mm == 0
    assert loose.geometry.factory_flange_mm == 3000


def test_where_nothing_is_left_to_weld_to_only_the_whole_panel_remains(bench: Any) -> None:
    zone = bench.zone(separable=True, edges=4)
    options = bench.options(zone, bench.finding(seen="gone", size="1000 x 500 mm"))
    assert possible(options) == {Method.FULL_PANEL}


def test_unsafe_is_referred_and_nothing_else(bench: Any) -> None:
    zone = bench.zone("floor.left.front", role="load-bearing", mountings=("seat",), visible=False)
    near = bench.finding(zone="floor.left.front", mounting={"kind": "seat", "distance": "60 mm"})
    options = bench.options(zone, near)
    assert possible(options) == {Method.REFER}
    assert options[Method.REFER].rules[0] == "G1"
    # The shop's own proposal is kept: its geometry here, its words with the methods that are ruled out.
    assert options[Method.REFER].geometry.seam_mm > 0
    why = options[Method.PATCH].why_not
    assert why is not None
    assert why.values["method_word"] is Method.PATCH
    assert why.values["seam_mm"] == options[Method.REFER].geometry.seam_mm


def test_a_spent_frame_part_is_referred_and_never_priced_as_sheet(bench: Any) -> None:
    zone = bench.zone("frame_rail.left.rear", role="load-bearing", frame_part=True, visible=False)
    for seen in ("holed", "gone"):
        options = bench.options(zone, bench.finding(zone="frame_rail.left.rear", seen=seen))
        assert possible(options) == {Method.REFER}
        assert options[Method.REFER].geometry.blanks == 0
        assert "R9" in options[Method.REFER].rules


def test_a_thinned_frame_part_is_treated_unless_the_aim_wants_it_new(bench: Any) -> None:
    zone = bench.zone("frame_rail.left.rear", role="load-bearing", frame_part=True, visible=False)
    scale = bench.finding(zone="frame_rail.left.rear", seen="scale")
    assert possible(bench.options(zone, scale)) == {Method.TREAT}
    assert possible(bench.options(zone, scale, aim=Aim.FACTORY)) == {Method.REFER}


def test_a_frame_part_with_surface_rust_is_treated(bench: Any) -> None:
    zone = bench.zone("frame_rail.left.rear", role="load-bearing", frame_part=True, visible=False)
    options = bench.options(zone, bench.finding(zone="frame_rail.left.rear", seen="surface"))
    assert possible(options) == {Method.TREAT}
    assert options[Method.PATCH].why_not is not None
    assert options[Method.PATCH].why_not.source == "R9"


def test_the_rule_book_refers_what_it_names(bench: Any) -> None:
    # NZTA VIRM, light vehicle repair 3-3 (read): any corrosion in a structural part, a hole in any panel.
    structure = bench.zone("rocker.left.inner", role="load-bearing", visible=False)
    surface = bench.finding(zone="rocker.left.inner", seen="surface")
    assert possible(bench.options(structure, surface, book="nz")) == {Method.REFER}
    assert possible(bench.options(bench.zone(), bench.finding(), book="nz")) == {Method.REFER}
    assert Method.TREAT in possible(bench.options(structure, surface))
    proposal = bench.options(structure, surface, book="nz")[Method.REFER].geometry
    assert proposal.blanks == 0  # what may be treated is not proposed to be cut out


def test_thin_metal_beside_a_cut_out_is_cut_with_it(bench: Any) -> None:
    hole = bench.finding(id="A", at="300 x 250 mm")
    beside = bench.finding(id="B", seen="pitted", size="60 x 60 mm", at="400 x 250 mm")
    away = bench.finding(id="B", seen="pitted", size="60 x 60 mm", at="800 x 250 mm")
    together = bench.options(bench.zone(), hole, beside)[Method.PATCH].geometry
    apart = bench.options(bench.zone(), hole, away)[Method.PATCH].geometry
    assert {f for c in together.cutouts for f in c.findings} == {"A", "B"}
    assert {f for c in apart.cutouts for f in c.findings} == {"A"}
    assert apart.strip_mm2 > together.strip_mm2  # the place further off is stripped and coated instead


words = st.sampled_from(["surface", "scale", "pitted", "holed", "gone"])
places = st.one_of(st.none(), st.tuples(st.integers(1, 1000), st.integers(1, 500)))
rust = st.tuples(words, st.integers(5, 1100), st.integers(5, 600), places, st.booleans())


@given(
    st.lists(rust, min_size=1, max_size=3),
    st.integers(0, 4),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["skin", "inner", "floor", "load-bearing"]),
    st.sampled_from(list(Aim)),
)
def test_a_method_is_possible_only_with_its_geometry(
    bench: Any, wanted: Any, edges: int, separable: bool, frame: bool, role: str, aim: Aim
) -> None:
    zone = bench.zone(edges=edges, separable=separable, frame_part=frame, role=role)
    found = [
        bench.finding(
            id=f"F{n}",
            seen=seen,
            size=f"{w} x {h} mm",
            reaches_edge=edge,
            **({"at": f"{at[0]} x {at[1]} mm"} if at else {}),
        )
        for n, (seen, w, h, at, edge) in enumerate(wanted)
    ]
    options = bench.options(zone, *found, aim=aim)
    grades = bench.grades(bench.body(zone), *found)
    levels = {g.level for g in grades.findings}
    allowed = possible(options)
    assert allowed, "there is always a way"
    assert Method.LEAVE not in allowed
    if Level.UNSAFE in levels or (frame and Level.SPENT in levels):
        assert allowed == {Method.REFER}
    if levels & {Level.SPENT, Level.UNSAFE}:
        assert Method.TREAT not in allowed
    for method in allowed:
        _fits(method, options[method], zone)
    for option in options.values():
        assert option.feasible == (option.why_not is None)


def _fits(method: Method, option: Option, zone: Any) -> None:
    plan = option.geometry
    panel = zone.size_mm[0] * zone.size_mm[1]
    cut = sum(c.area_mm2 for c in plan.cutouts)
    assert plan.strip_mm2 > 0
    if method is Method.TREAT:
        assert not plan.blanks
        assert not plan.seam_mm
    if method is Method.PATCH:
        assert all(not c.ends for c in plan.cutouts)
        assert cut <= 0.25 * panel + 1e-6
        assert plan.plug_welds == 0
    if method is Method.BUTT_WELD:
        assert plan.seam_mm > 0 or not zone.separable
        assert (plan.factory_flange_mm > 0) == any(c.ends for c in plan.cutouts)
    if method is Method.FULL_PANEL:
        assert zone.separable
        assert plan.seam_mm == 0
        assert plan.drilled_spots == plan.plug_welds > 0
    if method in (Method.PATCH, Method.BUTT_WELD, Method.FULL_PANEL):
        assert not zone.frame_part
        assert plan.blanks == len(plan.cutouts) > 0
        assert cut <= panel + 1e-6


def test_a_place_may_be_flat_where_its_part_is_not(bench: Any) -> None:
    """The flat part of a pan that curves elsewhere is cut and bent as flat sheet; findings must agree on it."""
    pan = bench.zone(shape="compound")
    flat, plain = (
        bench.finding(id=name, at="300 x 250 mm", form=form) for name, form in (("F1", "flat"), ("F2", None))
    )
    assert not bench.options(pan, flat)[Method.PATCH].geometry.curved
    assert bench.options(pan, plain)[Method.PATCH].geometry.curved
    assert bench.options(pan, flat, plain)[Method.PATCH].geometry.curved
