"""The directories of a TIFF file as far as pages and raw files need them: whole numbers only, bounded, no pixels.

A camera's raw file (DNG and its likes) is a TIFF whose first picture may be a stamp of 160 pixels; the picture that a
person would call the preview lies somewhere inside as a JPEG. Layout of directories: TIFF 6.0, section 2; of the
previews: Adobe DNG 1.4, "SubIFD trees"; both from memory.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import IO, Final

from soundmetal.errors import PhotoError

#: No more directories than this are read: a chain that never ends must end here.
MOST_DIRECTORIES: Final = 1000
#: A directory with more tags is none; a tag with more values is passed over: none that is asked for needs them.
_MOST_TAGS: Final = 4096
_MOST_VALUES: Final = 64
_TYPES: Final = {1: "B", 3: "H", 4: "I", 13: "I", 16: "Q", 18: "Q"}

SUBFILE, COMPRESSION, PHOTOMETRIC, STRIP_OFFSETS, ORIENTATION = 254, 259, 262, 273, 274
STRIP_BYTES, SUB_DIRECTORIES, JPEG_AT, JPEG_BYTES = 279, 330, 513, 514
_DNG_VERSION = 50706
#: Photometric interpretations of a sensor's own data: colour filter array, linear raw.
_SENSOR: Final = (32803, 34892)
#: Behind the head of a CR2 file, whose directories do not tell what they hold (from memory).
_RAW_MARK: Final = b"CR"
_JPEG_COMPRESSIONS: Final = (6, 7)
_ASKED_FOR: Final = frozenset(
    (SUBFILE, COMPRESSION, PHOTOMETRIC, STRIP_OFFSETS, ORIENTATION, STRIP_BYTES, SUB_DIRECTORIES, JPEG_AT, JPEG_BYTES)
) | {_DNG_VERSION}

Directory = dict[int, tuple[int, ...]]


@dataclass(frozen=True)
class Tiff:
    """All directories of a file: those of the chain (its pages) and those that hang below them.

    `marked`: the head itself says that it is a raw file.
    """

    chain: tuple[Directory, ...]
    below: tuple[Directory, ...]
    marked: bool = False

    @property
    def pages(self) -> int:
        """How many pages it has; smaller copies of a page do not count."""
        return sum(not first(page, SUBFILE) & 1 for page in self.chain)

    @property
    def is_raw(self) -> bool:
        """Whether it holds what a sensor gave."""
        every = (*self.chain, *self.below)
        return self.marked or any(_DNG_VERSION in one or first(one, PHOTOMETRIC) in _SENSOR for one in every)

    @property
    def orientation(self) -> int:
        """The first directory's EXIF orientation, 1 where it says nothing."""
        said = first(self.chain[0], ORIENTATION) if self.chain else 1
        return said if 1 <= said <= 8 else 1

    def jpegs(self, most: int = 6) -> list[tuple[int, int]]:
        """Give place and length in bytes of the whole JPEG streams inside, the longest `most` of them.

        Cameras put in two or three.
        """
        return sorted(set(self._jpegs()), key=lambda span: (-span[1], span[0]))[:most]

    def _jpegs(self) -> Iterator[tuple[int, int]]:
        for one in (*self.chain, *self.below):
            if JPEG_AT in one and JPEG_BYTES in one:
                yield first(one, JPEG_AT), first(one, JPEG_BYTES)
            single = len(one.get(STRIP_OFFSETS, ())) == 1
            if single and first(one, COMPRESSION) in _JPEG_COMPRESSIONS and first(one, PHOTOMETRIC) not in _SENSOR:
                yield first(one, STRIP_OFFSETS), first(one, STRIP_BYTES)


def first(directory: Directory, tag: int) -> int:
    """Give the first value of a tag, 0 where it is missing.

    >>> first({254: (1, 0)}, 254), first({}, 254)
    (1, 0)
    """
    values = directory.get(tag, ())
    return values[0] if values else 0


def read(stream: IO[bytes]) -> Tiff:
    """Read the directories; what points nowhere ends the reading there. PhotoError for what is no TIFF at all."""
    stream.seek(0)
    head = stream.read(16)
    order = {b"II": "<", b"MM": ">"}.get(head[:2], "")
    big = bool(order) and head[2:4] == struct.pack(order + "H", 43)
    if not order or len(head) < (16 if big else 8):
        raise PhotoError("the TIFF picture is cut off or damaged", todo="Copy it again, or leave it out.")
    reader = _Reader(stream, order, big)
    start = struct.unpack(order + ("Q" if big else "I"), head[8:16] if big else head[4:8])[0]
    chain = tuple(reader.chain(start))
    below = tuple(
        one for page in chain for place in page.get(SUB_DIRECTORIES, ()) for one in reader.chain(place, alone=True)
    )
    return Tiff(chain, below, head[8:10] == _RAW_MARK and start >= 16)


class _Reader:
    """Reads directories, none of them twice."""

    def __init__(self, stream: IO[bytes], order: str, big: bool) -> None:
        self.stream, self.order = stream, order
        self.count, self.offset = ("Q", "Q") if big else ("H", "I")
        self.seen: set[int] = set()

    def chain(self, place: int, *, alone: bool = False) -> Iterator[Directory]:
        """Give the directory at a place and those that it leads to, or it alone."""
        while place and place not in self.seen and len(self.seen) < MOST_DIRECTORIES:
            self.seen.add(place)
            try:
                directory, place = self._directory(place)
            except (struct.error, OSError, OverflowError, ValueError):
                return
            yield directory
            if alone:
                return

    def _directory(self, place: int) -> tuple[Directory, int]:
        self.stream.seek(place)
        (count,) = self._unpack(self.count)
        if count > _MOST_TAGS:
            raise ValueError("too many tags")
        entry = struct.Struct(self.order + "HH" + self.offset)
        width = struct.calcsize(self.offset)
        raw = self.stream.read(count * (entry.size + width))
        (after,) = self._unpack(self.offset)
        found: Directory = {}
        for at in range(0, count * (entry.size + width), entry.size + width):
            tag, kind, number = entry.unpack_from(raw, at)
            if tag in _ASKED_FOR and tag not in found and kind in _TYPES and number <= _MOST_VALUES:
                found[tag] = self._values(_TYPES[kind], number, raw[at + entry.size : at + entry.size + width])
        return found, after

    def _values(self, kind: str, number: int, inline: bytes) -> tuple[int, ...]:
        """Give the values of one tag: they stand in its entry where they fit, else where the entry points."""
        form = f"{self.order}{number}{kind}"
        size = struct.calcsize(form)
        if size <= len(inline):
            return struct.unpack_from(form, inline)
        self.stream.seek(struct.unpack(self.order + self.offset, inline)[0])
        data = self.stream.read(size)
        return struct.unpack(form, data) if len(data) == size else ()

    def _unpack(self, kind: str) -> tuple[int, ...]:
        return struct.unpack(self.order + kind, self.stream.read(struct.calcsize(kind)))
