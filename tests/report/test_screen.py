"""The page on a screen: what the style sheet promises a phone, light or dark; tests/browser asks a real one."""

from __future__ import annotations

import re

import pytest

from soundmetal.paths import template_dir
from soundmetal.report.html import customer_html
from soundmetal.report.palette import contrast

SHEET = (template_dir() / "customer" / "screen.css").read_text(encoding="utf-8")
DARK = SHEET[SHEET.index("prefers-color-scheme: dark") :]
PHONE = SHEET[SHEET.index("max-width: 940px") : SHEET.index("prefers-color-scheme: dark")]
#: WCAG 2.2, 1.4.3: text; 1.4.11: what is needed to see a control.
TEXT, CONTROL = 4.5, 3.0
LEAST_PX = 16


def test_dark_text_can_be_read() -> None:
    ground = re.search(r":root \{ background: (#\w{6}) \}", DARK)
    assert ground
    colours = re.findall(r"[{;] (?:accent-)?color: (#\w{6})", DARK)
    assert len(colours) >= 3
    assert [c for c in colours if contrast(c, ground[1]) < TEXT] == []
    assert all(contrast(c, ground[1]) >= CONTROL for c in re.findall(r"[{;] border-color: (#\w{6})", DARK))


def test_a_drawing_keeps_its_paper_in_the_dark() -> None:
    paper = re.search(r"svg:not\(\.call-outs\) \{ background: (#\w{6})", DARK)
    assert paper
    assert contrast("#231e1a", paper[1]) >= 7
    assert contrast("#655c54", paper[1]) >= TEXT


@pytest.mark.parametrize("name", [".side", ".note", ".rules", ".words", ".two", ".others", ".part-is", ".order"])
def test_small_print_grows_on_a_phone(name: str) -> None:
    rule = re.search(r"([^{}]*)\{ font-size: (\d+)px; line-height: [\d.]+ \}", PHONE)
    assert rule
    assert int(rule[2]) >= LEAST_PX
    assert name in re.split(r",\s*", rule[1].strip())


def test_the_aim_that_was_chosen_is_marked_without_the_tables_head(html: str) -> None:
    assert re.findall(r'data-yours="([^"]+)"', html) == ["what you have in mind"]
    assert "attr(data-yours)" in PHONE


def test_words_that_stand_side_by_side_do_not_run_together(html: str) -> None:
    """Read aloud or copied, spans have blanks between them."""
    assert re.findall(r"\w</(?:span|b)><(?:span|b)\b[^>]*>\w", html) == []


def test_notes_in_another_language_say_so(job, html: str) -> None:
    assert 'lang="en">' in customer_html(job, "es").split("<body", 1)[1]
    assert 'lang="' not in html.split("<body", 1)[1]


@pytest.fixture(scope="module")
def html(job) -> str:
    return customer_html(job)
