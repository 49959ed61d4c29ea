"""The PDF, read back by readers that did not write it: pypdf and poppler."""

from __future__ import annotations

import io
import itertools
import re
import subprocess
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader
from pypdf.generic import ContentStream, IndirectObject

from soundmetal.report.html import customer_html
from soundmetal.report.pages.findings import finding_pages
from soundmetal.report.publish import write_pdf_of
from soundmetal.report.telling import telling


@pytest.fixture(scope="module")
def pdf(job, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_pdf_of("report", job, tmp_path_factory.mktemp("pdf") / "report.pdf")


@pytest.fixture(scope="module")
def reader(pdf: Path) -> PdfReader:
    return PdfReader(pdf)


def poppler(*command: str | Path) -> str:
    return subprocess.run(list(map(str, command)), capture_output=True, text=True, check=True).stdout


def squeezed(text: str) -> str:
    return re.sub(r"\s+", " ", text.replace("\u00a0", " "))


@pytest.fixture(scope="module")
def words(pdf: Path) -> str:
    return squeezed(poppler("pdftotext", "-raw", pdf, "-"))


def test_every_finding_is_there_in_order(words: str, job) -> None:
    told = telling(job)
    at = 0
    for page in finding_pages(told):
        for part in (page.name, page.plain, str(page.seen[0].unescape()), f"Your answer to number {page.number}"):
            found = words.find(squeezed(part), at)
            assert found >= 0, (page.reference, part)
        at = words.index(f"Your answer to number {page.number}", at)
    assert 'The <script>alert("x")</script> seam & the "tail" are soft; ¡ojo! Ñandú' in words


def test_reading_order(words: str) -> None:
    order = [
        "We found rust in",
        "What touches safety",
        "Strong and tidy",
        "What we found",
        "The rest of the car",
        "How the work goes",
        "How it is done",
        "Rules and sources",
        "Nothing in this report certifies",
    ]
    at = [words.index(part) for part in order]
    assert at == sorted(at)


def test_pypdf_reads_the_same_words(reader: PdfReader) -> None:
    text = squeezed(" ".join(page.extract_text() for page in reader.pages))
    assert "Left outer rocker" in text
    assert f"page 1 of {len(reader.pages)}" in text
    assert f"page {len(reader.pages)} of {len(reader.pages)}" in text


def test_poppler_calls_it_tagged_and_named(pdf: Path) -> None:
    info = poppler("pdfinfo", pdf)
    assert re.search(r"Tagged:\s+yes", info)
    assert re.search(r"Title:\s+Rust inspection, 1964 Larkspur Drover, November 18, 2026", info)
    assert re.search(r"Author:\s+Millrace Metalworks", info)
    assert re.search(r"Subject:\s+Rust inspection", info)
    assert re.search(r"Page size:\s+612 x 792 pts \(letter\)", info)
    assert "JavaScript:      no" in info


def test_dates_are_the_records(reader: PdfReader) -> None:
    assert reader.metadata is not None
    assert str(reader.metadata["/CreationDate"]).startswith("D:20261118")
    assert str(reader.metadata["/ModDate"]).startswith("D:20261118")


def test_structure(reader: PdfReader) -> None:
    catalogue = reader.root_object
    assert catalogue["/MarkInfo"]["/Marked"]
    assert catalogue["/Lang"] == "en"
    assert catalogue["/ViewerPreferences"]["/DisplayDocTitle"]
    kinds = [element["/S"] for element in elements(catalogue["/StructTreeRoot"])]
    assert kinds.count("/H1") == 1
    assert kinds.count("/H3") >= 7
    assert kinds.count("/Art") == 7
    assert {"/Document", "/Sect", "/P", "/Figure", "/Table", "/TH", "/TD", "/Link", "/L", "/LI"} <= set(kinds)


def test_headings_are_never_skipped(reader: PdfReader) -> None:
    levels = [int(e["/S"][2:]) for e in elements(reader.root_object["/StructTreeRoot"]) if re.match(r"/H\d", e["/S"])]
    assert levels[0] == 1
    assert all(b <= a + 1 for a, b in itertools.pairwise(levels))


def test_every_figure_has_words(reader: PdfReader) -> None:
    figures = [e for e in elements(reader.root_object["/StructTreeRoot"]) if e["/S"] == "/Figure"]
    assert len(figures) > 30
    assert [figure for figure in figures if not str(figure.get("/Alt", "")).strip()] == []


def elements(node):
    node = node.get_object() if isinstance(node, IndirectObject) else node
    if isinstance(node, list):
        for kid in node:
            yield from elements(kid)
    elif isinstance(node, dict):
        if "/S" in node and node.get("/Type") == "/StructElem":
            yield node
        if "/K" in node:
            yield from elements(node["/K"])


def test_all_fonts_are_ours_and_embedded(pdf: Path) -> None:
    rows = poppler("pdffonts", pdf).splitlines()[2:]
    assert rows
    for row in rows:
        assert "Alegreya-Sans" in row
        assert re.search(r"\byes yes yes\b", row), row  # embedded, subset, with a map to Unicode


def test_bookmarks(reader: PdfReader) -> None:
    titles: list[str] = []

    def walk(items) -> None:
        for item in items:
            walk(item) if isinstance(item, list) else titles.append(item.title)

    walk(reader.outline)
    assert titles[0] == "1964 Larkspur Drover"
    assert "How the work goes" in titles
    assert any("Left outer rocker" in title for title in titles)


def test_links_lead_to_findings(reader: PdfReader) -> None:
    targets = [a.get_object() for a in reader.pages[0].get("/Annots", []) if a.get_object()["/Subtype"] == "/Link"]
    assert targets
    assert {str(t["/Dest"]) for t in targets} <= set(reader.named_destinations)
    assert "/A" not in targets[0]


def test_pictures_pass_unchanged_and_tell_nothing(reader: PdfReader, job) -> None:
    copies = {photo.copy.path.read_bytes() for photo in job.album.photos}
    found = [x.get_object() for page in reader.pages for x in page["/Resources"]["/XObject"].values()]
    pictures = {bytes(x._data) for x in found if x.get("/Subtype") == "/Image"}
    assert pictures == copies
    for data in pictures:
        with Image.open(io.BytesIO(data)) as image:
            assert dict(image.getexif()) == {}
            assert "exif" not in image.info


def test_no_name_of_a_photograph_or_place_on_the_disk(pdf: Path, job) -> None:
    raw = pdf.read_bytes() + poppler("pdftotext", pdf, "-").encode()
    for secret in ("Secretmaker", "rocker left.jpg", ".soundmetal", str(job.folder)):
        assert secret.encode() not in raw


def test_same_job_same_bytes(pdf: Path, job, tmp_path) -> None:
    assert write_pdf_of("report", job, tmp_path / "again.pdf").read_bytes() == pdf.read_bytes()


def test_no_heading_is_left_alone_at_the_foot_of_a_page(pdf: Path, reader: PdfReader) -> None:
    heads = {
        "What we saw.",
        "Rules and sources",
        "Words of the trade",
        "What waiting means",
        "Earlier work that stays",
    }
    for number in range(1, len(reader.pages) + 1):
        lines = [
            line.strip()
            for line in poppler("pdftotext", "-f", str(number), "-l", str(number), "-layout", pdf, "-").splitlines()
        ]
        lines = [line for line in lines if line]
        assert lines[-2] not in heads


@pytest.mark.parametrize(
    ("code", "paper", "units", "size"), [("es", "A4", "metric", "A4"), ("es", "letter", "us", "letter")]
)
def test_other_readers(job_with, tmp_path, code: str, paper: str, units: str, size: str) -> None:
    job = job_with(language=code, paper=paper, units=units)
    path = write_pdf_of("report", job, tmp_path / "report.pdf")
    assert f"({size})" in poppler("pdfinfo", path)
    text = squeezed(poppler("pdftotext", "-raw", path, "-"))
    assert "página 1 de" in text
    assert ("420 mm" if units == "metric" else "16 1/2 pulg") in text
    assert PdfReader(path).root_object["/Lang"] == code


def test_page_one_tells_it_all(reader: PdfReader, job_with, tmp_path) -> None:
    es = PdfReader(write_pdf_of("report", job_with(language="es", paper="A4", units="metric"), tmp_path / "es.pdf"))
    for page, last in ((reader.pages[0], "in one in ten"), (es.pages[0], "en uno de cada diez")):
        assert last in squeezed(page.extract_text())


def test_marked_content_is_balanced(reader: PdfReader) -> None:
    for page in reader.pages:
        operators = [op for _, op in ContentStream(page.get_contents(), reader).operations]
        assert operators.count(b"BDC") + operators.count(b"BMC") == operators.count(b"EMC")


def test_html_and_pdf_come_from_one_text(job, words: str) -> None:
    html = customer_html(job)
    for part in ("What could still change.", "Dashed: away from the shop"):
        assert part in html
        assert part in words
