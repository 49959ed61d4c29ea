"""The objects of a PDF (ISO 32000-2, 7.2 and 7.3; from memory), read from bytes that nobody vouches for.

Only what our own files and those of common readers that saved them again need; depth and length are bounded, and
whatever is not understood is a fault, never a guess.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, NamedTuple

_SPACE = b" \t\r\n\f\0"
_DELIMITERS = b"()<>[]{}/%"
_TOKEN = re.compile(rb"[^ \t\r\n\f\0()<>\[\]{}/%]+")
#: Possessive: a way back that is never gone would cost a hundred times what is read.
_BLANK = re.compile(rb"(?:[ \t\r\n\f\0]++|%[^\r\n]*+)*+")
_NUMBER = re.compile(rb"[+-]?(?:\d+\.?\d*|\.\d+)\Z")
_HEX = re.compile(rb"[0-9A-Fa-f \t\r\n\f\0]*")
_NAME_HEX = re.compile(rb"#([0-9A-Fa-f]{2})")
_REFERENCE = re.compile(rb"(\d{1,10})[ \t\r\n\f\0]++(\d{1,5})[ \t\r\n\f\0]++R(?![^ \t\r\n\f\0()<>\[\]{}/%])")
_ESCAPED = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}
_ESCAPE = re.compile(rb"\\(?:([0-7]{1,3})|(\r\n?|\n)|(.))|\r\n?", re.DOTALL)
_WORDS: dict[bytes, bool | None] = {b"true": True, b"false": False, b"null": None}
MAX_DEPTH = 60
#: How many objects, small ones in large ones counted too, are read before it is asked what they are all for.
MAX_VALUES = 1_000_000
_LONGEST_NUMBER = 40
_LONGEST_NAME = 4000
#: Where PDFDocEncoding differs from Latin-1 (ISO 32000-2, table D.2; from memory; a test asks another reader).
_PDF_DOC = {
    **dict(enumerate("˘ˇˆ˙˝˛˚˜", 0x18)),
    **dict(enumerate("•†‡…—–ƒ⁄‹›−‰„“”‘’‚™ﬁﬂŁŒŠŸŽıłœšž", 0x80)),
    0xA0: "€",
}


class PdfFault(ValueError):
    """Something in the bytes is not as a PDF must be; says what."""


class Name(str):
    """A name such as /Type, without its stroke."""

    __slots__ = ()


class Ref(NamedTuple):
    """A reference to an object: its number and generation."""

    number: int
    generation: int


@dataclass(frozen=True)
class Stream:
    """A stream: its dictionary, and its bytes as they lie in the file."""

    entries: dict[str, Any]
    raw: bytes


class Reader:
    """Reads one object after another from a place in some bytes."""

    def __init__(self, data: bytes, at: int = 0, most: int = MAX_VALUES) -> None:
        """Start at `at`, and read at most `most` values; `left` says how many more it may be."""
        self.data, self.at, self.left = data, at, most

    def blank(self) -> None:
        """Skip white space and comments."""
        match = _BLANK.match(self.data, self.at)
        self.at = match.end() if match else self.at

    def word(self) -> bytes:
        """Read a run of plain characters; empty where there is none."""
        self.blank()
        match = _TOKEN.match(self.data, self.at)
        self.at = match.end() if match else self.at
        return match[0] if match else b""

    def whole(self) -> int:
        """Read a whole number, 0 or more; PdfFault where there is none."""
        word = self.word()
        if not word.isdigit() or len(word) > _LONGEST_NUMBER:
            raise PdfFault("a number is missing")
        return int(word)

    def value(self, depth: int = 0) -> Any:
        """Read one object of any kind; PdfFault where there is none."""
        if depth > MAX_DEPTH:
            raise PdfFault("its parts are nested too deep")
        self._count()
        self.blank()
        start = self.data[self.at : self.at + 2]
        if start == b"<<":
            return self._dictionary(depth)
        if start[:1] == b"[":
            return self._array(depth)
        if start[:1] == b"/":
            return self._name()
        if start[:1] == b"(":
            return self._literal()
        if start[:1] == b"<":
            return self._hexadecimal()
        return self._plain()

    def _count(self) -> None:
        self.left -= 1
        if self.left < 0:
            raise PdfFault("holds more parts than a report does")

    def _dictionary(self, depth: int) -> dict[str, Any]:
        self.at += 2
        found: dict[str, Any] = {}
        while True:
            self.blank()
            if self.data.startswith(b">>", self.at):
                self.at += 2
                return found
            if not self.data.startswith(b"/", self.at):
                raise PdfFault("a dictionary does not end")
            key = self._name()
            found[str(key)] = self.value(depth + 1)

    def _array(self, depth: int) -> list[Any]:
        self.at += 1
        found: list[Any] = []
        while True:
            self.blank()
            if self.data.startswith(b"]", self.at):
                self.at += 1
                return found
            found.append(self.value(depth + 1))

    def _name(self) -> Name:
        self.at += 1
        match = _TOKEN.match(self.data, self.at)
        raw = match[0] if match else b""
        if len(raw) > _LONGEST_NAME:
            raise PdfFault("a name in it has no end")
        self.at += len(raw)
        return Name(_NAME_HEX.sub(lambda m: bytes.fromhex(m[1].decode()), raw).decode("utf-8", "replace"))

    def _literal(self) -> bytes:
        start, depth, at = self.at + 1, 1, self.at + 1
        for match in re.compile(rb"\\.|[()]", re.DOTALL).finditer(self.data, start):
            self._count()
            depth += {b"(": 1, b")": -1}.get(match[0], 0)
            if not depth:
                at = match.end()
                break
        if depth:
            raise PdfFault("a text does not end")
        self.at = at
        return _ESCAPE.sub(_unescaped, self.data[start : at - 1])

    def _hexadecimal(self) -> bytes:
        match = _HEX.match(self.data, self.at + 1)
        end = match.end() if match else self.at + 1
        if self.data[end : end + 1] != b">":
            raise PdfFault("a text does not end")
        digits = self.data[self.at + 1 : end].translate(None, _SPACE)
        self.at = end + 1
        return bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode())

    def _plain(self) -> Any:
        reference = _REFERENCE.match(self.data, self.at)
        if reference:
            self.at = reference.end()
            return Ref(int(reference[1]), int(reference[2]))
        word = self.word()
        if word in _WORDS:
            return _WORDS[word]
        if not _NUMBER.match(word) or len(word) > _LONGEST_NUMBER:
            raise PdfFault("something in it is no part of a PDF")
        return float(word) if b"." in word else int(word)


def _unescaped(match: re.Match[bytes]) -> bytes:
    octal, line, other = match.groups()
    if octal:
        return bytes((int(octal, 8) & 255,))
    if line:
        return b""
    return _ESCAPED.get(other, other) if other else b"\n"


def text_of(value: object) -> str:
    r"""Read a text string (ISO 32000-2, 7.9.2.2): UTF-16 or UTF-8 with its mark, else Latin letters.

    >>> text_of(b"\xfe\xff\x00a\x00\xf1"), text_of(b"plain"), text_of(7)
    ('añ', 'plain', '')
    """
    if not isinstance(value, bytes):
        return ""
    if value.startswith(b"\xfe\xff"):
        return value[2:].decode("utf-16-be", "replace")
    if value.startswith(b"\xef\xbb\xbf"):
        return value[3:].decode("utf-8", "replace")
    return value.decode("latin-1").translate(_PDF_DOC)
