"""A PDF that is handed in as a report of ours and is none, or no longer: refused in one line, nothing written.

Each is made of one real report by pypdf or by hand, and given to `start --from-pdf`.
"""

from __future__ import annotations

import hashlib
import io
import json
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from odd_pdfs import assembled, small_pdf
from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    NameObject,
    TextStringObject,
    create_string_object,
)
from refusing import refused
from small import write_small_inspection

from soundmetal import pipeline
from soundmetal.folder.carried import FILE, open_report
from soundmetal.folder.restore import restore
from soundmetal.report.publish import pdf_of
from soundmetal.restoring import bring_back

Change = Callable[[dict[str, Any]], None]


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    loaded = pipeline.load(write_small_inspection(tmp_path_factory.mktemp("real")))
    return pdf_of("report", pipeline.work_out(loaded, pipeline.album_of(loaded)))


@pytest.fixture(scope="module")
def inside(report: bytes) -> dict[str, Any]:
    """What the real report carries, as plain data."""
    data: dict[str, Any] = json.loads(PdfReader(io.BytesIO(report)).attachments[FILE][0])
    return data


def changed(inside: dict[str, Any], change: Change) -> bytes:
    """Give a PDF that carries the real inspection with a change in it."""
    data = json.loads(json.dumps(inside))
    change(data)
    return small_pdf({FILE: json.dumps(data).encode()})


def in_both(data: dict[str, Any], old: str, new: str) -> None:
    """Change a word in the record, in its text and its data alike."""
    assert old in data["text"]
    data["text"] = data["text"].replace(old, new)
    data["record"] = json.loads(json.dumps(data["record"]).replace(old, new))


def saved(writer: PdfWriter) -> bytes:
    buffer = io.BytesIO()
    writer.write(buffer)
    return buffer.getvalue()


def test_the_small_pdf_is_taken_so_that_what_follows_is_refused_for_its_fault(
    inside: dict[str, Any], tmp_path: Path
) -> None:
    path = tmp_path / "in.pdf"
    for packed in (True, False):
        path.write_bytes(small_pdf({FILE: json.dumps(inside).encode()}, packed=packed))
        brought = bring_back(tmp_path / f"made {packed}", path)
        assert brought.differs == ()
        assert any("stood on no page" in line for line in brought.lost)


def javascript_in_names(report: bytes) -> bytes:
    writer = PdfWriter(clone_from=io.BytesIO(report))
    tree = DictionaryObject({NameObject("/Names"): ArrayObject()})
    writer.root_object["/Names"][NameObject("/JavaScript")] = tree  # type: ignore[index]
    return saved(writer)


def opens_something(kind: str) -> Callable[[bytes], bytes]:
    def make(report: bytes) -> bytes:
        writer = PdfWriter(clone_from=io.BytesIO(report))
        action = DictionaryObject({NameObject("/S"): NameObject(kind), NameObject("/F"): TextStringObject("x")})
        writer.root_object[NameObject("/OpenAction")] = writer._add_object(action)
        return saved(writer)

    return make


def field_with(key: str, kind: str) -> Callable[[bytes], bytes]:
    """A form whose field runs a script: when it is left (AA) or when it is pressed (A)."""

    def make(report: bytes) -> bytes:
        writer = PdfWriter(clone_from=io.BytesIO(report))
        script = DictionaryObject({NameObject("/S"): NameObject(kind), NameObject("/JS"): TextStringObject("x()")})
        held = DictionaryObject({NameObject("/K"): script}) if key == "/AA" else script
        field = DictionaryObject({NameObject("/T"): TextStringObject("a"), NameObject(key): held})
        fields = ArrayObject([writer._add_object(field)])
        writer.root_object[NameObject("/AcroForm")] = DictionaryObject({NameObject("/Fields"): fields})
        return saved(writer)

    return make


def xfa(report: bytes) -> bytes:
    writer = PdfWriter(clone_from=io.BytesIO(report))
    entries = {NameObject("/Fields"): ArrayObject(), NameObject("/XFA"): create_string_object("<x/>")}
    writer.root_object[NameObject("/AcroForm")] = DictionaryObject(entries)
    return saved(writer)


