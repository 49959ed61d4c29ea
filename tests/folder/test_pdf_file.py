"""The reader of PDFs held against files that other programs wrote, and against worked examples of the standard.

Examples of strings and names: ISO 32000-2, 7.3.4 and 7.3.5 (from memory).
"""

from __future__ import annotations

import io
from typing import Any

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject, StreamObject

from soundmetal.folder.pdf_file import PdfFile, _unpredicted
from soundmetal.folder.pdf_syntax import Name, PdfFault, Reader, Ref, Stream


def read(data: bytes) -> Any:
    return Reader(data).value()


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        (b"(This is a string)", b"This is a string"),
        (b"(Strings can contain (balanced) brackets)", b"Strings can contain (balanced) brackets"),
        (b"(\\(one\\) \\\\ end)", b"(one) \\ end"),
        (b"(two \\\nlines)", b"two lines"),
        (b"(end\r\nof line)", b"end\nof line"),
        (b"(\\245\\307 \\0053 \\53)", b"\xa5\xc7 \x053 +"),
        (b"<4E6F762073686D6F7A>", b"Nov shmoz"),
        (b"<90 1FA>", b"\x90\x1f\xa0"),
        (b"/A#20B", Name("A B")),
        (b"/", Name("")),
        (b"-.002", -0.002),
        (b"+17", 17),
        (b"12 0 R", Ref(12, 0)),
        (b"[1 0 2 0 R true null]", [1, 0, Ref(2, 0), True, None]),
        (b"<</A<</B[/C(d)]>>%note\n/E 4.>>", {"A": {"B": [Name("C"), b"d"]}, "E": 4.0}),
    ],
)
def test_objects(written: bytes, meant: object) -> None:
    assert read(written) == meant


@pytest.mark.parametrize(
    "written", [b"", b"(a", b"<4", b"<<", b"[1", b"<< 1 2 >>", b"endobj", b"1.2.3", b"<zz>", b")"]
)
def test_what_is_no_object(written: bytes) -> None:
    with pytest.raises(PdfFault):
        read(written)


@pytest.fixture(scope="module")
def other() -> bytes:
    """A file of pypdf's with two pages, text and an attachment."""
    writer = PdfWriter()
    for _ in range(2):
        writer.add_blank_page(100, 200)
    writer.add_attachment("a.json", b'{"b": 1}' * 200)
    writer.compress_identical_objects()
    buffer = io.BytesIO()
    writer.write(buffer)
    return buffer.getvalue()


def test_a_file_of_another_program_is_read_as_another_reader_reads_it(other: bytes) -> None:
    pdf, reader = PdfFile(other), PdfReader(io.BytesIO(other))
    assert pdf.get(pdf.dictionary(pdf.root["Pages"])["Count"]) == len(reader.pages) == 2
    (spec,) = pdf.files_inside()
    stream = pdf.get(pdf.dictionary(spec["EF"])["F"])
    assert pdf.unpacked(stream, 10_000) == reader.attachments["a.json"][0]
    with pytest.raises(PdfFault, match="too large"):
        pdf.unpacked(stream, 1599)


def test_a_change_at_the_end_of_a_file_counts(other: bytes) -> None:
    writer = PdfWriter(io.BytesIO(other), incremental=True)
    writer.root_object[NameObject("/PageLayout")] = NameObject("/OneColumn")
    buffer = io.BytesIO()
    writer.write(buffer)
    assert buffer.getvalue().startswith(other)
    assert PdfFile(buffer.getvalue()).root["PageLayout"] == "OneColumn"
    assert "PageLayout" not in PdfFile(other).root


def test_bytes_before_the_head_are_passed_over(other: bytes) -> None:
    """A mail program may put a line before it; places count from the head (ISO 32000-1, annex H; from memory)."""
    assert PdfFile(b"\r\n" + other).root == PdfFile(other).root


def test_every_stream_is_found(other: bytes) -> None:
    reader = PdfReader(io.BytesIO(other))
    theirs = [one for number in range(1, 20) if isinstance(one := reader.get_object(number), StreamObject)]
    ours = list(PdfFile(other).streams())
    assert len(ours) == len(theirs)
    assert all(isinstance(one, Stream) for one in ours)


def test_rows_that_were_told_by_what_they_differ() -> None:
    """PNG filters None, Sub and Up (PNG, third edition, 9.2; from memory): worked by hand."""
    rows = bytes((0, 1, 2, 3)) + bytes((1, 1, 1, 1)) + bytes((2, 1, 1, 255))
    assert _unpredicted(rows, 3) == bytes((1, 2, 3)) + bytes((1, 2, 3)) + bytes((2, 3, 2))
    with pytest.raises(PdfFault):
        _unpredicted(bytes((4, 1, 2, 3)), 3)
    with pytest.raises(PdfFault):
        _unpredicted(bytes((0, 1, 2)), 3)
