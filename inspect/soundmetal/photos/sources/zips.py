"""Pictures out of a ZIP, streamed member by member: nothing is unpacked to the disk, nothing grows without a limit.

Source: ZIP application note 6.3.10 (layout of headers, flags, methods, zip64), from memory; the standard library's
reader does the work, this module says what is refused and why.
"""

from __future__ import annotations

import stat
import struct
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from typing import IO, Final

from soundmetal.errors import PhotoError
from soundmetal.photos import pictures
from soundmetal.photos.scan import promises, refuse_pretender, suffix_of
from soundmetal.photos.settings import settings
from soundmetal.photos.sources.captions import captions, text_of
from soundmetal.photos.sources.kinds import HEAD_BYTES, Sort, sort_of
from soundmetal.photos.sources.models import UNPACK, Budget, Exhausted, Nested, PackedStream, Piece, Within
from soundmetal.photos.sources.names import clean, hidden

SAME_NAME: Final = "another file in the ZIP has the same name"
RENAME: Final = "Unpack it, rename one of them, and add the folder."
_ENCRYPTED, _UTF_8 = 0x1, 0x800
_METHODS: Final = frozenset((zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED))
_UNIX: Final = 3
_CHUNK: Final = 1 << 20
#: An entry of the directory with a long name and extras; the smallest has 46 bytes.
_ENTRY_BYTES: Final = 500
_END = struct.Struct("<4s4H2LH")
_END_64 = struct.Struct("<4sQ2H2L4Q")
_LOCATOR_64 = struct.Struct("<4sLQL")
_PACKED: Final = frozenset((".zip", ".eml"))


class Damaged(PhotoError):
    """The directory at the end is missing or wrong; the members may still be whole."""


def pieces(stream: IO[bytes], here: Within) -> PackedStream:
    """Give the pictures of a ZIP and the packed files in it.

    Raises Damaged where its directory cannot be read, PhotoError for a bomb.
    """
    _check_directory(stream)
    try:
        archive = zipfile.ZipFile(stream)
    except Exception as error:  # on damaged directories it fails in many ways
        raise Damaged(f"the ZIP is cut off or damaged ({error})") from error
    with archive:
        yield from _Reader(archive, here).pieces()


def _check_directory(stream: IO[bytes]) -> None:
    """Refuse a directory that is too large before anybody holds it in memory, and one that is not this file's own.

    A ZIP that is cut off may end in the directory of one that lies inside it: only what stands at the very end, with
    all that it counts before it, is believed. Raises Damaged, Exhausted.
    """
    size = stream.seek(0, 2)
    stream.seek(max(0, size - 65_557))
    tail = stream.read()
    at = tail.rfind(b"PK\x05\x06")
    if at < 0 or len(tail) - at < _END.size:
        raise Damaged("the ZIP is cut off: its directory is missing")
    *_counts, directory_bytes, offset, comment_bytes = _END.unpack_from(tail, at)
    ends, begins = size - len(tail) + at, offset + directory_bytes
    if at >= _LOCATOR_64.size:
        locator = _LOCATOR_64.unpack_from(tail, at - _LOCATOR_64.size)
        if locator[0] == b"PK\x06\x07" and locator[2] + _END_64.size <= size:
            stream.seek(locator[2])
            *_counts, long_bytes, offset = _END_64.unpack(stream.read(_END_64.size))
            directory_bytes, ends, begins = max(directory_bytes, long_bytes), locator[2], offset + long_bytes
    limit = settings().sources.max_members
    if directory_bytes > limit * _ENTRY_BYTES:
        raise Exhausted(f"holds more than {limit} files", todo=UNPACK)
    if begins != ends or at + _END.size + comment_bytes != len(tail):
        raise Damaged("the ZIP is damaged: its directory is not where it should be")
    stream.seek(0)


def name_of(raw: str, flags: int) -> str:
    """Give a member's name; many programs write UTF-8 without saying so, which the reader takes for code page 437."""
    if not flags & _UTF_8:
        try:
            return raw.encode("cp437").decode("utf-8")
        except UnicodeError:
            return raw
    return raw


def refuse_unreadable(name: str, flags: int, method: int) -> None:
    """Raise PhotoError for a member that is encrypted or packed in a way that is not read here."""
    if flags & _ENCRYPTED:
        raise PhotoError("is encrypted", todo="Unpack it with its password and add the folder.")
    if method not in _METHODS:
        raise PhotoError("is packed in a way that is not read here", todo=UNPACK)


def refuse_other(name: str, size_bytes: int) -> None:
    """Raise PhotoError for a file that cannot be taken where its name promises a picture or something packed."""
    refuse_pretender(name, size_bytes)
    if suffix_of(name) in _PACKED:
        raise PhotoError(f"ends in {suffix_of(name)} but is none", todo="Ask for it again, or leave it out.")


