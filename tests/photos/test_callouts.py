"""Call-outs over a photograph."""

from __future__ import annotations

import re
from typing import Any

import pytest
from defusedxml.ElementTree import fromstring
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.photos.callouts import overlay_svg
from soundmetal.record.models import CallOut

SVG = "{http://www.w3.org/2000/svg}"
MARKS: dict[str, dict[str, Any]] = {
    "point": {"points": [[0.25, 0.5]]},
    "circle": {"points": [[0.25, 0.5]], "radius": 0.1},
    "box": {"points": [[0.6, 0.7], [0.2, 0.1]]},
    "arrow": {"points": [[0.1, 0.1], [0.25, 0.5]]},
    "line": {"points": [[0.1, 0.5], [0.9, 0.5]], "length": "120 mm"},
    "polygon": {"points": [[0.1, 0.1], [0.5, 0.1], [0.3, 0.6]]},
}


def mark(kind: str, **more: Any) -> CallOut:
    return CallOut.model_validate({"kind": kind} | MARKS[kind] | more)


def drawn(marks: list[CallOut], **more: Any) -> Any:
    return fromstring(overlay_svg(marks, 1600, 1200, **more))


@pytest.mark.parametrize("kind", MARKS)
def test_every_shape_is_black_on_a_wider_white(kind: str) -> None:
    group = drawn([mark(kind)]).find(f"{SVG}g")
    casing, line = group.findall(f"{SVG}path")
    assert casing.get("d") == line.get("d")
    assert (casing.get("stroke"), line.get("stroke")) == ("#ffffff", "#000000")
    assert float(casing.get("stroke-width")) > 2 * float(line.get("stroke-width"))
    assert group.find(f"{SVG}text").text == "1"


@pytest.mark.parametrize(
    ("kind", "spot"),
    [("arrow", "400.0,600.0"), ("line", "160.0,600.0"), ("box", "320.0,120.0"), ("polygon", "480.0,720.0")],
)
def test_parts_of_the_picture_become_pixels(kind: str, spot: str) -> None:
    assert spot in overlay_svg([mark(kind)], 1600, 1200)


def test_a_circle_has_its_radius_in_parts_of_the_width() -> None:
    data = drawn([mark("circle")]).find(f"{SVG}g/{SVG}path").get("d")
    assert data.startswith("M240.0,600.0 A160.0,160.0")


def test_numbers_go_on_from_the_first() -> None:
    texts = [text.text for text in drawn([mark("point"), mark("box")], number_of_first=7).iter(f"{SVG}text")]
    assert texts == ["7", "8"]


def test_text_is_escaped_and_read_back_unchanged() -> None:
    said = 'a & b < "c" </svg><script>x</script>'
    svg = overlay_svg([mark("point", text=said)], 1600, 1200, title=said)
    assert "<script>" not in svg
    root = fromstring(svg)
    assert [text.text for text in root.iter(f"{SVG}text")] == ["1", said, said]
    assert root.get("aria-label") == said


def test_the_caller_may_word_a_mark() -> None:
    texts = [t.text for t in drawn([mark("line")], text_of=lambda m: f"{m.length:.0f} mm").iter(f"{SVG}text")]
    assert texts == ["1", "120 mm", "120 mm"]


def test_words_stand_on_the_side_with_more_room() -> None:
    left = drawn([mark("point", text="x")]).findall(f".//{SVG}text")
    right = drawn([mark("point", points=[[0.9, 0.5]], text="x")]).findall(f".//{SVG}text")
    assert [t.get("text-anchor") for t in left] == ["middle", "start", "start"]
    assert [t.get("text-anchor") for t in right] == ["middle", "end", "end"]


def test_no_marks_no_drawing() -> None:
    assert overlay_svg([], 100, 100) == ""


@given(
    st.floats(0, 1),
    st.floats(0, 1),
    st.sampled_from(["point", "circle"]),
    st.integers(200, 3000),
    st.text(max_size=50),
)
def test_numbers_stay_inside_any_picture(x: float, y: float, kind: str, width: int, text: str) -> None:
    svg = overlay_svg([mark(kind, points=[[x, y]], text=text)], width, 1200)
    ring = re.search(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"', svg)
    assert ring
    cx, cy, radius = map(float, ring.groups())
    assert radius - 0.1 <= cx <= width - radius + 0.1
    assert radius - 0.1 <= cy <= 1200 - radius + 0.1
    assert fromstring(svg).tag == f"{SVG}svg"
