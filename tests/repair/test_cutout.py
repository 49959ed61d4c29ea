from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import box

from soundmetal.repair.cutout import cutouts, one_section, rust_boxes, rust_size, to_edges
from soundmetal.repair.flat import flat_of


def policies(bench: Any, **changes: str) -> Any:
    return bench.shop({"policies": changes}).policies


def test_unplaced_rust_lies_in_the_middle_and_says_so(bench: Any) -> None:
    (opening,) = cutouts((bench.finding(),), bench.zone(), policies(bench))
    assert opening.outline.centroid.coords[0] == pytest.approx((500, 250), abs=1e-6)
    assert not opening.placed
    assert opening.findings == ("F1",)


def test_placed_rust_lies_where_it_was_written(bench: Any) -> None:
    (opening,) = cutouts((bench.finding(at="300 x 260 mm"),), bench.zone(), policies(bench))
    assert opening.outline.bounds == pytest.approx((215, 195, 385, 325), abs=1e-6)
    assert opening.placed


def test_an_area_becomes_a_square(bench: Any) -> None:
    assert rust_size(bench.finding(area="100 cm2"), flat_of(bench.zone())) == pytest.approx((100, 100))


def test_an_area_higher_than_the_panel_becomes_longer(bench: Any) -> None:
    flat = flat_of(bench.zone(size_mm=(1000.0, 50.0)))
    assert rust_size(bench.finding(area="100 cm2"), flat) == pytest.approx((200, 50))


def test_rust_near_an_edge_is_taken_to_it(bench: Any) -> None:
    # 60 mm of metal under the rust: 25 mm margin leaves 20 mm, less than another margin, so the strip goes too.
    near = bench.finding(at="500 x 85 mm")
    (opening,) = cutouts((near,), bench.zone(), policies(bench))
    assert opening.ends == ("lower",)
    assert opening.outline.bounds[1] == 0
    assert opening.edge_length_mm == pytest.approx(170, abs=0.01)


def test_rust_further_in_stays_in_the_field(bench: Any) -> None:
    (opening,) = cutouts((bench.finding(at="500 x 95 mm"),), bench.zone(), policies(bench))
    assert opening.ends == ()
    assert opening.edge_length_mm == 0


def test_rust_that_reaches_an_edge_goes_to_the_nearest(bench: Any) -> None:
    zone = bench.zone(edges=2)
    (opening,) = cutouts((bench.finding(at="500 x 430 mm", reaches_edge=True),), zone, policies(bench))
    assert opening.ends == ("upper",)


def test_the_zones_border_is_no_edge(bench: Any) -> None:
    # The panel has only its lower edge; the rust runs on into the zone in front, so a seam is needed there.
    (opening,) = cutouts((bench.finding(at="60 x 250 mm"),), bench.zone(), policies(bench))
    assert opening.outline.bounds[0] == 0
    assert opening.ends == ()
    assert opening.seam_length_mm == pytest.approx(opening.outline.length)


def test_a_narrow_bridge_is_cut_away(bench: Any) -> None:
    one = bench.finding(id="A", size="100 x 80 mm", at="300 x 250 mm")
    wide = bench.finding(id="B", size="100 x 80 mm", at="490 x 250 mm")  # cut-outs end at 375 and 415: 40 mm
    narrow = bench.finding(id="B", size="100 x 80 mm", at="489 x 250 mm")
    assert len(cutouts((one, wide), bench.zone(), policies(bench))) == 2
    (joined,) = cutouts((one, narrow), bench.zone(), policies(bench))
    assert joined.findings == ("A", "B")
    assert joined.size_mm == pytest.approx((339, 130))


def test_openings_that_overlap_become_one(bench: Any) -> None:
    found = [bench.finding(id=f"F{n}", at=f"{300 + 50 * n} x 250 mm") for n in range(4)]
    (joined,) = cutouts(tuple(found), bench.zone(), policies(bench))
    assert set(joined.findings) == {"F0", "F1", "F2", "F3"}


def test_unplaced_rust_keeps_clear_of_the_rest(bench: Any) -> None:
    found = (bench.finding(id="A", at="500 x 250 mm"), bench.finding(id="B"), bench.finding(id="C"))
    assert len(cutouts(found, bench.zone(), policies(bench))) == 3


