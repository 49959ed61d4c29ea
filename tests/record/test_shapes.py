"""Shapes measured at the car: what is refused, and the extent that an outline gives."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from soundmetal.record.models import Finding
from soundmetal.record.shapes import FactoryBeads, KeptOpening, Section, crossing


def finding(**more: Any) -> Finding:
    return Finding.model_validate({"id": "F7", "zone": "floor.left.front", "seen": "holed", **more})


BENT = [["100 mm", "50 mm"], ["260 mm", "50 mm"], ["260 mm", "110 mm"], ["180 mm", "140 mm"], ["100 mm", "110 mm"]]


def test_an_outline_gives_extent_and_place() -> None:
    found = finding(outline=BENT)
    assert found.box_size == (160, 90)
    assert found.middle == (180, 95)
    assert found.rust_area == pytest.approx(160 * 60 + 160 * 30 / 2)
    assert Finding.model_validate(found.model_dump()) == found


def test_without_an_outline_what_was_written_counts() -> None:
    found = finding(size="120 x 80 mm", at="300 x 200 mm")
    assert (found.box_size, found.middle, found.rust_area) == ((120, 80), (300, 200), 9600)
    assert finding(area="120 cm2").rust_area == 12000


def test_inches_are_corners_too() -> None:
    assert finding(outline=[["1 in", "1 in"], ["3 in", "1 in"], ["3 in", "2 in"]]).box_size == pytest.approx(
        (50.8, 25.4)
    )


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"outline": [BENT[0], BENT[2], BENT[1], BENT[4]]}, "F7: the outline crosses itself near"),
        ({"outline": BENT[:2]}, "2 corners"),
        ({"outline": [["0 mm", "0 mm"], ["9 mm", "9 mm"], ["20 mm", "20 mm"]]}, "F7: the outline"),
        ({"outline": BENT, "size": "10 x 10 mm"}, "F7: the outline says size and place"),
        ({"outline": BENT, "at": "10 x 10 mm"}, "F7: the outline says size and place"),
        ({"outline": [[1, 2], [3, 4], [5, 7]]}, "has no unit"),
        ({"outline": [["1 mm", "1 mm"]] * 501}, "501 corners"),
        ({"size": "10 x 10 mm", "keep": [{"at": "5 x 5 mm"}]}, "how large the opening is"),
        ({"size": "10 x 10 mm", "keep": [{"at": "5 x 5 mm", "hole": "2 mm", "size": "2 x 2 mm"}]}, "how large"),
    ],
)
def test_what_is_refused(more: dict[str, Any], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        finding(**more)


def test_an_outline_that_only_touches_itself_is_refused() -> None:
    corners = ((0.0, 0.0), (40.0, 0.0), (20.0, 20.0), (40.0, 40.0), (0.0, 40.0), (20.0, 20.0))
    assert crossing(corners).startswith("crosses itself near 20 x 20")


def test_sections_and_beads_fit_together() -> None:
    hat = {"legs": ["20 mm", "30 mm", "50 mm"], "bends": [{"through": 90}]}
    with pytest.raises(ValidationError, match="one leg more than bends"):
        Section.model_validate(hat)
    for wrong, words in (
        ({"pitch": "100 mm", "width": "12 mm", "depth": "7 mm"}, "half as deep"),
        ({"pitch": "10 mm", "width": "12 mm", "depth": "5 mm"}, "no wider"),
    ):
        with pytest.raises(ValidationError, match=words):
            FactoryBeads.model_validate(wrong)
    assert KeptOpening.model_validate({"at": "50 x 40 mm", "hole": "25 mm"}).hole == 25
