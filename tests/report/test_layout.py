"""How the sample's pages are filled, read from the PDF by poppler: nothing split badly, nothing left alone, sharp."""

from __future__ import annotations

import dataclasses
import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from PIL import Image

from soundmetal import pipeline
from soundmetal.record.terms import Paper, Units
from soundmetal.report.job import Job
from soundmetal.report.pages.findings import finding_pages
from soundmetal.report.pages.photographs import LEAST_DPI
from soundmetal.report.publish import write_pdf_of
from soundmetal.report.telling import telling

XHTML = "{http://www.w3.org/1999/xhtml}"
#: A line taller than this, in points, is a heading: h3 is set in 14.5 pt, text in 10.8 pt.
HEADING_PT = 16.0
#: Running heads and page numbers stand outside this part of the page's height.
TEXT_FROM, TEXT_TO = 0.06, 0.945
#: A page that is filled to less than this looks like a mistake; the last page may end early.
LEAST_FILLED = 0.3
READERS = (("en", Paper.LETTER, Units.US), ("es", Paper.LETTER, Units.US), ("es", Paper.A4, Units.METRIC))


@dataclass(frozen=True)
class Line:
    """One line of text on a page: where it ends as a share of the page's height, how tall, its words."""

    bottom: float
    tall_pt: float
    words: str


@dataclass(frozen=True)
class Read:
    """A report as written, and its pages as read back."""

    pdf: Path
    job: Job
    pages: list[list[Line]]


@pytest.fixture(scope="module")
def worked(sample_inspection: Path, tmp_path_factory: pytest.TempPathFactory) -> Job:
    folder = tmp_path_factory.mktemp("laid out") / "sample_inspection"
    shutil.copytree(sample_inspection, folder, ignore=shutil.ignore_patterns(".soundmetal", "*.pdf", "*.html"))
    loaded = pipeline.load(folder)
    return pipeline.work_out(loaded, pipeline.album_of(loaded))


@pytest.fixture(scope="module", params=READERS, ids=lambda reader: f"{reader[0]}-{reader[1].value}")
def read(request: pytest.FixtureRequest, worked: Job, tmp_path_factory: pytest.TempPathFactory) -> Read:
    code, paper, units = request.param
    inspection = worked.inspection.model_copy(update={"language": code, "paper": paper, "units": units})
    job = dataclasses.replace(worked, inspection=inspection)
    pdf = write_pdf_of("report", job, tmp_path_factory.mktemp("pdf") / "report.pdf")
    return Read(pdf, job, [sorted(lines(page), key=lambda line: line.bottom) for page in pages_of(pdf)])


def pages_of(pdf: Path) -> list[ET.Element]:
    out = subprocess.run(["pdftotext", "-bbox-layout", pdf, "-"], capture_output=True, text=True, check=True).stdout
    return list(ET.fromstring(re.sub(r"[\x00-\x08\x0b\x0c\x0e-\x1f]", "", out)).iter(f"{XHTML}page"))


def lines(page: ET.Element) -> Iterator[Line]:
    height = float(page.attrib["height"])
    for line in page.iter(f"{XHTML}line"):
        top, bottom = float(line.attrib["yMin"]), float(line.attrib["yMax"])
        if top / height > TEXT_FROM and bottom / height < TEXT_TO:
            words = " ".join(word.text or "" for word in line.iter(f"{XHTML}word"))
            yield Line(bottom / height, bottom - top, words)


def test_no_page_is_left_nearly_empty(read: Read) -> None:
    filled = [page[-1].bottom if page else 0.0 for page in read.pages]
    assert [(number, round(to, 2)) for number, to in enumerate(filled[:-1], 1) if to < LEAST_FILLED] == []


def test_no_heading_stands_last_on_its_page(read: Read) -> None:
    assert [page[-1].words for page in read.pages if page[-1].tall_pt > HEADING_PT] == []


def test_the_first_page_holds_all_of_the_short_of_it(read: Read) -> None:
    told = telling(read.job)
    closing = str(told.lang.text(told.words.ranges)).split()[-1]
    assert any(closing in line.words for line in read.pages[0])


def test_no_finding_is_split(read: Read) -> None:
    told = telling(read.job)
    text = [squeezed(" ".join(line.words for line in page)) for page in read.pages]
    for page in finding_pages(told):
        ends = squeezed(told.lang.text("Your answer to number {number}", number=page.number).unescape())
        holding = [words for words in text if re.search(rf"{re.escape(ends)}(?!\d)", words)]
        assert len(holding) == 1, page.number
        assert squeezed(page.name) in holding[0], page.number


def squeezed(text: str) -> str:
    return re.sub(r"\s+", " ", text.replace("\u00a0", " "))


def test_photographs_are_sharp(read: Read) -> None:
    """Poppler's own reckoning of every picture's pixels over its size on paper."""
    out = subprocess.run(["pdfimages", "-list", read.pdf], capture_output=True, text=True, check=True).stdout
    placed = [row.split() for row in out.splitlines()[2:]]
    dots = [int(value) for row in placed if row[2] == "image" for value in row[12:14]]
    assert len(dots) >= 2 * 24
    assert min(dots) >= LEAST_DPI


def test_a_small_photograph_is_set_smaller_not_coarser(read: Read, tmp_path: Path) -> None:
    small = dict(read.job.album.by_name)
    name, photo = next(iter(small.items()))
    path = tmp_path / "small.jpg"
    Image.new("RGB", (240, 180), (90, 70, 50)).save(path)
    copy = dataclasses.replace(photo.copy, path=path, width=240, height=180)
    photos = tuple(dataclasses.replace(p, copy=copy) if p is photo else p for p in read.job.album.photos)
    job = dataclasses.replace(read.job, album=dataclasses.replace(read.job.album, photos=photos))
    views = [view for page in finding_pages(telling(job)) for view in page.photos if view.url == path.as_uri()]
    assert views, name
    assert all(240 / (float(view.width_mm) / 25.4) >= LEAST_DPI - 0.5 for view in views)