def test_no_room_to_keep_clear_means_one_opening(bench: Any) -> None:
    small = bench.zone(size_mm=(300.0, 200.0), edges=0)
    found = (bench.finding(id="A"), bench.finding(id="B"))
    (joined,) = cutouts(found, small, policies(bench))
    assert set(joined.findings) == {"A", "B"}


def test_corners_on_an_edge_stay_square(bench: Any) -> None:
    (opening,) = cutouts((bench.finding(reaches_edge=True, at="500 x 40 mm"),), bench.zone(), policies(bench))
    corners = {(round(x, 6), round(y, 6)) for x, y in opening.outline.exterior.coords}
    assert (415.0, 0.0) in corners
    assert (585.0, 0.0) in corners


def test_a_section_takes_the_edge_that_needs_least_seam(bench: Any) -> None:
    zone = bench.zone(edges=2)
    openings = cutouts((bench.finding(at="500 x 380 mm"),), zone, policies(bench))
    assert one_section(openings, zone, policies(bench)).ends == ("upper",)


def test_going_to_the_edge_is_only_for_a_shorter_seam(bench: Any) -> None:
    zone = bench.zone()
    far = cutouts((bench.finding(at="500 x 300 mm"),), zone, policies(bench))
    near = cutouts((bench.finding(size="300 x 40 mm", at="500 x 100 mm"),), zone, policies(bench))
    assert to_edges(far, zone, policies(bench))[0].ends == ()
    assert to_edges(near, zone, policies(bench))[0].ends == ("lower",)


sizes = st.integers(5, 1200)
spots = st.one_of(st.none(), st.tuples(st.integers(0, 1000), st.integers(0, 500)))
places = st.lists(st.tuples(sizes, sizes, spots, st.booleans()), min_size=1, max_size=4)


@given(places, st.integers(0, 4))
def test_openings_lie_on_the_panel_hold_all_rust_and_keep_apart(bench: Any, wanted: Any, edges: int) -> None:
    zone, rules = bench.zone(edges=edges), policies(bench)
    found = tuple(
        bench.finding(
            id=f"F{n}",
            size=f"{w} x {h} mm",
            reaches_edge=edge,
            **({"at": f"{at[0] or 1} x {at[1] or 1} mm"} if at else {}),
        )
        for n, (w, h, at, edge) in enumerate(wanted)
    )
    openings = cutouts(found, zone, rules)
    panel = box(-1e-6, -1e-6, 1000 + 1e-6, 500 + 1e-6)
    assert all(opening.outline.is_valid and panel.contains(opening.outline) for opening in openings)
    assert sorted(f for opening in openings for f in opening.findings) == sorted(f.id for f in found)
    for opening in openings:
        total = opening.edge_length_mm + opening.seam_length_mm
        assert total == pytest.approx(opening.outline.length, abs=1e-6)
        assert set(opening.ends) <= {"lower", "upper", "front", "rear"}
        # A cut runs out to a factory seam, or stays the shop's margin off it.
        x0, y0, x1, y1 = opening.outline.bounds
        rooms = {"lower": y0, "upper": 500 - y1, "front": x0, "rear": 1000 - x1}
        assert all(rooms[side] >= rules.margin - 1e-6 for side in flat_of(zone).edges - set(opening.ends))
        for one in rust_boxes(found, zone, 2 * rules.margin + rules.bridge):
            if one.findings[0] in opening.findings:
                # Rounded corners may only ever cut into the margin, never into the rust.
                assert opening.outline.buffer(1e-6).contains(box(one.x0, one.y0, one.x1, one.y1))
    for n, one in enumerate(openings):
        for other in openings[n + 1 :]:
            assert one.outline.distance(other.outline) >= rules.bridge - 1e-6


@given(st.integers(10, 900), st.integers(10, 450), st.integers(0, 100))
def test_more_rust_never_needs_a_smaller_opening(bench: Any, width: int, height: int, more: int) -> None:
    zone, rules = bench.zone(edges=0), policies(bench)
    (small,) = cutouts((bench.finding(size=f"{width} x {height} mm"),), zone, rules)
    (large,) = cutouts((bench.finding(size=f"{width + more} x {height} mm"),), zone, rules)
    assert large.area_mm2 >= small.area_mm2 - 1e-6
    assert large.seam_length_mm >= small.seam_length_mm - 1e-6
