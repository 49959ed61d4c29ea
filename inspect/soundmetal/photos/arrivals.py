"""What arrived: every photograph kept once, byte for byte, named by its content, and a list that people can open.

`photos/arrived/<sha256>.<suffix>` are the files, `photos/arrived/arrivals.csv` has a row for each name that came.
Photographs that people put into `photos/` by hand stay as they are; `everything` gives both.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from collections.abc import Iterable
from dataclasses import astuple, dataclass, fields
from pathlib import Path
from typing import Any, Final

from soundmetal.errors import FolderError, Place, RecordError
from soundmetal.folder.atomic import write_bytes
from soundmetal.photos.pictures import DECODERS
from soundmetal.photos.scan import Found, Refused, Scan, key, scan

PHOTOS: Final = "photos"
ARRIVED: Final = "arrived"
FILE: Final = "arrivals.csv"
_SUFFIX: Final = {"JPEG": "jpg", "TIFF": "tif"}
_SHA256 = re.compile(r"[0-9a-f]{64}")
#: A cell that begins so would be run as a formula by the programs that people open lists with; an offset is none.
_FORMULA = re.compile(r"'*[=+\-@\t](?!\d\d:\d\d\Z)")
_MEND: Final = "Mend this line, or put back an older copy of the file; the photographs are all still there."


@dataclass(frozen=True)
class Arrival:
    """One name that a photograph arrived with.

    `name` is its name in the record, `original` the one it was sent with, `arrived` a time with its offset, `taken`,
    `offset`, `camera` and `orientation` what the file says of itself (empty where it says nothing).
    """

    name: str
    source: str
    original: str
    arrived: str
    sha256: str
    bytes: int
    type: str
    taken: str
    offset: str
    camera: str
    orientation: int
    had_gps: str
    caption: str

    @property
    def file(self) -> str:
        """The name of the kept file."""
        return file_name(self.sha256, self.type)


HEADS: Final = tuple(field.name for field in fields(Arrival))


def file_name(sha256: str, kind: str) -> str:
    """Give the name of a kept file: its content and its kind.

    >>> file_name("0a1b", "JPEG"), file_name("0a1b", "HEIC")
    ('0a1b.jpg', '0a1b.heic')
    """
    return f"{sha256}.{_SUFFIX.get(kind, kind.lower())}"


def read(folder: Path) -> tuple[Arrival, ...]:
    """Read the arrivals of an inspection folder; none where there is no list.

    Raises RecordError that names the line.
    """
    path = _path(folder)
    if not path.exists():
        return ()
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise FolderError(f'"{path}" cannot be read: {error.strerror}', todo="Make it readable.") from error
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        raise RecordError("not written in UTF-8", place=Place(path, line), todo="Save it as UTF-8.") from error
    return _rows(text, path)


def _rows(text: str, path: Path) -> tuple[Arrival, ...]:
    first = text.split("\n", 1)[0]
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=";" if first.count(";") > 5 else ",", strict=True)
    rows: list[Arrival] = []
    seen: set[str] = set()
    try:
        for cells in reader:
            if cells and reader.line_num > 1:
                rows.append(_row(cells, seen))
            elif cells and tuple(cells) != HEADS:
                raise ValueError(f"the heads of the columns must be {','.join(HEADS)}")
    except (ValueError, csv.Error) as error:
        raise RecordError(str(error), place=Place(path, reader.line_num), todo=_MEND) from error
    if not reader.line_num:
        raise RecordError("holds nothing", place=Place(path, 1), todo=_MEND)
    return tuple(rows)


def _row(cells: list[str], seen: set[str]) -> Arrival:
    """Make a row of its cells. Raises ValueError that says what is wrong."""
    if len(cells) != len(HEADS):
        raise ValueError(f"has {len(cells)} cells, not {len(HEADS)}")
    told: dict[str, Any] = {head: _unguarded(cell) for head, cell in zip(HEADS, cells, strict=True)}
    for head in ("bytes", "orientation"):
        if not re.fullmatch(r"[0-9]{1,12}", told[head]):
            raise ValueError(f'{head} "{told[head][:40]}" is no whole number')
        told[head] = int(told[head])
    if not _SHA256.fullmatch(told["sha256"]):
        raise ValueError(f'sha256 "{told["sha256"][:80]}" is none')
    if told["type"] not in DECODERS:
        raise ValueError(f'no type "{told["type"][:40]}"; there are {", ".join(DECODERS)}')
    if not told["name"] or told["name"] in seen:
        raise ValueError(f'the name "{told["name"]}" stands there twice' if told["name"] else "the name is empty")
    seen.add(told["name"])
    return Arrival(**told)


def write(folder: Path, rows: Iterable[Arrival]) -> None:
    """Replace the list of arrivals, whole or not at all. Raises WriteError."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(HEADS)
    writer.writerows([_guarded(str(value)) for value in astuple(row)] for row in rows)
    # With its mark, programs that people open lists with know that it is UTF-8.
    write_bytes(_path(folder), text.getvalue().encode("utf-8-sig"))


def _guarded(cell: str) -> str:
    return f"'{cell}" if _FORMULA.match(cell) else cell


def _unguarded(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell


def _path(folder: Path) -> Path:
    return folder / PHOTOS / ARRIVED / FILE


def everything(folder: Path) -> Scan:
    """Give all photographs of an inspection folder: those that arrived, by name, and those put there by hand.

    Kept files are not read again, only their size is looked at. No folder of photographs gives an empty scan. Raises
    FolderError where that is a file, RecordError where the list of arrivals is damaged.
    """
    photos = folder / PHOTOS
    if not photos.exists():
        return Scan((), ())
    rows = read(folder)
    by_hand = scan(photos, known(rows))
    names = {row.name for row in rows}
    kept = [_kept(photos / ARRIVED, row) for row in rows]
    found = [one for one in kept if isinstance(one, Found)]
    refused = [one for one in kept if isinstance(one, Refused)]
    clash = Refused("", "a photograph that was taken in has the same name", "Rename this one.")
    refused += [Refused(one.name, clash.why, clash.todo) for one in by_hand.photos if one.name in names]
    found += [one for one in by_hand.photos if one.name not in names]
    return Scan(_sorted(found), _sorted((*refused, *by_hand.refused)))


def known(rows: Iterable[Arrival]) -> frozenset[str]:
    """Give the paths below `photos/` of the kept files that have a row."""
    return frozenset(f"{ARRIVED}/{row.file}" for row in rows)


def _kept(arrived: Path, row: Arrival) -> Found | Refused:
    path = arrived / row.file
    todo = "Add it again from where it came."
    try:
        size = path.stat().st_size
    except OSError:
        return Refused(row.name, f'its file "{ARRIVED}/{row.file}" is missing', todo)
    if size != row.bytes:
        return Refused(row.name, f'its file "{ARRIVED}/{row.file}" was changed', todo)
    return Found(key(row.name), path, row.type, row.sha256, size, row.caption)


def _sorted(things: Iterable[Any]) -> tuple[Any, ...]:
    return tuple(sorted(things, key=lambda one: one.name))


def stamp(moment: dt.datetime) -> str:
    """Write the time of arrival: to the second, with its offset.

    >>> stamp(dt.datetime(2026, 11, 18, 9, 5, tzinfo=dt.timezone(dt.timedelta(hours=-5))))
    '2026-11-18T09:05:00-05:00'
    """
    if moment.tzinfo is None:
        raise ValueError("a time of arrival needs its offset")
    return moment.isoformat(timespec="seconds")
