"""Names and notes that would like to be something else: in the PDF, the page and the terminal they stay text."""

from __future__ import annotations

import json
import shutil
from html.parser import HTMLParser
from pathlib import Path

import pytest
from commanding import Run, close_up, pdf_text

from soundmetal.errors import Exit

EVIL = "<script>alert('x')</script> & \"quoted\" {{7*7}} {brace} %s"
FOREIGN = "Íñigo Łukasz Œuvre Đorđe Ψωμί Жук"


class _Page(HTMLParser):
    """What a page is made of: tags with their attributes, and its text."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self._style = False
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._style = tag == "style"

    def handle_data(self, data: str) -> None:
        self.text += "" if self._style else data

    def handle_endtag(self, tag: str) -> None:
        self._style = False


@pytest.fixture
def evil_inspection(small_inspection: Path) -> Path:
    """Names and notes that would like to be mark-up, templates, paths or commands to the terminal."""
    photos = small_inspection / "photos"
    shutil.move(photos / "floor left front.jpg", photos / "\"><script>alert(1)< 'ñ.jpg")
    path = small_inspection / "inspection.yaml"
    text = path.read_text(encoding="utf-8")
    quoted = json.dumps(EVIL)
    text = text.replace('"Ana Quiroga"', json.dumps(FOREIGN, ensure_ascii=False)).replace('"Drover"', quoted)
    text = text.replace("floor left front.jpg", json.dumps("\"><script>alert(1)< 'ñ.jpg", ensure_ascii=False))
    text = text.replace("size: 320 x 60 mm", f"size: 320 x 60 mm\n    note: {quoted}")
    path.write_text(
        text.replace("cowl.top: {all: clear}", f"cowl.top: {{all: clear, note: {quoted}}}"), encoding="utf-8"
    )
    return small_inspection


@pytest.mark.parametrize("command", ["report", "scope"])
def test_names_and_notes_stay_text_in_pdf_and_page(command: str, soundmetal_here: Run, evil_inspection: Path) -> None:
    done = soundmetal_here(command, evil_inspection, "--html")
    assert (done.returncode, done.stderr) == (0, "")
    html = (evil_inspection / f"{command}.html").read_text(encoding="utf-8")
    page = _Page(html)
    assert not {"script", "iframe", "object", "embed", "link", "base", "form"} & {tag for tag, _ in page.tags}
    assert not [name for _tag, attrs in page.tags for name in attrs if name.startswith("on")]
    assert EVIL in page.text
    assert "alert(1)" not in html
    text = pdf_text(evil_inspection / f"{command}.pdf")
    assert close_up(EVIL) in close_up(text)
    if command == "report":
        assert FOREIGN in page.text
        assert close_up(FOREIGN) in close_up(text)


@pytest.mark.parametrize("command", ["report", "scope"])
def test_a_page_fetches_nothing_and_names_no_photograph(
    command: str, soundmetal_here: Run, small_inspection: Path
) -> None:
    soundmetal_here(command, small_inspection, "--html")
    html = (small_inspection / f"{command}.html").read_text(encoding="utf-8")
    for tag, attrs in _Page(html).tags:
        for name in ("src", "href", "data", "srcset", "action", "poster", "xlink:href"):
            value = attrs.get(name) or ""
            assert value.startswith(("data:", "#", "mailto:", "tel:")) or not value, (tag, name, value[:60])
    places = html.replace("data:", "").split("url(")[1:]
    assert all(place.lstrip("\"'").startswith(("font/", "image/", "#")) for place in places)
    assert "@import" not in html
    assert str(small_inspection) not in html
    assert "one.jpg" not in html
    assert "floor left front.jpg" not in html
    pdf = (small_inspection / f"{command}.pdf").read_bytes()
    assert b"one.jpg" not in pdf
    assert str(small_inspection).encode() not in pdf


def test_what_a_terminal_is_told_of_evil_names_is_harmless(soundmetal_here: Run, small_inspection: Path) -> None:
    name = "a\x1b]0;owned\x07\nsoundmetal: all is well\r.jpg"
    (small_inspection / "photos" / name).write_text("no picture")
    done = soundmetal_here("check", small_inspection)
    assert done.returncode == Exit.INCOMPLETE
    assert not set("\x1b\x07\r") & set(done.stdout)
    assert not [line for line in done.stdout.splitlines() if line.startswith("soundmetal")]
