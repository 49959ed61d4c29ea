"""A PDF that came from outside: its objects by number, its streams unpacked within bounds, the files inside it.

Read are cross-reference tables and streams, object streams and later changes (ISO 32000-2, 7.5; from memory), so that
a report still opens after a reader of its owner's saved it again. A file that is damaged is refused, not mended.
"""

from __future__ import annotations

import re
import stat
import zlib
from collections.abc import Iterator
from functools import cached_property
from pathlib import Path
from typing import Any

from soundmetal.folder.pdf_syntax import MAX_VALUES, PdfFault, Reader, Ref, Stream, text_of

#: Two hundred photographs as copies are about 50 MB.
MAX_BYTES = 120_000_000
_MAX_UNPACKED = 64_000_000
_MAX_OBJECTS = 500_000
_MAX_REVISIONS = 100
_MAX_HOPS = 32
_MAX_TREE = 10_000
_HEAD = 1024
_IN_STREAM = 2
_PNG = 10


def read_bytes(path: Path) -> bytes:
    """Read a file that may be a PDF. PdfFault where it is not an ordinary file or too large; OSError as usual."""
    status = path.stat()
    if not stat.S_ISREG(status.st_mode):
        raise PdfFault("is not an ordinary file")
    if status.st_size > MAX_BYTES:
        raise PdfFault(f"is larger than {MAX_BYTES // 1_000_000} MB")
    return path.read_bytes()


