"""The joints drawn for the bench: their sizes in words, and sizes on a drawing that never run into each other."""

from __future__ import annotations

import re

import pytest

from soundmetal.record.terms import Units
from soundmetal.report.drawings.shop_joint import Row, butt_section, butt_words, plug_row, plug_words
from soundmetal.report.language import language
from soundmetal.report.shop_sizes import Sizes

US = Sizes(language("en", Units.US, "USD"))


def both(mm: float) -> tuple[str, str]:
    return US.main(mm), US.other(mm)


def said(svg: str) -> str:
    return re.sub(r"<[^>]+>", " ", svg).replace("\u00a0", " ")


@pytest.mark.parametrize("width", [44.0, 60.0])
def test_joints_say_their_sizes(width: float) -> None:
    words = ("0.036 in (0.91 mm)", "1/32 in (0.8 mm)", "1 in (25 mm)")
    assert "gap up to 1/32 in (0.8 mm), tacks 1 in (25 mm) apart" in said(butt_section(US.lang, *words, width))
    assert [str(line) for line in butt_words(US.lang, *words)] == [
        "new steel, 0.036 in (0.91 mm)",
        "gap up to 1/32 in (0.8 mm)",
        "tacks 1 in (25 mm) or closer",
    ]
    row = Row(both(15), both(35), both(8), 12)
    assert "1 3/8 in" in said(plug_row(US.lang, row, width))
    assert [line.replace("\u00a0", " ") for line in plug_words(US.lang, row)] == ["12 holes of 5/16 in · 8.0 mm"]


def test_the_two_sizes_of_a_plug_row_never_meet() -> None:
    """The end distance is written under the flange and the pitch over it, however long a unit's name is."""
    row = Row(("19 15/16 pulg", "506 mm"), ("1 3/8 pulg", "35 mm"), ("5/16 pulg", "8.0 mm"), 12)
    places = {
        text: float(y)
        for y, text in re.findall(
            r'<text x="[^"]*" y="([^"]*)"[^>]*>([^<]*)</text>', str(plug_row(US.lang, row, 44.0))
        )
    }
    assert places["19 15/16 pulg"] - places["1 3/8 pulg"] > 10
