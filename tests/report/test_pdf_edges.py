"""The PDF under pressure: forbidden addresses, complaints, full folders, long words, letters that no font has."""

from __future__ import annotations

import dataclasses
import re
import subprocess
from pathlib import Path

import pytest

from soundmetal.errors import FolderError, RenderError
from soundmetal.paths import template_dir
from soundmetal.report.pages.findings import finding_pages
from soundmetal.report.pages.practice import practice
from soundmetal.report.pdf import Fetcher, pdf_bytes
from soundmetal.report.publish import write_pdf_of
from soundmetal.report.telling import telling


def poppler(*command: str | Path) -> str:
    return subprocess.run(list(map(str, command)), capture_output=True, text=True, check=True).stdout


def squeezed(text: str) -> str:
    return re.sub(r"\s+", " ", text.replace("\u00a0", " "))


def test_only_what_is_allowed_is_read(tmp_path) -> None:
    inside, outside = tmp_path / "in", tmp_path / "out"
    inside.mkdir()
    outside.mkdir()
    (inside / "a.jpg").write_bytes(b"a")
    (outside / "b.jpg").write_bytes(b"b")
    (inside / "link.jpg").symlink_to(outside / "b.jpg")
    fetch = Fetcher([inside])
    assert fetch((inside / "a.jpg").as_uri()).read() == b"a"
    bad = [
        (outside / "b.jpg").as_uri(),
        (inside / "link.jpg").as_uri(),
        inside.as_uri() + "/../out/b.jpg",
        "file:///etc/passwd",
        "http://example.invalid/x",
        "data:text/plain,x",
        "ftp://example.invalid/",
        "x:",
    ]
    for url in bad:
        with pytest.raises(RenderError, match="may not read"):
            fetch(url)


@pytest.mark.parametrize(
    "body",
    [
        '<img alt=x src="file:///etc/passwd">',
        '<img alt=x src="http://example.invalid/">',
        "<p style='colour: none'>x</p>",
        "<img src='no-alt.png'>",
    ],
)
def test_any_complaint_while_rendering_is_an_error(body: str) -> None:
    with pytest.raises(RenderError):
        pdf_bytes(f"<html lang=en><title>x</title>{body}", allowed=[template_dir()], base=template_dir())


def test_a_file_that_was_there_stays_when_rendering_fails(job, tmp_path, monkeypatch) -> None:
    target = tmp_path / "report.pdf"
    target.write_bytes(b"before")
    monkeypatch.setattr(
        "soundmetal.report.publish.pdf_bytes", lambda *_a, **_k: (_ for _ in ()).throw(RenderError("no"))
    )
    with pytest.raises(RenderError):
        write_pdf_of("report", job, target)
    assert target.read_bytes() == b"before"
    (tmp_path / "folder.pdf").mkdir()
    monkeypatch.undo()
    with pytest.raises(FolderError):
        write_pdf_of("report", job, tmp_path / "folder.pdf")


def long_text(words: int) -> str:
    return " ".join(f"word{n}" for n in range(words))


def test_edges_of_what_a_record_may_hold(job_with, tmp_path) -> None:
    """No finding at all; no photograph at all; a note longer than a page; names as long as they may be."""
    empty = job_with(findings=[])
    scopes = {aim: dataclasses.replace(scope, order=(), holds=(), panels=()) for aim, scope in empty.scopes.items()}
    clean = write_pdf_of("report", dataclasses.replace(empty, scopes=scopes), tmp_path / "empty.pdf")
    assert "We found no rust that needs work." in squeezed(poppler("pdftotext", "-raw", clean, "-"))
    plain = [finding.model_dump(mode="json", by_alias=True) for finding in job_with().inspection.findings]
    bare = [{**finding, "photos": []} for finding in plain]
    bare[0]["note"] = long_text(500)[:4000]
    bare[1]["note"] = "x" * 4000
    job = job_with(
        findings=bare,
        owner={"name": "W" * 200},
        inspector="ñ" * 200,
        vehicle={"body": "pickup", "structure": "frame", "make": "M" * 200, "colour": "漢字 العربية"},
    )
    text = squeezed(poppler("pdftotext", "-raw", write_pdf_of("report", job, tmp_path / "long.pdf"), "-"))
    assert "word400" in text
    assert "العربية" in text or "ةيبرعلا" in text


def test_letters_that_no_font_has_leave_a_box_and_the_rest_stands(job_with, tmp_path) -> None:
    job = job_with(inspector="Ana \U0001f44d 漢字 \U0001fae8")
    text = squeezed(poppler("pdftotext", "-raw", write_pdf_of("report", job, tmp_path / "r.pdf"), "-"))
    assert "Looked at by Ana" in text


@pytest.mark.parametrize("book", ["uk", "nz", "us"])
def test_every_rule_book_is_told_with_its_sources(job_with, tmp_path, book: str) -> None:
    job = job_with(rule_book=book)
    text = squeezed(poppler("pdftotext", "-raw", write_pdf_of("report", job, tmp_path / "book.pdf"), "-"))
    assert f"Rule book: {job.book.name('en')}" in text
    told = telling(job)
    used = {note for graded in told.told for note in graded.book_notes}
    assert used
    assert used <= {rule.id for rule in practice(told).rules}
    beside = [str(sentence.unescape()) for page in finding_pages(told) for sentence in page.matters]
    for note in used:
        assert beside.count(job.book.note(note).text) == 1, note
        assert squeezed(job.book.note(note).text) in text
