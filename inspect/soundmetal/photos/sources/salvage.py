"""What can still be read of a ZIP whose end is missing: member by member from the front, each proved by check sum.

Source: ZIP application note 6.3.10, 4.3.7 (local file header), 4.3.9 (data descriptor), 4.5.3 (zip64), from memory.
"""

from __future__ import annotations

import struct
import zlib
from dataclasses import dataclass
from typing import IO, Final

from soundmetal.errors import PhotoError
from soundmetal.photos import pictures
from soundmetal.photos.settings import settings
from soundmetal.photos.sources.kinds import HEAD_BYTES, sort_of
from soundmetal.photos.sources.models import Exhausted, Nested, PackedStream, Within
from soundmetal.photos.sources.names import clean, hidden
from soundmetal.photos.sources.zips import RENAME, SAME_NAME, matters, name_of, refuse_other, refuse_unreadable, spend

_HEADER = struct.Struct("<4s5H3L2H")
_MEMBER: Final = b"PK\x03\x04"
_DESCRIPTOR: Final = b"PK\x07\x08"
_SIZE_FOLLOWS: Final = 0x8
_STORED: Final = 0
_CHUNK: Final = 1 << 18
_FULL: Final = 0xFFFFFFFF


@dataclass
class _Member:
    name: str
    flags: int
    method: int
    crc: int
    packed_bytes: int

    @property
    def size_follows(self) -> bool:
        """Whether the size stands behind the data."""
        return bool(self.flags & _SIZE_FOLLOWS) and self.packed_bytes == 0


def pieces(stream: IO[bytes], here: Within) -> PackedStream:
    """Give the pictures of a damaged ZIP from the front, as far as its members follow each other.

    Raises PhotoError for a bomb. Members that are broken are named.
    """
    stream.seek(0)
    seen: set[str] = set()
    while (member := _next(stream)) is not None:
        here.budget.count()
        try:
            data = _content(stream, member, here)
            if not hidden(member.name) and not member.name.endswith("/"):
                yield from _judged(member, data, here, seen)
        except Exhausted:
            raise
        except _Lost as error:
            if matters(member.name):
                yield here.refuse(member.name, error)
            return
        except PhotoError as error:
            if matters(member.name):
                yield here.refuse(member.name, error)


class _Lost(PhotoError):
    """Where the next member begins cannot be told."""


def _next(stream: IO[bytes]) -> _Member | None:
    block = stream.read(_HEADER.size)
    if len(block) < _HEADER.size:
        return None
    sign, _needs, flags, method, _time, _date, crc, packed, size, name_bytes, extra_bytes = _HEADER.unpack(block)
    if sign != _MEMBER:
        return None
    name = stream.read(name_bytes).decode("utf-8" if flags & 0x800 else "cp437", "replace")
    extra = stream.read(extra_bytes)
    if packed == _FULL:
        packed = _long_size(extra, size == _FULL)
    return _Member(name_of(name, flags), flags, method, crc, packed)


def _long_size(extra: bytes, behind_size: bool) -> int:
    """Find the packed size in the zip64 field; 0 where it is not there."""
    at = 0
    while at + 4 <= len(extra):
        field, length = struct.unpack_from("<HH", extra, at)
        wanted = at + 4 + (8 if behind_size else 0)
        if field == 1 and wanted + 8 <= min(len(extra), at + 4 + length):
            return int(struct.unpack_from("<Q", extra, wanted)[0])
        at += 4 + length
    return 0


def _content(stream: IO[bytes], member: _Member, here: Within) -> bytes:
    """Read one member and leave the stream behind it. Raises PhotoError, _Lost where that place is not known."""
    start = stream.tell()
    if member.size_follows and (member.method == _STORED or member.flags & 1):
        raise _Lost("its size is not known", todo=pictures.FETCH_AGAIN)
    try:
        refuse_unreadable(member.name, member.flags, member.method)
        data = _stored(stream, member, here) if member.method == _STORED else _inflated(stream, member, here)
    except PhotoError as error:
        if member.size_follows:
            raise _Lost(error.what, todo=error.todo) from error
        raise
    finally:
        if not member.size_follows:
            stream.seek(start + member.packed_bytes)
    if zlib.crc32(data) != member.crc:
        raise PhotoError("its check sum is wrong", todo=pictures.FETCH_AGAIN)
    return data


def _stored(stream: IO[bytes], member: _Member, here: Within) -> bytes:
    spend(here.budget, member.packed_bytes, member.packed_bytes, member.packed_bytes, settings().scan.max_bytes)
    data = stream.read(member.packed_bytes)
    if len(data) < member.packed_bytes:
        raise _Lost("is cut off or damaged", todo=pictures.FETCH_AGAIN)
    return data


def _inflated(stream: IO[bytes], member: _Member, here: Within) -> bytes:
    start = stream.tell()
    inflate = zlib.decompressobj(-15)
    data, packed, taken = bytearray(), b"", 0
    while not inflate.eof:
        if not packed:
            packed = stream.read(_CHUNK)
            taken += len(packed)
        if not packed:
            raise _Lost("is cut off or damaged", todo=pictures.FETCH_AGAIN)
        try:
            data += (chunk := inflate.decompress(packed, _CHUNK * 4))
        except zlib.error as error:
            raise PhotoError("is cut off or damaged", todo=pictures.FETCH_AGAIN) from error
        packed = inflate.unconsumed_tail
        spend(here.budget, len(chunk), len(data), taken, settings().scan.max_bytes)
    stream.seek(start + taken - len(inflate.unused_data))
    if member.size_follows:
        _descriptor(stream, member)
    return bytes(data)


def _descriptor(stream: IO[bytes], member: _Member) -> None:
    """Read the check sum that stands behind the data, and step over the sizes, which have 4 or 8 bytes each."""
    at = stream.tell()
    block = stream.read(24)
    signed = 4 if block.startswith(_DESCRIPTOR) else 0
    if len(block) < signed + 4:
        raise _Lost("is cut off or damaged", todo=pictures.FETCH_AGAIN)
    member.crc = struct.unpack_from("<L", block, signed)[0]
    for length in (signed + 12, signed + 20):
        stream.seek(at + length)
        if stream.read(2) == b"PK":
            stream.seek(at + length)
            return


def _judged(member: _Member, data: bytes, here: Within, seen: set[str]) -> PackedStream:
    sort = sort_of(data[:HEAD_BYTES], member.name)
    if sort in ("other", "text"):
        refuse_other(member.name, len(data))
        return
    try:
        kept = clean(member.name)
        if kept in seen:
            raise PhotoError(SAME_NAME, todo=RENAME)
        seen.add(kept)
        packed = None if sort == "picture" else here.inside(kept)
    except PhotoError as error:
        yield here.refuse(member.name, error)
        return
    yield Nested(data, packed) if packed else here.piece(kept, member.name, lambda: data)
