"""The page as HTML: nothing that a person wrote is code, nothing is fetched, one file holds everything."""

from __future__ import annotations

import base64
import io
import re
from html.parser import HTMLParser

import pytest
from PIL import Image

from soundmetal.errors import RenderError, SettingsError
from soundmetal.record.models import CallOut, PhotoUse
from soundmetal.report.html import css_string, customer_html, embedded, style
from soundmetal.report.pages.photographs import _Slot, _view
from soundmetal.report.publish import write_page_of
from soundmetal.report.telling import telling

VOID = {"meta", "img", "br", "link", "input"}


class Reader(HTMLParser):
    """Reads a page strictly enough to see that every tag that opens closes."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def read(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    assert reader.open == []
    return reader


@pytest.fixture(scope="module")
def html(job) -> str:
    return customer_html(job)


def test_page_is_well_formed(html: str) -> None:
    tags = [tag for tag, _ in read(html).tags]
    assert tags.count("h1") == 1
    assert tags.count("article") == 7
    assert "script" not in tags


def test_what_people_wrote_stays_text(html: str) -> None:
    assert "<script" not in html
    assert "&lt;script&gt;alert(&#34;x&#34;)&lt;/script&gt;" in html
    assert "¡ojo! Ñandú" in html
    sources = [attrs["src"] for tag, attrs in read(html).tags if tag == "img"]
    assert all(source and source.startswith("file:") and ".soundmetal" in source for source in sources)


def test_hostile_names_everywhere(job_with) -> None:
    evil = '"><img src=x onerror=alert(1)>\u202e{{ 7*7 }}{% raw %}'
    job = job_with(owner={"name": evil}, inspector=evil, vehicle={"make": evil, "model": "'", "body": "pickup",
                   "structure": "frame", "colour": "</style><b>", "identification": "';--"})  # fmt: skip
    reader = read(customer_html(job))
    assert [attrs for tag, attrs in reader.tags if "onerror" in attrs] == []
    assert "49" not in "".join(reader.words).split("Inés")[0][:400]
    assert any(evil.split("\u202e")[0] in words for words in reader.words)


def test_css_strings_cannot_end_early() -> None:
    assert css_string('a"} body {x:y} </style>\\') == (
        '"a\\22 \\7d  body \\7b x\\3a y\\7d  \\3c \\2f style\\3e \\5c "'
    )


def test_no_file_name_of_a_photograph_is_told(html: str, job) -> None:
    for photo in job.album.photos:
        assert photo.name not in html
        assert photo.name.removesuffix(".jpg").replace(" ", "%20") + "." not in html


def test_every_picture_and_drawing_has_words(html: str) -> None:
    reader = read(html)
    assert all(attrs.get("alt") for tag, attrs in reader.tags if tag == "img")
    svgs = re.findall(r"<svg.*?</svg>", html, re.DOTALL)
    assert len(svgs) > 30
    assert all(re.search(r"<title>[^<]{3,}</title>", svg) for svg in svgs)


def test_links_lead_somewhere(html: str) -> None:
    reader = read(html)
    ids = [attrs["id"] for _, attrs in reader.tags if "id" in attrs]
    wanted = [(attrs.get("href") or "")[1:] for tag, attrs in reader.tags if tag == "a"]
    assert len(ids) == len(set(ids))
    assert wanted
    assert set(wanted) <= set(ids)


def test_same_job_same_page(job) -> None:
    assert customer_html(job) == customer_html(job)


def test_one_file_holds_pictures_without_metadata_and_fonts(job, tmp_path) -> None:
    path = write_page_of("report", job, tmp_path / "report.html")
    page = path.read_text(encoding="utf-8")
    assert "file:" not in re.sub(r"data:[^\"]+", "", page).replace("img src=file:///etc/passwd", "")
    assert page.count("data:font/woff2;base64,") == 8
    pictures = [base64.b64decode(data) for data in re.findall(r"data:image/jpeg;base64,([^\"]+)", page)]
    assert len(pictures) == 6
    for data in pictures:
        with Image.open(io.BytesIO(data)) as image:
            assert dict(image.getexif()) == {}
        assert b"Secretmaker" not in data


def test_a_page_shows_boxes_and_has_no_form(job, tmp_path, html: str) -> None:
    page = write_page_of("report", job, tmp_path / "report.html").read_text(encoding="utf-8")
    buttons, written = html.count('<input type="radio"'), html.count("<input ")
    assert buttons == 3 + 3 * len(set(re.findall(r'name="(sm-[^"]+-reply-[^"]+)"', html)))
    assert written == buttons + 2  # name and date
    assert "<input" not in page
    assert page.count('<span class="box"></span>') == buttons
    assert "sm-" not in re.sub(r"data:[^\")]+", "", page)


def test_how_to_answer_is_told_on_a_screen_only(html: str) -> None:
    assert html.count('<p class="answering">') == 1
    assert ".answering { display: none }" in style("customer/report.css")
    assert ".answering { display: block;" in style("customer/screen.css")


@pytest.mark.parametrize("place", ["alone", "column", "margin", "first-in-row"])
def test_call_outs_are_as_large_on_every_photograph(job, place: str) -> None:
    """A figure of 2.25 mm (6.4 pt) on paper, whichever way round the photograph is and wherever it stands."""
    telling_it, mark = telling(job, "en"), CallOut(kind="point", points=((0.5, 0.5),))
    for photo in job.album.photos:
        slot = _Slot(photo, PhotoUse(file=photo.name, marks=(mark,)), 1, place)
        view = _view(telling_it.lang, slot, telling_it.zone(job.inspection.findings[0].zone), 1)
        size = float(re.search(r'font-size="([\d.]+)"', view.overlay)[1])
        assert size / photo.copy.width * float(view.width_mm) == pytest.approx(2.25, abs=0.02)


def test_spanish_page_says_so(job) -> None:
    html = customer_html(job, "es")
    assert '<html lang="es">' in html
    assert "Lo que encontramos" in html


def test_unknown_language(job) -> None:
    with pytest.raises(SettingsError, match="en, es"):
        customer_html(job, "qq")


def test_a_lost_picture_is_an_error() -> None:
    with pytest.raises(RenderError, match=r"gone\.jpg"):
        embedded('<img src="file:///nowhere/gone.jpg">')
