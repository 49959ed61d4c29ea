"""A language is one file: with one more beside the others, every page speaks it, and no English is left."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from babel import Locale
from babel.messages.catalog import Catalog
from babel.messages.pofile import write_po
from messages import MADE_UP, entries, messages, named_in_data

from soundmetal.explaining import explain
from soundmetal.photos.album import Album
from soundmetal.report import language as spoken
from soundmetal.report.html import customer_html
from soundmetal.report.job import Job
from soundmetal.report.shop import shop_html
from soundmetal.report.shots import shot_page, shots_html
from soundmetal.report.telling import ended
from soundmetal.scope.work import all_aims

#: A language of the plural rule and number habits that Babel knows and the project does not.
MADE_UP_LANGUAGE = "eo"
OPENS, CLOSES = "\u2e22", "\u2e25"


@pytest.fixture
def one_more_language(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """One file beside the others, and nothing else: every message in half brackets."""
    folder = tmp_path / "translations"
    folder.mkdir()
    catalog = Catalog(locale=MADE_UP_LANGUAGE)
    plural = {entry.id[0]: entry.id for entry in entries("es") if isinstance(entry.id, tuple)}
    for text in sorted(
        {*messages(), *named_in_data(MADE_UP_LANGUAGE), *MADE_UP} - {one[1] for one in plural.values()}
    ):
        both = plural.get(text, text)
        strings_of = tuple(map(bracketed, both)) if isinstance(both, tuple) else bracketed(both)
        catalog.add(both, strings_of)
    with (folder / f"{MADE_UP_LANGUAGE}.po").open("wb") as file:
        write_po(file, catalog)
    monkeypatch.setattr(spoken, "TRANSLATIONS", folder)
    spoken.catalogue.cache_clear()
    yield MADE_UP_LANGUAGE
    spoken.catalogue.cache_clear()


def bracketed(text: str) -> str:
    return f"{OPENS}{text}{CLOSES}"


class Shown(HTMLParser):
    """Collects the text that a reader meets, alternatives of pictures and drawings with it."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.block = ""
        self.skipped = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.skipped += tag == "style"
        self.texts += [value for name, value in attrs if name == "alt" and value]
        if tag not in ("b", "span", "a", "br"):
            self.end_block()

    def handle_endtag(self, tag: str) -> None:
        self.skipped -= tag == "style"
        if tag not in ("b", "span", "a", "br"):
            self.end_block()

    def handle_data(self, data: str) -> None:
        self.block += "" if self.skipped else data

    def end_block(self) -> None:
        if self.block.strip():
            self.texts.append(self.block.strip())
        self.block = ""


def outside_brackets(text: str) -> str:
    while re.search(f"{OPENS}[^{OPENS}{CLOSES}]*{CLOSES}", text):
        text = re.sub(f"{OPENS}[^{OPENS}{CLOSES}]*{CLOSES}", " ", text)
    return text


def people_wrote(job: Job) -> list[str]:
    inspection, contact = job.inspection, job.shop.shop
    written = [contact.name, contact.street, contact.town, contact.email, inspection.owner.name, inspection.inspector]
    written += [str(inspection.vehicle.make), str(inspection.vehicle.model), str(inspection.vehicle.colour)]
    written += [text for finding in inspection.findings for text in (finding.note, ended(finding.note))]
    written += [text for finding in inspection.findings for use in finding.photos for text in photo_words(use)]
    written += [note.note for note in inspection.not_seen] + [str(line) for line in job.shop.terms.values()]
    written += [part for line in job.shop.terms.values() for part in str(line).splitlines()]
    return sorted(filter(None, written), key=len, reverse=True)


def english_left(html: str, job: Job) -> list[str]:
    """Name what is still English on a page but what people wrote, ids, and the months."""
    shown = Shown()
    shown.feed(html)
    left = []
    for text in shown.texts:
        bare = outside_brackets(text)
        for words in people_wrote(job):
            bare = bare.replace(words, " ")
        bare = re.sub(r"iso-[\d-]+|astm-d\d+|(?:shop|us|uk|nz)-[\w.-]+", " ", bare)
        if re.search(r"[A-Za-z]{4,}", bare) and not set(re.findall(r"[a-z]{4,}", bare)) <= MONTHS:
            left.append(bare)
    return left


def test_a_language_is_one_file(one_more_language: str, job: Job) -> None:
    """With one file more, no English is left in the report but what people wrote and what things are called by."""
    assert english_left(customer_html(job, one_more_language), job) == []


def test_the_packet_of_the_shop_speaks_it_too(one_more_language: str, job: Job) -> None:
    scopes = all_aims(job.inspection, job.body, job.shop, job.book, job.grades)
    worked = replace(job, scopes=scopes)
    left = english_left(shop_html(worked, one_more_language), worked)
    sheets = [sheet.id for sheet in job.shop.sheets]
    # names of sheets and keys of operations stand as in the shop's own file
    own = [text for text in left if text in job.shop.operations or any(sheet in text for sheet in sheets)]
    assert left == own


def test_the_list_of_photographs_speaks_it_too(one_more_language: str, job: Job) -> None:
    asked = job.inspection.model_copy(update={"language": one_more_language})
    nothing = Album((), zones_without_photo=tuple(zone.id for zone in job.body.zones))
    html = shots_html(shot_page(asked, job.body, job.shop, nothing))
    assert english_left(html, job) == []


def test_a_rule_book_is_explained_in_it_too(one_more_language: str, tmp_path: Path) -> None:
    (book,) = explain("uk", tmp_path, one_more_language)
    assert book.title[0] + book.title[-1] == OPENS + CLOSES


def photo_words(use: Any) -> Iterator[str]:
    yield from filter(None, (use.caption, *(mark.text for mark in use.call_outs)))


#: Months of the made-up language's calendar come from Babel, not from the file.
MONTHS = set(Locale.parse(MADE_UP_LANGUAGE).months["format"]["wide"].values())