def locked(report: bytes) -> bytes:
    writer = PdfWriter(clone_from=io.BytesIO(report))
    writer.encrypt("", "owner", algorithm="RC4-128")
    return saved(writer)


def second_file(report: bytes) -> bytes:
    writer = PdfWriter(clone_from=io.BytesIO(report))
    writer.add_attachment("more.json", b"{}")
    return saved(writer)


def other_program(_: bytes) -> bytes:
    writer = PdfWriter()
    writer.add_blank_page(200, 200)
    return saved(writer)


def nested(_: bytes) -> bytes:
    return small_pdf({FILE: b"[" * 200_000 + b"]" * 200_000})


def inflated(_: bytes) -> bytes:
    return small_pdf({FILE: b" " * 200_000_000})


def chained(_: bytes) -> bytes:
    """Filters upon filters, each a thousand times larger than the one before."""
    raw = zlib.compress(zlib.compress(b"0" * 50_000_000))
    body = b"<< /Filter [/FlateDecode /FlateDecode] /Length %d >>\nstream\n%s\nendstream" % (len(raw), raw)
    spec = f"<< /F ({FILE}) /EF << /F 3 0 R >> >>".encode()
    return assembled({1: b"<< /Names << /EmbeddedFiles << /Names [(a) 4 0 R] >> >> >>", 3: body, 4: spec})


