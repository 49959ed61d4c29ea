"""What a customer's PDF carries of its inspection: the layout, and the careful reading of it out of a strange file.

The PDF holds one associated file, `inspection.json` (ISO 32000-2, 14.13). Nothing in it is trusted: it is bounded,
validated like a record that somebody typed, names nothing on the disk, and what does not add up is refused.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, ValidationError, field_validator

from soundmetal.errors import FolderError, Place, RecordError
from soundmetal.folder.pdf_file import PdfFile, read_bytes
from soundmetal.folder.pdf_programs import refuse_programs
from soundmetal.folder.pdf_syntax import PdfFault, Stream, text_of
from soundmetal.folder.store import RECORD, from_text
from soundmetal.record.models import FindingId
from soundmetal.record.terms import Aim
from soundmetal.record.written import Name, Written

FILE = "inspection.json"
LAYOUT = 1
_MAX_JSON = 8_000_000
_MAX_RECORD = 1_000_000
_MAX_PICTURES_BYTES = 30_000_000

Digest = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
Range = tuple[Decimal, Decimal, Decimal]


class Carry(StrEnum):
    """How much of the inspection the customer's PDF carries."""

    NEUTRAL = "neutral"
    WHOLE = "whole"
    NOTHING = "nothing"


class CarriedPhoto(Written):
    """One photograph: its name in the record that is carried, what its file was, and its copy in the PDF (if any)."""

    name: Annotated[str, Field(min_length=1, max_length=1000)]
    sha256: Digest | None = None
    copy_sha256: Digest | None = None
    zone: Name = ""

    @field_validator("name")
    @classmethod
    def _leads_nowhere(cls, name: str) -> str:
        if (
            PurePosixPath(name).is_absolute()
            or PureWindowsPath(name).is_absolute()
            or ".." in PurePosixPath(name).parts
        ):
            raise ValueError("a path is not the name of a photograph")
        return name


class Told(Written):
    """What the pages told, to compare with what comes out again: levels by finding, prices (low, expected, high)."""

    levels: dict[FindingId, Name]
    prices: dict[Aim, Range]
    currency: Annotated[str, Field(pattern="^[A-Z]{3}$")]


class Carried(Written):
    """The inspection as it lies in the PDF.

    `text` is the record as `inspection.yaml`, `record` the same as JSON; `left_out` says to people what is not here.
    """

    model_config = ConfigDict(str_strip_whitespace=False)  # the record's text stays as it is, letter for letter

    layout: Literal[1] = Field(alias="soundmetal_carried")
    how: Carry
    program: Name
    shop: Name
    text: Annotated[str, Field(max_length=_MAX_RECORD)]
    record: dict[str, Any]
    photographs: Annotated[tuple[CarriedPhoto, ...], Field(max_length=10_000)] = ()
    told: Told
    left_out: tuple[Name, ...] = ()


@dataclass(frozen=True)
class Opened:
    """A PDF of ours: the inspection it carries, and the pictures in it by the SHA-256 of their bytes."""

    carried: Carried
    pictures: Mapping[str, bytes]


def read_carried(path: Path) -> Carried:
    """Read the inspection that a customer's PDF carries. See `open_report`."""
    return open_report(path).carried


def open_report(path: Path) -> Opened:
    """Read a customer's PDF. FolderError where there is none, RecordError that says why it is refused."""
    try:
        pdf = PdfFile(read_bytes(path))
        refuse_programs(pdf)
        carried = _carried(_embedded(pdf), path)
        return Opened(carried, _pictures(pdf, carried))
    except OSError as error:
        raise FolderError(f'cannot read "{path.name}": {error.strerror}', todo="Check the name.") from error
    except PdfFault as fault:
        raise RecordError(str(fault), place=Place(path), todo="Give the report.pdf as it was sent.") from fault
    except RecursionError as error:
        raise RecordError("nested too deep", place=Place(path), todo="Give the report.pdf as it was sent.") from error


def _embedded(pdf: PdfFile) -> bytes:
    specs = pdf.files_inside()
    if not specs:
        raise PdfFault("carries no inspection: it is another program's PDF, or was printed or saved anew without it")
    if len(specs) > 1:
        raise PdfFault(f"carries {len(specs)} files where a report of ours carries one")
    names = {text_of(pdf.get(specs[0].get(key))) for key in ("F", "UF") if key in specs[0]}
    if names != {FILE}:
        raise PdfFault(f"carries a file that is not called {FILE}")
    stream = pdf.get(pdf.dictionary(specs[0].get("EF")).get("F"))
    if not isinstance(stream, Stream):
        raise PdfFault("carries an inspection that is damaged")
    return pdf.unpacked(stream, _MAX_JSON)


def _carried(data: bytes, path: Path) -> Carried:
    try:
        plain = json.loads(data.decode("utf-8"), parse_constant=_no_number)
    except (ValueError, UnicodeDecodeError) as error:
        raise PdfFault("carries an inspection that is damaged: it is no JSON") from error
    if isinstance(plain, dict) and plain.get("soundmetal_carried") not in (LAYOUT, None):
        raise PdfFault(f"was made by another version of this program (layout {str(plain['soundmetal_carried'])[:9]})")
    try:
        carried = Carried.model_validate(plain)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])[:60]
        raise PdfFault(f"carries an inspection that is not one of ours: {where}: {first['msg']}") from error
    _same_record(carried, path)
    return carried


def _no_number(word: str) -> float:
    raise ValueError(word)


def _same_record(carried: Carried, path: Path) -> None:
    """Refuse a record whose text says something else than its JSON: somebody wrote in one of them."""
    try:
        stored = from_text(path.parent, Path(RECORD), carried.text)
    except RecordError as error:
        raise PdfFault(f"carries a record that cannot be read: {error}") from error
    try:
        same = type(stored.inspection).model_validate(carried.record) == stored.inspection
    except ValidationError:
        same = False
    if not same:
        raise PdfFault("carries a record whose text and data differ")
    if photograph_names(stored.tree) - {photo.name for photo in carried.photographs}:
        raise PdfFault("carries a record that names photographs which are not listed")


def photograph_names(tree: Mapping[str, Any]) -> set[str]:
    """Give the names of photographs that a record (as read from its file) holds."""
    uses = (use for finding in tree.get("findings") or () for use in finding.get("photos") or ())
    return {str(name) for name in tree.get("photos") or {}} | {str(use["file"]) for use in uses}


def with_names(tree: Any, names: Mapping[str, str]) -> Any:
    """Call the photographs of a record by other names, in place; those that get none are taken out of it."""
    notes = tree.get("photos") or {}
    before = [(str(name), notes.pop(name)) for name in list(notes)]
    notes.update({names[name]: note for name, note in before if name in names})
    for finding in tree.get("findings") or ():
        uses = finding.get("photos") or []
        uses[:] = [use for use in uses if str(use["file"]) in names]
        for use in uses:
            use["file"] = names[str(use["file"])]
    return tree


def _pictures(pdf: PdfFile, carried: Carried) -> dict[str, bytes]:
    """Give the pictures of the pages that the inspection names; one that was changed is not among them."""
    wanted = {photo.copy_sha256 for photo in carried.photographs}
    found: dict[str, bytes] = {}
    for stream in pdf.streams():
        if pdf.get(stream.entries.get("Subtype")) == "Image" and len(stream.raw) <= _MAX_PICTURES_BYTES:
            digest = hashlib.sha256(stream.raw).hexdigest()
            if digest in wanted:
                found[digest] = stream.raw
    return found