def matters(name: str) -> bool:
    """Tell whether a name promises a picture, a film or something packed: then it is told when it cannot be used."""
    return promises(name) or suffix_of(name) in _PACKED


class _Reader:
    """Goes through one archive."""

    def __init__(self, archive: zipfile.ZipFile, here: Within) -> None:
        self._archive = archive
        self._here = here
        self._captions: dict[str, str] = {}

    def pieces(self) -> PackedStream:
        members = [(name_of(info.orig_filename, info.flag_bits), info) for info in self._archive.infolist()]
        for _name, _info in members:
            self._here.budget.count()
        members = [(name, info) for name, info in members if not (info.is_dir() or hidden(name))]
        self._captions = captions(self._logs(members), {name.rsplit("/", 1)[-1] for name, _info in members})
        seen: set[str] = set()
        for name, info in members:
            self._here.budget.spend(0)  # the piece before may have used it up
            try:
                yield from self._member(name, info, seen)
            except Exhausted:
                raise
            except PhotoError as error:
                if matters(name):
                    yield self._here.refuse(name, error)

    def _logs(self, members: list[tuple[str, zipfile.ZipInfo]]) -> Iterator[str]:
        for name, info in members:
            if info.file_size <= settings().sources.max_log_bytes and sort_of(b"", name) == "text":
                try:
                    yield text_of(self._bytes(info, settings().sources.max_log_bytes), name)
                except Exhausted:
                    raise
                except PhotoError:  # a broken log costs its captions, no picture
                    continue

    def _member(self, name: str, info: zipfile.ZipInfo, seen: set[str]) -> PackedStream:
        try:
            kept = clean(name)
        except PhotoError as error:
            if matters(name) or self._sort(name, info) not in ("other", "text"):
                yield self._here.refuse(name, error)
            return
        if kept in seen:
            raise PhotoError(SAME_NAME, todo=RENAME)
        seen.add(kept)
        kind = stat.S_IFMT(info.external_attr >> 16) if info.create_system == _UNIX else 0
        if kind not in (0, stat.S_IFREG):
            raise PhotoError("is a link or no ordinary file", todo="Add the photograph itself.")
        refuse_unreadable(name, info.flag_bits, info.compress_type)
        sort = self._sort(name, info)
        if sort == "picture":
            yield self._piece(kept, name, info)
        elif sort in ("ZIP", "mail", "archive"):
            inside = self._here.inside(kept)
            yield Nested(self._bytes(info, settings().sources.max_packed_bytes), inside)
        else:
            refuse_other(name, info.file_size)

    def _piece(self, kept: str, name: str, info: zipfile.ZipInfo) -> Piece:
        load = partial(self._bytes, info, settings().scan.max_bytes)
        return self._here.piece(kept, name, load, self._captions.get(name.rsplit("/", 1)[-1], ""))

    def _sort(self, name: str, info: zipfile.ZipInfo) -> Sort:
        with _reading(), self._archive.open(info) as member:
            return sort_of(member.read(HEAD_BYTES), name)

    def _bytes(self, info: zipfile.ZipInfo, limit: int) -> bytes:
        """Unpack one member in steps, so that a bomb is stopped early and its claims do not matter."""
        data = bytearray()
        with _reading(), self._archive.open(info) as member:
            while chunk := member.read(_CHUNK):
                data += chunk
                spend(self._here.budget, len(chunk), len(data), info.compress_size, limit)
        return bytes(data)


def spend(budget: Budget, chunk: int, unpacked: int, packed: int, limit: int) -> None:
    """Account for a step of unpacking. Raises PhotoError when a member grows too large for what went in."""
    budget.spend(chunk)
    limits = settings().sources
    if unpacked > limits.ratio_from_bytes and unpacked > limits.max_ratio * max(1, packed):
        budget.spend(limits.max_unpacked_bytes // 10)  # ten bombs are enough to give a source up
        raise PhotoError(f"grows to more than {limits.max_ratio} times its size when unpacked", todo=UNPACK)
    if unpacked > limit:
        raise PhotoError(f"is larger than {limit / 1e6:g} MB", todo="Save a smaller copy and use that.")


@contextmanager
def _reading() -> Iterator[None]:
    """Turn whatever the reader raises on damaged members into one line that a person can use."""
    try:
        yield
    except PhotoError:
        raise
    except Exception as error:
        wrong = "its check sum is wrong" if "CRC" in str(error) else "is cut off or damaged"
        raise PhotoError(wrong, todo=pictures.FETCH_AGAIN) from error
