"""Answer files that are broken, locked, of another kind, or that would keep a reader busy without an end.

They are made of a report that was really filled in, or written by hand to cost a reader dearly.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from odd_answers import answer_file, refused
from odd_pdfs import assembled
from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject

from soundmetal.record.terms import Reply
from soundmetal.report.form import read_form


def saved(writer: PdfWriter) -> bytes:
    stream = io.BytesIO()
    writer.write(stream)
    return stream.getvalue()


def locked(data: bytes, password: str) -> bytes:
    writer = PdfWriter(clone_from=io.BytesIO(data))
    writer.encrypt(password, "owner", algorithm="RC4-128")
    return saved(writer)


def flattened(data: bytes) -> bytes:
    """The pages without the form: printed to a file."""
    writer = PdfWriter(clone_from=io.BytesIO(data))
    del writer.root_object["/AcroForm"]
    return saved(writer)


def only_pages(data: bytes) -> bytes:
    """The pages in a new file: what many programs make of a form when they join files."""
    writer = PdfWriter()
    for page in PdfReader(io.BytesIO(data)).pages:
        writer.add_page(page)
    writer.root_object.pop("/AcroForm", None)
    return saved(writer)


def zipped(data: bytes) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("report.pdf", data)
    return stream.getvalue()


def wiped(data: bytes) -> bytes:
    """The place of the list of contents leads nowhere."""
    at = data.rindex(b"startxref")
    return data[:at] + b"startxref\n99999999\n%%EOF\n"


FILES: dict[str, tuple[Callable[[bytes], bytes], str]] = {
    "nothing": (lambda data: b"", "is no PDF"),
    "a packed report": (zipped, "is no PDF"),
    "a photograph": (lambda data: b"\xff\xd8\xff\xe0\0\x10JFIF" + bytes(5000), "is no PDF"),
    "a page of the web": (lambda data: b"<!doctype html><form><input name=aim value=factory></form>", "is no PDF"),
    "the answers without the report (FDF)": (
        lambda data: b"%FDF-1.2\n1 0 obj << /FDF << /Fields [<< /T (x) /V /0 >>] >> >> endobj\n",
        "is no PDF",
    ),
    "a report with a packed file behind it": (lambda data: data + zipped(bytes(5000)), "something behind its end"),
    "a head far down": (lambda data: b"x" * 3000 + data, "is no PDF"),
    "only a head": (lambda data: b"%PDF-1.7\n", "is cut off"),
    "locked": (lambda data: locked(data, "secret"), "is locked with a password"),
    "locked with no word": (lambda data: locked(data, ""), "is locked with a password"),
    "printed to a file": (flattened, "holds no form of ours"),
    "pages in a new file": (only_pages, "holds no form of ours"),
    "a list of contents that leads nowhere": (wiped, "its table of contents is damaged"),
}  # fmt: skip


@pytest.mark.parametrize("case", FILES)
def test_a_file_of_another_kind_is_refused(
    case: str, sent: Path, back: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    make, why = FILES[case]
    path = tmp_path / "back.pdf"
    path.write_bytes(make(back))
    refused(sent, path, why, capsys)


def test_the_report_as_it_was_sent_answers_nothing(sent: Path, capsys: pytest.CaptureFixture[str]) -> None:
    refused(sent, sent / "report.pdf", "report.pdf: answers nothing", capsys)


@pytest.mark.parametrize("place", range(40))
def test_a_file_that_is_cut_off_is_refused(
    place: int, sent: Path, back: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """All through the file, and close to its end, where the answers may be whole and the list of them is not."""
    near_end = len(back) - 9 - (place - 20) ** 2 * 8
    path = tmp_path / "back.pdf"
    path.write_bytes(back[: len(back) * place // 20 if place < 20 else near_end])
    refused(sent, path, "", capsys)


def test_a_change_that_is_cut_off_leaves_no_half_an_answer(
    sent: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A program that adds its changes at the end: cut anywhere in them, the file says nothing, not the half."""
    report = (sent / "report.pdf").read_bytes()
    whole = added(report, {"reply-F1": 0, "reply-F2": 1})
    assert read_form(whole).replies == {"F1": Reply.YES, "F2": Reply.NO}
    path = tmp_path / "back.pdf"
    for part in range(12):
        path.write_bytes(whole[: len(report) + (len(whole) - len(report) - 10) * part // 11])
        refused(sent, path, "", capsys)


def added(report: bytes, answers: dict[str, int], *, trailer: str = "") -> bytes:
    """Answer questions by adding changed objects at the end (ISO 32000-2, 7.5.6)."""
    reader = PdfReader(io.BytesIO(report))
    out, places = bytearray(report), {}
    for reference in reader.trailer["/Root"]["/AcroForm"]["/Fields"]:
        field = reference.get_object()
        if (key := field["/T"].split("-", 3)[3]) in answers:
            field[NameObject("/V")] = NameObject(f"/{answers[key]}")
            for n, kid in enumerate(field["/Kids"]):
                kid.get_object()[NameObject("/AS")] = NameObject(f"/{n}" if n == answers[key] else "/Off")
            for part in (reference, *field["/Kids"]):
                places[part.idnum] = len(out)
                body = io.BytesIO()
                part.get_object().write_to_stream(body)
                out += b"%d 0 obj\n%s\nendobj\n" % (part.idnum, body.getvalue())
    start = len(out)
    out += b"xref\n" + b"".join(b"%d 1\n%010d 00000 n \n" % place for place in places.items())
    root, before = reader.trailer.raw_get("/Root").idnum, reader._startxref
    out += (
        f"trailer\n<< /Size 99999 /Root {root} 0 R /Prev {before} {trailer} >>\nstartxref\n{start}\n%%EOF\n".encode()
    )
    return bytes(out)


def test_the_last_word_counts_as_readers_of_pdfs_show_it(sent: Path) -> None:
    """A yes that a later change makes a no is a no, as another reader of PDFs has it."""
    report = (sent / "report.pdf").read_bytes()
    changed = added(added(report, {"reply-F1": 0}), {"reply-F1": 1})
    fields = PdfReader(io.BytesIO(changed)).get_fields() or {}
    assert next(str(field.value) for name, field in fields.items() if name.endswith("reply-F1")) == "/1"
    assert read_form(changed).replies == {"F1": Reply.NO}


def test_a_file_that_says_two_things_to_two_readers_is_refused(
    sent: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A second list of contents that only newer readers heed (ISO 32000-2, 7.5.8.4) can hide an answer."""
    path = tmp_path / "back.pdf"
    path.write_bytes(added((sent / "report.pdf").read_bytes(), {"reply-F1": 0}, trailer="/XRefStm 15"))
    refused(sent, path, "", capsys)


def packed(body: bytes, entries: bytes = b"") -> bytes:
    data = zlib.compress(body, 9)
    return b"<< /Filter /FlateDecode /Length %d %s >>\nstream\n%s\nendstream" % (len(data), entries, data)


def in_stream(body: bytes, count: int = 1) -> bytes:
    """A PDF whose catalogue lies in an object stream."""
    stream = b"2 0 obj\n" + packed(body, b"/Type /ObjStm /N %d /First 9" % count) + b"\nendobj\n"
    head = b"%PDF-1.7\n"
    rows = b"\2\0\2\0" + b"\1\0\x09\0"
    table = packed(rows, b"/Type /XRef /W [1 2 1] /Size 3 /Index [1 2] /Root 1 0 R")
    return head + stream + b"3 0 obj\n" + table + b"\nendobj\nstartxref\n%d\n%%%%EOF" % (len(head) + len(stream))


BOMBS: dict[str, tuple[Callable[[], bytes], str]] = {
    "a part that grows a thousand times": (lambda: in_stream(b"1 0      << >>" + bytes(200_000_000)), "too large"),
    "a part of a million objects": (lambda: in_stream(b"1 0      << >>", 900_000), "more parts than a report"),
    "a list of contents of millions": (
        lambda: b"%PDF-1.7\nxref\n0 600000\n" + b"0000000009 00000 n \n" * 600_000 + b"startxref\n9\n",
        "more parts than a report",
    ),
    "many short lists of contents": (
        lambda: b"%PDF-1.7\nxref\n" + b"0 1\n0 0 n\n" * 1_000_000 + b"trailer\n<< >>\nstartxref\n9\n%%EOF",
        "more parts than a report",
    ),
    "lists of contents that lead to each other": (
        lambda: assembled({1: b"<< >>"}, "/Root 1 0 R /Prev 30").replace(b"/Size 99", b"/Prev 9 "),
        "",
    ),
    "a list of contents of nothing": (
        lambda: b"%PDF-1.7\n1 0 obj\n" + packed(b"\1\0\0\0", b"/Type /XRef /W [1 2 1] /Size 9 /Index 7")
        + b"\nendobj\nstartxref\n9\n%%EOF",
        "its table of contents is damaged",
    ),
    "nested without an end": (lambda: answer_file(root="/X " + "[" * 100_000), "nested too deep"),
    "millions of fields": (lambda: answer_file("10 0 R " * 2_000_000), "more parts than a report"),
    "millions of fields, packed": (
        lambda: in_stream(b"1 0      << /AcroForm << /Fields [" + b"[]" * 3_000_000 + b"] >> >>"),
        "more parts than a report",
    ),
    "a name of a book": (lambda: answer_file(f"<< /T ({'x' * 20_000_000}) >>"), "holds no form of ours"),
    "remarks without an end": (lambda: answer_file("%x\n" * 8_000_000), "holds no form of ours"),
    "brackets without an end": (lambda: answer_file(f"<< /T {'(' * 3_000_000} >>"), "more parts than a report"),
    "a text of escapes": (lambda: answer_file("<< /T (" + "\\1" * 3_000_000 + ") >>"), "more parts than a report"),
    "a kind without an end": (lambda: answer_file(f"<< /FT /{'#41' * 1_000_000} >>"), "a name in it has no end"),
    "blanks without an end": (lambda: answer_file("1" + " " * 20_000_000), "holds no form of ours"),
    "brackets that only close": (lambda: answer_file(">" * 1_000_000), "no part of a PDF"),
}  # fmt: skip


@pytest.mark.parametrize("case", BOMBS)
def test_a_file_that_asks_for_too_much_is_refused_in_time(
    case: str, sent: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    make, why = BOMBS[case]
    path = tmp_path / "back.pdf"
    path.write_bytes(make())
    refused(sent, path, why, capsys)