class PdfFile:
    """One PDF, its parts read when they are asked for. Any fault in it is a PdfFault."""

    def __init__(self, data: bytes) -> None:
        """Find all objects; PdfFault where that fails or the file is locked."""
        shift = data.find(b"%PDF-", 0, _HEAD)
        if shift < 0:
            raise PdfFault("is no PDF")
        self.data = data[shift:] if shift else data
        self._places: dict[int, tuple[int, int, int]] = {}
        self._known: dict[int, Any] = {}
        self._packed: dict[int, tuple[dict[int, int], bytes]] = {}
        self._unpacked = self._claimed = 0
        self._values_left = MAX_VALUES
        self.trailer: dict[str, Any] = {}
        self._find_objects()
        if self.trailer.get("Encrypt") is not None:
            raise PdfFault("is locked with a password")

    @cached_property
    def root(self) -> dict[str, Any]:
        """The catalogue that everything hangs from."""
        found = self.get(self.trailer.get("Root"))
        if not isinstance(found, dict):
            raise PdfFault("has no catalogue")
        return found

    def get(self, value: Any) -> Any:
        """Follow a reference to the object it names; anything else is given back. What is not there is None."""
        for _ in range(_MAX_HOPS):
            if not isinstance(value, Ref):
                return value
            if value.number not in self._known:
                self._known[value.number] = None  # what asks for itself on the way is not there
                self._known[value.number] = self._load(value.number)
            value = self._known[value.number]
        raise PdfFault("goes round in a circle")

    def streams(self) -> Iterator[Stream]:
        """Give all streams of the file, by number."""
        for number in sorted(self._places):
            if self._places[number][0] == 1:
                found = self.get(Ref(number, 0))
                if isinstance(found, Stream):
                    yield found

    def unpacked(self, stream: Stream, most: int) -> bytes:
        """Unpack a stream to at most `most` bytes; PdfFault where it is larger, damaged or packed in another way."""
        filters = self.get(stream.entries.get("Filter")) or []
        data = stream.raw
        for name in filters if isinstance(filters, list) else [filters]:
            if self.get(name) != "FlateDecode":
                raise PdfFault("packs a part in a way that is not used here")
            data = self._inflated(data, most)
        if len(data) > most:
            raise PdfFault("holds a part that is too large")
        return data

    def files_inside(self) -> list[dict[str, Any]]:
        """Give the descriptions of all files that it carries, each once, wherever they hang."""
        names = self.dictionary(self.root.get("Names"))
        specs = [spec for _, spec in self._tree(names.get("EmbeddedFiles"))]
        associated = self.get(self.root.get("AF")) or []
        specs += associated if isinstance(associated, list) else [associated]
        found: list[Any] = []
        for spec in specs:
            if spec not in found:
                found.append(spec)
        return [self.dictionary(spec) for spec in found]

    def dictionary(self, value: Any) -> dict[str, Any]:
        """Follow a reference to a dictionary; an empty one where there is none."""
        found = self.get(value)
        return found if isinstance(found, dict) else {}

    def _tree(self, top: Any) -> Iterator[tuple[str, Any]]:
        """Give the pairs of a name tree."""
        waiting, seen = [top], 0
        while waiting:
            node, seen = self.dictionary(waiting.pop()), seen + 1
            if seen > _MAX_TREE:
                raise PdfFault("names more files than a report does")
            kids, names = self.get(node.get("Kids")) or [], self.get(node.get("Names")) or []
            if not isinstance(kids, list) or not isinstance(names, list):
                raise PdfFault("its list of files is damaged")
            waiting += kids
            yield from ((text_of(self.get(key)), spec) for key, spec in zip(names[::2], names[1::2], strict=False))

    def _inflated(self, data: bytes, most: int) -> bytes:
        most = min(most, _MAX_UNPACKED - self._unpacked)
        unpacker = zlib.decompressobj()
        try:
            plain = unpacker.decompress(data, most + 1)
        except zlib.error as error:
            raise PdfFault("holds a damaged part") from error
        if len(plain) > most:
            raise PdfFault("holds a part that is too large")
        if not unpacker.eof:
            raise PdfFault("holds a damaged part")
        self._unpacked += len(plain)
        return plain

    def _find_objects(self) -> None:
        at = self.data.rfind(b"startxref")
        if at < 0:
            raise PdfFault("is cut off: its end is missing")
        waiting: list[int] = [Reader(self.data, at + 9).whole()]
        seen: set[int] = set()
        while waiting:
            start = waiting.pop(0)
            if start in seen:
                continue
            seen.add(start)
            if len(seen) > _MAX_REVISIONS or start >= len(self.data):
                raise PdfFault("its table of contents is damaged")
            trailer = self._section(start)
            self.trailer = {**trailer, **self.trailer}
            waiting += [place for key in ("XRefStm", "Prev") if isinstance(place := trailer.get(key), int)]

    def _section(self, start: int) -> dict[str, Any]:
        reader = Reader(self.data, start)
        if reader.word() != b"xref":
            return self._stream_section(start)
        while (word := reader.word()) != b"trailer":
            if not word.isdigit():
                raise PdfFault("its table of contents is damaged")
            first, count = int(word[:12]), reader.whole()
            self._claim(first, count)
            for number in range(first, first + count):
                offset, generation, kind = reader.whole(), reader.whole(), reader.word()
                self._places.setdefault(number, (int(kind == b"n"), offset, generation))
        found = self._value(reader)
        if not isinstance(found, dict):
            raise PdfFault("its table of contents is damaged")
        return found

    def _stream_section(self, start: int) -> dict[str, Any]:
        stream = self._object_at(start)
        if not isinstance(stream, Stream) or stream.entries.get("Type") != "XRef":
            raise PdfFault("its table of contents is damaged")
        entries = stream.entries
        widths, size = entries.get("W"), entries.get("Size")
        if not isinstance(widths, list) or len(widths) != 3 or not all(w in range(9) for w in widths):
            raise PdfFault("its table of contents is damaged")
        if not sum(widths):
            raise PdfFault("its table of contents is empty")
        data = self._rows(stream)
        ranges = entries.get("Index") or [0, size]
        if not isinstance(ranges, list):
            raise PdfFault("its table of contents is damaged")
        row, at = sum(widths), 0
        for first, count in zip(ranges[::2], ranges[1::2], strict=False):
            if not isinstance(first, int) or not isinstance(count, int) or at + row * count > len(data):
                raise PdfFault("its table of contents is damaged")
            self._claim(first, count)
            for number in range(first, first + count):
                self._places.setdefault(number, _row(data, at, widths))
                at += row
        return entries

    def _rows(self, stream: Stream) -> bytes:
        data = self.unpacked(stream, _MAX_UNPACKED)
        how = self.dictionary(stream.entries.get("DecodeParms"))
        predictor, columns = how.get("Predictor", 1), how.get("Columns", 1)
        if predictor == 1:
            return data
        if not isinstance(predictor, int) or predictor < _PNG or columns not in range(1, 65):
            raise PdfFault("packs a part in a way that is not used here")
        return _unpredicted(data, columns)

    def _claim(self, first: int, count: int) -> None:
        """Hold the parts that are listed from a number on, and all those listed before, against what a report has."""
        self._claimed += count
        if first < 0 or count < 0 or max(first + count, self._claimed) > _MAX_OBJECTS:
            raise PdfFault("claims more parts than a report has")

    def _value(self, reader: Reader) -> Any:
        """Read one object; all those of a file share one bound."""
        reader.left = self._values_left
        value = reader.value()
        self._values_left = reader.left
        return value

    def _load(self, number: int) -> Any:
        kind, where, _ = self._places.get(number, (0, 0, 0))
        if kind == 1:
            return self._object_at(where, number)
        return self._from_stream(where, number) if kind == _IN_STREAM else None

    def _from_stream(self, holder: int, number: int) -> Any:
        if holder not in self._packed:
            self._packed[holder] = self._opened(holder)
        places, data = self._packed[holder]
        return self._value(Reader(data, places[number])) if number in places else None

    def _opened(self, holder: int) -> tuple[dict[int, int], bytes]:
        if self._places.get(holder, (0, 0, 0))[0] != 1:
            raise PdfFault("its table of contents is damaged")
        stream = self.get(Ref(holder, 0))
        if not isinstance(stream, Stream) or stream.entries.get("Type") != "ObjStm":
            raise PdfFault("its table of contents is damaged")
        data = self.unpacked(stream, _MAX_UNPACKED)
        count, first = self.get(stream.entries.get("N")), self.get(stream.entries.get("First"))
        if not isinstance(count, int) or not isinstance(first, int) or first < 0:
            raise PdfFault("its table of contents is damaged")
        self._claim(0, count)
        reader = Reader(data)
        return {reader.whole(): first + reader.whole() for _ in range(count)}, data

    def _object_at(self, start: int, number: int | None = None) -> Any:
        reader = Reader(self.data, start)
        here, _, word = reader.whole(), reader.whole(), reader.word()
        if word != b"obj" or number not in (None, here):
            raise PdfFault("its table of contents is damaged")
        value = self._value(reader)
        if not isinstance(value, dict):
            return value
        after = re.compile(rb"[ \t\r\n\f\0]*stream(\r\n|\n|\r)").match(self.data, reader.at)
        return Stream(value, self._raw(value, after.end())) if after else value

    def _raw(self, entries: dict[str, Any], start: int) -> bytes:
        length = self.get(entries.get("Length"))
        if not isinstance(length, int) or length < 0 or start + length > len(self.data):
            raise PdfFault("is cut off in the middle of a part")
        if not re.compile(rb"[\r\n ]{0,3}endstream").match(self.data, start + length):
            raise PdfFault("is damaged: a part is not as long as it says")
        return self.data[start : start + length]


def _row(data: bytes, at: int, widths: list[int]) -> tuple[int, int, int]:
    fields = []
    for width in widths:
        fields.append(int.from_bytes(data[at : at + width]))
        at += width
    return fields[0] if widths[0] else 1, fields[1], fields[2]


def _unpredicted(data: bytes, columns: int) -> bytes:
    """Undo the PNG filters None, Sub and Up (the others are for pictures), row by row."""
    above, rows = bytes(columns), []
    for at in range(0, len(data), columns + 1):
        kind, row = data[at], bytearray(data[at + 1 : at + 1 + columns])
        if len(row) != columns or kind > 2:
            raise PdfFault("packs a part in a way that is not used here")
        for i in range(columns):
            left = row[i - 1] if i else 0
            row[i] = (row[i] + (0, left, above[i])[kind]) & 255
        above = bytes(row)
        rows.append(above)
    return b"".join(rows)
