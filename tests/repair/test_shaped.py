"""Cut-outs round a measured outline: rust inside with its margin, corners round, mountings kept off."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from soundmetal.errors import RecordError
from soundmetal.repair.cutout import cutouts, one_section, rust_boxes, to_edges

L_SHAPE = [(300, 200), (460, 200), (460, 260), (360, 260), (360, 340), (300, 340)]


def corners(points: Any) -> list[list[str]]:
    return [[f"{x:.3f} mm", f"{y:.3f} mm"] for x, y in points]


def outlined(bench: Any, points: Any = L_SHAPE, **more: Any) -> Any:
    return bench.finding(size=None, outline=corners(points), **more)


def policies(bench: Any, **changes: str) -> Any:
    return bench.shop({"policies": changes}).policies


def test_an_outline_is_cut_with_the_margin_all_round(bench: Any) -> None:
    (opening,) = cutouts((outlined(bench),), bench.zone(), policies(bench))
    rust = Polygon(L_SHAPE)
    assert opening.placed
    assert opening.outline.bounds == pytest.approx((275, 175, 485, 365), abs=0.01)
    assert opening.outline.exterior.distance(rust) == pytest.approx(25, abs=0.01)
    # Less steel is cut away than round the box of it: the notch of the L stays, but for its margin and round corner.
    assert opening.area_mm2 < 210 * 190 - 40 * 50


def test_the_area_is_that_of_the_outline_grown(bench: Any) -> None:
    """Steiner's formula for a convex outline: A + L m + pi m^2 (textbook)."""
    rust = Polygon([(300, 200), (460, 210), (420, 330)])
    (opening,) = cutouts((outlined(bench, list(rust.exterior.coords)[:-1]),), bench.zone(), policies(bench))
    assert opening.area_mm2 == pytest.approx(rust.area + rust.length * 25 + math.pi * 625, rel=1e-4)


def test_an_outline_near_an_edge_goes_out_to_it(bench: Any) -> None:
    low = [(x, y - 160) for x, y in L_SHAPE]
    (opening,) = cutouts((outlined(bench, low),), bench.zone(), policies(bench))
    assert opening.ends == ("lower",)
    assert opening.outline.bounds[1] == 0
    assert opening.edge_length_mm == pytest.approx(210, abs=0.01)
    assert opening.seam_length_mm == pytest.approx(opening.outline.length - 210, abs=0.01)


def test_outlines_with_a_narrow_bridge_are_joined(bench: Any) -> None:
    other = [(x + 220, y) for x, y in L_SHAPE]
    found = (outlined(bench), outlined(bench, other, id="F2"))
    (opening,) = cutouts(found, bench.zone(), policies(bench))
    assert opening.findings == ("F1", "F2")
    assert opening.outline.contains(Polygon(other))


def test_taken_to_an_edge_nothing_is_left_between(bench: Any) -> None:
    found = cutouts((outlined(bench),), bench.zone(), policies(bench))
    section = one_section(found, bench.zone(), policies(bench))
    assert section.ends == ("lower",)
    assert section.outline.contains(Polygon(L_SHAPE))
    assert section.edge_length_mm == pytest.approx(210, abs=0.01)
    assert to_edges(found, bench.zone(), policies(bench))[0].outline.contains(Polygon(L_SHAPE))


def test_a_cut_keeps_off_a_mounting(bench: Any) -> None:
    near = {"kind": "seat", "distance": "35 mm", "at": "395 x 260 mm"}
    (opening,) = cutouts((bench.finding(at="300 x 260 mm", mounting=near),), bench.zone(), policies(bench))
    assert opening.outline.distance(Point(395, 260)) == pytest.approx(30, abs=0.01)
    assert opening.outline.contains(Polygon([(240, 220), (360, 220), (360, 300), (240, 300)]))


def test_rust_comes_before_a_mounting(bench: Any) -> None:
    near = {"kind": "seat", "distance": "5 mm", "at": "365 x 260 mm"}
    (opening,) = cutouts((bench.finding(at="300 x 260 mm", mounting=near),), bench.zone(), policies(bench))
    assert opening.outline.bounds == pytest.approx((215, 195, 385, 325), abs=1e-6)


def test_an_outline_beside_the_zone_is_refused_with_its_finding(bench: Any) -> None:
    away = outlined(bench, [(2000, 0), (2100, 0), (2100, 50)])
    with pytest.raises(RecordError, match="F1: the outline lies outside its zone"):
        rust_boxes((away,), bench.zone(), 0)


@settings(max_examples=40, deadline=None)
@given(
    st.floats(60, 900), st.floats(60, 440), st.lists(st.floats(8, 90), min_size=3, max_size=9), st.floats(0, math.tau)
)
def test_every_outline_lies_inside_its_opening(
    bench: Any, x: float, y: float, reach: list[float], turn: float
) -> None:
    star = [
        (
            min(1000.0, max(0.0, x + r * math.cos(turn + math.tau * n / len(reach)))),
            min(500.0, max(0.0, y + r * math.sin(turn + math.tau * n / len(reach)))),
        )
        for n, r in enumerate(reach)
    ]
    rust = Polygon(star)
    if not rust.is_valid or rust.area < 100:
        return
    (opening,) = cutouts((outlined(bench, star),), bench.zone(), policies(bench))
    assert opening.outline.is_valid
    assert opening.outline.buffer(0.01).contains(rust)
    whole = opening.edge_length_mm + opening.seam_length_mm
    assert whole == pytest.approx(opening.outline.length, rel=1e-6)