REAL: dict[str, tuple[Callable[[bytes], bytes], str]] = {
    "empty": (lambda _: b"", "is no PDF"),
    "text": (lambda _: b"inspection: mine\n" * 100, "is no PDF"),
    "picture": (lambda _: b"\xff\xd8\xff\xe0" + bytes(5000), "is no PDF"),
    "head only": (lambda _: b"%PDF-1.7\n", "is cut off"),
    "half": (lambda report: report[: len(report) // 2], "is cut off"),
    "without its last bytes": (lambda report: report[:-40], "is cut off"),
    "beginning missing": (lambda report: b"%PDF-1.7\n" + report[5000:], "damaged"),
    "locked": (locked, "is locked with a password"),
    "another program's": (other_program, "carries no inspection"),
    "two files": (second_file, "carries 2 files"),
    "script in names": (javascript_in_names, "holds a program"),
    "script when opened": (opens_something("/JavaScript"), "holds a program"),
    "program when opened": (opens_something("/Launch"), "holds a program"),
    "field with a script": (field_with("/AA", "/JavaScript"), "holds a program"),
    "field that sends": (field_with("/A", "/SubmitForm"), "holds a program"),
    "form of another kind": (xfa, "holds a program"),
    "nested JSON": (nested, "in.pdf"),
    "200 MB unpacked": (inflated, "too large"),
    "packed twice": (chained, "too large"),
    "no JSON": (lambda _: small_pdf({FILE: b"\x00\xff"}), "it is no JSON"),
    "not a number": (lambda _: small_pdf({FILE: b'{"a": NaN}'}), "it is no JSON"),
    "a list": (lambda _: small_pdf({FILE: b"[1, 2]"}), "not one of ours"),
    "endless figures": (lambda _: small_pdf({FILE: b'{"a": ' + b"9" * 100_000 + b"}"}), "it is no JSON"),
    "file of another name": (lambda _: small_pdf({"letter.json": b"{}"}), f"not called {FILE}"),
    "file with a path": (lambda _: small_pdf({f"/etc/{FILE}": b"{}"}), f"not called {FILE}"),
    "file that climbs": (lambda _: small_pdf({f"../{FILE}": b"{}"}), f"not called {FILE}"),
}


@pytest.mark.parametrize("case", REAL)
def test_a_file_that_is_no_report_of_ours(
    case: str, report: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    make, why = REAL[case]
    refused(make(report), tmp_path, why, capsys)


def absolute(data: dict[str, Any]) -> None:
    data["photographs"].append({"name": "/etc/passwd"})


def climbing(data: dict[str, Any]) -> None:
    data["photographs"].append({"name": "a/../../b.jpg"})


def drive(data: dict[str, Any]) -> None:
    data["photographs"].append({"name": "C:\\Windows\\a.jpg"})


def unlisted(data: dict[str, Any]) -> None:
    data["photographs"].clear()


def other_text(data: dict[str, Any]) -> None:
    data["text"] = data["text"].replace("320 x 60", "32 x 6")


def other_data(data: dict[str, Any]) -> None:
    data["record"]["findings"][0]["seen"] = "sound"


def aliases(data: dict[str, Any]) -> None:
    lines = ["a: &a [x, x, x]", *(f"b{i}: &b{i} [*a, *a, *a]" for i in range(9))]
    data["text"] = "\n".join(lines) + "\n" + data["text"]


def deep(data: dict[str, Any]) -> None:
    data["text"] += "note: " + "[" * 100 + "]" * 100 + "\n"


def endless(data: dict[str, Any]) -> None:
    data["text"] += "#" * 1_000_001


def unknown_key(data: dict[str, Any]) -> None:
    data["price"] = 1


def strange_price(data: dict[str, Any]) -> None:
    data["told"]["prices"]["sound"] = ["NaN", "1", "2"]


def rule_book(data: dict[str, Any]) -> None:
    data["record"]["rule_book"] = "zz"
    data["text"] += "rule_book: zz\n"


CHANGES: dict[str, tuple[Change, str]] = {
    "path from the root": (absolute, "a path is not the name"),
    "path that climbs": (climbing, "a path is not the name"),
    "path of another system": (drive, "a path is not the name"),
    "photographs that are not listed": (unlisted, "which are not listed"),
    "text changed": (other_text, "text and data differ"),
    "data changed": (other_data, "text and data differ"),
    "aliases": (aliases, "aliases"),
    "deep text": (deep, "nested too deep"),
    "too much text": (endless, "not one of ours"),
    "unknown key": (unknown_key, "not one of ours: price"),
    "price that is none": (strange_price, "not one of ours: told.prices"),
    "later layout": (lambda data: data.update(soundmetal_carried=2), "another version of this program (layout 2)"),
    "unknown zone": (lambda data: in_both(data, "floor.left.front", "floor.left.fromt"), "no zone"),
    "unknown body": (lambda data: in_both(data, "pickup", "hearse"), "hearse"),
    "unknown rule book": (rule_book, "zz"),
}


@pytest.mark.parametrize("case", CHANGES)
def test_an_inspection_that_was_tampered_with(
    case: str, inside: dict[str, Any], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change, why = CHANGES[case]
    refused(changed(inside, change), tmp_path, why, capsys)


def test_a_shop_book_elsewhere_is_not_opened(inside: dict[str, Any], tmp_path: Path) -> None:
    def elsewhere(data: dict[str, Any]) -> None:
        data["record"]["shop"] = "/etc/passwd"
        data["text"] += "shop: /etc/passwd\n"

    (tmp_path / "in.pdf").write_bytes(changed(inside, elsewhere))
    bring_back(tmp_path / "made", tmp_path / "in.pdf")
    assert "passwd" not in (tmp_path / "made" / "inspection.yaml").read_text(encoding="utf-8")


def test_a_picture_that_was_swapped_or_is_none_stays_away(inside: dict[str, Any], tmp_path: Path) -> None:
    """What is no JPEG is not written under a picture's name, though its hash is the one that is listed."""
    program = b"#!/bin/sh\necho no\n"
    data = json.loads(json.dumps(inside))
    first = next(photo for photo in data["photographs"] if photo.get("copy_sha256"))
    first["copy_sha256"] = hashlib.sha256(program).hexdigest()
    body = b"<< /Subtype /Image /Length %d >>\nstream\n%s\nendstream" % (len(program), program)
    (tmp_path / "in.pdf").write_bytes(small_pdf({FILE: json.dumps(data).encode()}, more=(body,)))
    opened = open_report(tmp_path / "in.pdf")
    assert list(opened.pictures.values()) == [program]
    restore(tmp_path / "made", opened)
    assert list((tmp_path / "made" / "photos").iterdir()) == []


def test_a_file_inside_that_is_told_of_twice_is_one_file(inside: dict[str, Any], tmp_path: Path) -> None:
    data = small_pdf({FILE: json.dumps(inside).encode()}, root="/AF [4 0 R]")
    (tmp_path / "in.pdf").write_bytes(data)
    assert open_report(tmp_path / "in.pdf").carried.told.levels.keys() == {"F1", "F2"}
