"""PDFs that would keep a reader busy, damaged ones, and any bytes at all."""

from __future__ import annotations

import contextlib
import io
import os
import zlib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from odd_pdfs import assembled, small_pdf
from pypdf.generic import DecodedStreamObject, NameObject, NumberObject
from refusing import refused
from small import write_small_inspection

from soundmetal import pipeline
from soundmetal.cli import main
from soundmetal.errors import SoundmetalError
from soundmetal.folder.carried import FILE, open_report
from soundmetal.folder.pdf_file import PdfFile
from soundmetal.folder.pdf_syntax import PdfFault, Reader
from soundmetal.report.publish import pdf_of


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    loaded = pipeline.load(write_small_inspection(tmp_path_factory.mktemp("real")))
    return pdf_of("report", pipeline.work_out(loaded, pipeline.album_of(loaded)))


LOOPS: dict[str, tuple[bytes, str]] = {
    "table that leads to itself": (
        assembled({1: b"<< >>"}, trailer="/Root 1 0 R /Prev 30"),
        "carries no inspection",
    ),
    "length that asks for itself": (
        small_pdf({FILE: b"{}"}).replace(b"/Length 10 ", b"/Length 3 0 R "),
        "",
    ),
    "reference to itself": (small_pdf({FILE: b"{}"}, root="/AcroForm 10 0 R", more=(b"10 0 R",)), ""),
    "ring of references": (
        small_pdf({FILE: b"{}"}, root="/AcroForm 10 0 R", more=(b"11 0 R", b"10 0 R")),
        "",
    ),
    "nested arrays": (small_pdf({FILE: b"{}"}, root="/X " + "[" * 5000), "nested too deep"),
    "no catalogue": (assembled({2: b"<< >>"}, trailer="/Root 1 0 R"), "has no catalogue"),
    "catalogue that is a number": (assembled({1: b"7"}), "has no catalogue"),
    "million of parts": (
        b"%PDF-1.7\nxref\n0 99999999\ntrailer\n<< /Root 1 0 R >>\nstartxref\n9\n%%EOF",
        "claims more parts",
    ),
    "list of files that leads to itself": (
        small_pdf({}, root="/Names << /EmbeddedFiles 10 0 R >>", more=(b"<< /Kids [10 0 R 10 0 R] >>",)),
        "names more files",
    ),
    "text without an end": (small_pdf({FILE: b"{}"}, root="/Lang (en"), "does not end"),
}


@pytest.mark.parametrize("case", LOOPS)
def test_a_file_that_would_keep_a_reader_busy(case: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data, why = LOOPS[case]
    refused(data, tmp_path, why, capsys)


def table_stream(entries: str, rows: bytes) -> bytes:
    """A PDF whose table of contents is a stream (ISO 32000-2, 7.5.8)."""
    raw = zlib.compress(rows)
    head = f"1 0 obj\n<< /Type /XRef /Root 1 0 R /Filter /FlateDecode /Length {len(raw)} {entries} >>\nstream\n"
    return b"%PDF-1.7\n" + head.encode() + raw + b"\nendstream\nendobj\nstartxref\n9\n%%EOF"


@pytest.mark.parametrize(
    ("entries", "rows"),
    [
        ("/W [0 0 0] /Size 9 /Index [0 1000000 0 1000000 0 1000000]", b""),
        ("/W [1 2 1] /Size 1000000000", b"\1\0\0\0"),
        ("/W [1 99999999 1] /Size 1", b"\1\0\0\0"),
        ("/W [-1 2 1] /Size 1", b"\1\0\0\0"),
        ("/W [1 2 1] /Size (x)", b"\1\0\0\0"),
        ("/W [1 2 1] /Size 1 /DecodeParms << /Predictor 12 /Columns 999999999 >>", b"\1\0\0\0"),
        ("/W [1 2 1] /Size 1 /DecodeParms << /Predictor 2 >>", b"\1\0\0\0"),
        ("/W [1 2 1] /Size 2 /Index [0 2]", b"\2\0\1\0" + b"\2\0\1\0"),  # the catalogue lies in itself
    ],
)
def test_a_damaged_table_of_contents(entries: str, rows: bytes, tmp_path: Path, capsys: Any) -> None:
    refused(table_stream(entries, rows), tmp_path, "", capsys)


def test_a_file_of_200_mb_is_not_even_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "in.pdf"
    with path.open("wb") as stream:
        stream.write(b"%PDF-1.7\n")
        stream.truncate(200_000_000)
    with pytest.raises(SystemExit) as ended:
        main(["start", str(tmp_path / "made"), "--from-pdf", str(path)])
    assert ended.value.code == 4
    assert "is larger than 120 MB" in capsys.readouterr().err


@pytest.mark.parametrize("kind", ["folder", "pipe", "missing", "broken link", "link to itself"])
def test_a_name_that_leads_to_no_file(kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "in.pdf"
    if kind == "folder":
        path.mkdir()
    elif kind == "pipe":
        os.mkfifo(path)
    elif kind != "missing":
        path.symlink_to(path if kind == "link to itself" else tmp_path / "nowhere")
    with pytest.raises(SystemExit) as ended:
        main(["start", str(tmp_path / "made"), "--from-pdf", str(path)])
    assert ended.value.code in (3, 4)
    assert capsys.readouterr().err.count("\n") == 1
    assert not (tmp_path / "made").exists()


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(where=st.floats(0, 1), how=st.sampled_from(["cut", "flip", "insert", "zero"]), value=st.integers(1, 255))
def test_damage_anywhere_is_refused_or_does_no_harm(
    report: bytes, tmp_path: Path, where: float, how: str, value: int
) -> None:
    """Cut, flipped, grown or wiped at any place: a reason in one line, or the inspection as it was."""
    at = int(where * (len(report) - 1))
    data = bytearray(report)
    if how == "cut":
        del data[at:]
    elif how == "flip":
        data[at] ^= value
    elif how == "insert":
        data[at:at] = bytes((value,))
    else:
        data[at : at + 200] = bytes(200)
    path = tmp_path / "in.pdf"
    path.write_bytes(bytes(data))
    with contextlib.suppress(SoundmetalError):
        assert open_report(path).carried.record["findings"][0]["id"] == "F1"


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=300) | st.text("<>[]()/ 0123456789Rtruefalsenul\\#", max_size=300).map(str.encode))
def test_any_bytes_are_an_object_or_a_fault(data: bytes) -> None:
    with contextlib.suppress(PdfFault):
        Reader(data).value()
    with contextlib.suppress(PdfFault):
        list(PdfFile(b"%PDF-1.7\n" + data + b"\nstartxref\n9\n%%EOF").streams())


def test_what_the_writer_of_tests_needs_is_used() -> None:
    """A number and a stream as pypdf makes them are read as they were meant."""
    stream = DecodedStreamObject()
    stream.set_data(b"abc")
    stream[NameObject("/Size")] = NumberObject(3)
    buffer = io.BytesIO()
    stream.write_to_stream(buffer)
    assert Reader(buffer.getvalue()).value() == {"Size": 3, "Length": 3}
