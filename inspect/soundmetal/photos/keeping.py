"""The kept files and their list while photographs are taken in: one file a content, one row a name."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from soundmetal.errors import FolderError, PhotoError, WriteError
from soundmetal.folder.atomic import write_bytes
from soundmetal.photos import arrivals, exif, pictures
from soundmetal.photos.arrivals import ARRIVED, PHOTOS, Arrival
from soundmetal.photos.scan import Found, scan
from soundmetal.photos.settings import settings
from soundmetal.photos.sources.models import Piece
from soundmetal.photos.sources.names import free

_KEPT: Final = re.compile(rf"{ARRIVED}/([0-9a-f]{{64}})\.[a-z]+")


class Keeper:
    """Takes photographs one by one. Between two writings of the list a killed program loses rows, never files."""

    def __init__(self, folder: Path, moment: str, sender: str = "") -> None:
        """Read what is there. Raises RecordError where the list is damaged, FolderError, WriteError."""
        self._folder, self._moment = folder, moment
        self._before_source = f"{sender}: " if sender else ""
        self._place = folder / PHOTOS / ARRIVED
        self._rows = list(arrivals.read(folder))
        self._make_place()
        by_hand = scan(folder / PHOTOS, arrivals.known(self._rows))
        self._left = {one.sha256: one for one in by_hand.photos if _is_left(one)}
        self._hand = {one.sha256: one.name for one in by_hand.photos if not _is_left(one)}
        self._same = {(row.original, row.sha256): row for row in self._rows}
        self._names = {row.name for row in self._rows} | {one.name for one in by_hand.photos}
        self._names |= {bad.name for bad in by_hand.refused}
        self._unwritten = 0

    def _make_place(self) -> None:
        try:
            self._place.mkdir(parents=True, exist_ok=True)
            for part in self._place.glob(".*.part"):  # of an add that was killed
                part.unlink()
        except FileExistsError as error:
            raise FolderError(f'"{ARRIVED}" in "{PHOTOS}" is a file', todo="Rename it.") from error
        except OSError as error:
            raise WriteError(
                f'cannot make "{self._place}": {error.strerror}', todo="Check permissions and space."
            ) from error

    def take(self, piece: Piece) -> tuple[str, bool]:
        """Keep one photograph; give its name and whether anything was new. Raises PhotoError, WriteError."""
        data = b"" if piece.sha256 else piece.load()
        sha256 = piece.sha256 or hashlib.sha256(data).hexdigest()
        row = self._same.get((piece.original, sha256))
        if row and self._whole(row):
            return row.name, False
        if sha256 in self._hand:
            return self._hand[sha256], False
        data = data or piece.load()
        if hashlib.sha256(data).hexdigest() != sha256:
            raise PhotoError("changed while it was read", todo="Add it again.")
        known = row or self._described(piece, data, sha256)
        if not self._whole(known):
            write_bytes(self._place / known.file, data)
        if row is None:
            self._append(known)
        return known.name, True

    def _whole(self, row: Arrival) -> bool:
        """Tell whether the kept file is there in full length; its name is its content's."""
        try:
            return (self._place / row.file).stat().st_size == row.bytes
        except OSError:
            return False

    def _described(self, piece: Piece, data: bytes, sha256: str) -> Arrival:
        """Make the row of a photograph that is new. Raises PhotoError where it is no picture after all."""
        if len(data) > (limit := settings().scan.max_bytes):
            raise PhotoError(f"is larger than {limit / 1e6:g} MB", todo="Save a smaller copy and use that.")
        with pictures.open_picture(data):
            kind = pictures.kind_of(data[: pictures.HEAD_BYTES]) or ""
        facts = exif.read(data)
        return Arrival(
            name=free(piece.name, self._names),
            source=self._before_source + piece.source,
            original=piece.original,
            arrived=self._moment,
            sha256=sha256,
            bytes=len(data),
            type=kind,
            taken=facts.taken.isoformat() if facts.taken else "",
            offset=facts.offset or "",
            camera=_camera(facts.make, facts.model),
            orientation=facts.orientation,
            had_gps="yes" if facts.has_gps else "no",
            caption=piece.caption,
        )

    def _append(self, row: Arrival) -> None:
        self._rows.append(row)
        self._names.add(row.name)
        self._same[row.original, row.sha256] = row
        self._unwritten += 1
        if self._unwritten >= settings().sources.rows_at_once:
            self.write()

    def write(self) -> None:
        """Write the list if it has grown. Raises WriteError."""
        if self._unwritten:
            arrivals.write(self._folder, self._rows)
            self._unwritten = 0

    def adopt(self) -> None:
        """Give a row to each kept file that still has none, under the name that it could be found by until now."""
        listed = {row.sha256 for row in self._rows}
        self._before_source = ""  # nobody knows who sent what an add that was killed left
        for one in self._orphans():
            if one.sha256 not in listed:
                self._append(self._described(_as_piece(one), one.path.read_bytes(), one.sha256))
        self.write()

    def _orphans(self) -> Iterator[Found]:
        for sha256 in sorted(self._left):
            self._names.discard(self._left[sha256].name)
            yield self._left[sha256]


def _is_left(found: Found) -> bool:
    """Tell whether a file without a row is a kept one whose content is what its name says."""
    match = _KEPT.fullmatch(found.name)
    return match is not None and match[1] == found.sha256


def _as_piece(found: Found) -> Piece:
    return Piece(found.name, found.name, f"{PHOTOS}/{ARRIVED}", found.path.read_bytes, found.name, found.sha256)


def _camera(make: str, model: str) -> str:
    """Join maker and model; many write the maker into the model again.

    >>> _camera("Tindertown", "Tindertown 7"), _camera("Tindertown", "7"), _camera("", "")
    ('Tindertown 7', 'Tindertown 7', '')
    """
    return model if model.lower().startswith(make.lower()) else f"{make} {model}".strip()
