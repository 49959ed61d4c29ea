"""The web pages in a real browser: on two phones and a desk, by day and by night, and printed from there.

Limits: text contrast 4.5, or 3 for large text (WCAG 2.2, 1.4.3, level AA); nothing to be pushed sideways (1.4.10);
zoom never forbidden (1.4.4). Targets of 48 px and letters of 16 px: common practice, no source.
"""

from __future__ import annotations

import io
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest
from headless import Browser
from pypdf import PdfReader

from soundmetal.report.job import Job

PHONES, DESK_PX = (360, 412), 1280
KINDS = ("report", "informe", "scope", "amended", "closing")
LEAST_LETTER_PX, LEAST_TAP_PX, LEAST_POINTER_PX = 16, 48, 24
#: Words in a drawing, which a reader can zoom: as small as print's smallest on a desk, on a phone by its scale.
LEAST_DRAWN_PX, LEAST_DRAWN_PHONE_PX = 9, 6
ROUNDING = 0.01

Facts = dict[tuple[int, bool], dict[str, Any]]


@pytest.fixture(scope="module", params=KINDS)
def opened(request: pytest.FixtureRequest, browser: Browser, pages: dict[str, Path]) -> tuple[str, Browser]:
    browser.open(pages[request.param])
    return request.param, browser


@pytest.fixture(scope="module")
def facts(opened: tuple[str, Browser]) -> Facts:
    _name, browser = opened
    found = {(width, dark): browser.facts(width, dark=dark) for width in (*PHONES, DESK_PX) for dark in (False, True)}
    assert all(one["lines"] > 100 and one["drawnLines"] > 10 for one in found.values())
    return found


def all_of(facts: Facts, key: str) -> dict[tuple[int, bool], Any]:
    return {at: one[key] for at, one in facts.items() if one[key]}


def test_nothing_is_pushed_sideways(facts: Facts) -> None:
    assert {at[0]: one["wide"] for at, one in facts.items()} == {
        width: [width, width] for width in (*PHONES, DESK_PX)
    }


def test_nothing_overlaps_or_is_cut_off(facts: Facts) -> None:
    assert all_of(facts, "overlaps") == {}
    assert all_of(facts, "clipped") == {}


def test_every_text_stands_out_from_its_ground(facts: Facts) -> None:
    assert all_of(facts, "pale") == {}


def test_letters_are_large_enough(facts: Facts) -> None:
    for (width, _dark), one in facts.items():
        small = [(px, words) for px, words in one["letters"] if px < LEAST_LETTER_PX - ROUNDING]
        assert small == [], width
        least = LEAST_DRAWN_PX if width == DESK_PX else LEAST_DRAWN_PHONE_PX
        assert [(px, words) for px, words in one["drawn"] if px < least - ROUNDING] == [], width


def test_what_can_be_tapped_is_large_enough(facts: Facts) -> None:
    for (width, _dark), one in facts.items():
        least = LEAST_POINTER_PX if width == DESK_PX else LEAST_TAP_PX
        assert [tap for tap in one["taps"] if tap["least"] < least - ROUNDING] == [], width


def test_a_page_that_sends_nothing_has_no_form(facts: Facts) -> None:
    assert {tap["kind"] for one in facts.values() for tap in one["taps"]} <= {"a"}


def test_every_picture_and_font_is_there_and_nothing_is_fetched(opened: tuple[str, Browser], facts: Facts) -> None:
    _name, browser = opened
    assert {one["unloaded"] for one in facts.values()} == {0}
    assert {one["fontsFailed"] for one in facts.values()} == {0}
    assert all(one["fonts"] >= 3 and "Alegreya Sans" in one["family"] for one in facts.values())
    assert browser.fetched() == []
    assert browser.complaints() == []


def test_the_reader_may_zoom(facts: Facts) -> None:
    said = {one["viewport"] for one in facts.values()}
    assert said == {"width=device-width, initial-scale=1"}


@pytest.mark.parametrize(
    ("page", "told"),
    [
        ("report", "To answer, tick them in the PDF that came with it, or simply tell us."),
        ("informe", "Para responder, márquelas en el PDF que vino con ella, o simplemente díganos."),
        ("amended", "Para responder, márquelas en el PDF que vino con ella, o simplemente díganos."),
    ],
)
def test_the_page_says_how_to_answer(browser: Browser, pages: dict[str, Path], page: str, told: str) -> None:
    browser.open(pages[page])
    assert told in browser.run("document.body.innerText")
    before_first_finding = browser.run(
        "!!(document.querySelector('.answering').compareDocumentPosition(document.querySelector('article.finding'))"
        " & Node.DOCUMENT_POSITION_FOLLOWING)"
    )
    assert before_first_finding
    assert browser.run("document.querySelectorAll('.tick .box').length") > 10


def test_printed_from_the_browser_it_tells_the_same(
    browser: Browser, pages: dict[str, Path], sample_job: Job
) -> None:
    """Every finding with its box to tick on paper; what is said for a screen only is not printed."""
    browser.open(pages["report"])
    browser.look(DESK_PX)
    on_screen = browser.facts(DESK_PX)["findings"]
    printed = browser.printed()
    words = subprocess.run(
        ["pdftotext", "-raw", "-", "-"], input=printed, capture_output=True, check=True
    ).stdout.decode()
    numbers = sorted(int(number) for number in re.findall(r"Your answer to number (\d+)", words))
    assert numbers == list(range(1, on_screen + 1))
    assert len(numbers) == len(sample_job.grades.findings) - 1  # one earlier repair is sound
    assert "only for reading" not in words
    sheet = PdfReader(io.BytesIO(printed)).pages[0].mediabox
    assert (round(float(sheet.width)), round(float(sheet.height))) == (612, 792)
