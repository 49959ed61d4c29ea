"""A walk along the parts of a file before a decoder sees it: millions of parts would hold it for minutes.

Sources: ITU-T T.81, B.1.1 and G.1 (JPEG markers, progressive scans), RFC 2083, 3.2 (PNG chunks), GIF89a, 12 to 26
(blocks and sub-blocks); all from memory. What is merely wrong is left to the decoder, which says it better.
"""

from __future__ import annotations

import struct
from typing import IO, Final

from soundmetal.errors import PhotoError
from soundmetal.photos.settings import settings

_REMEDY: Final = "Copy it from the camera again, or leave it out."
#: Bytes of nothing between two markers of a JPEG that are still looked through.
_GAP: Final = 65_536
_SCAN, _END, _PROGRESSIVE = 0xDA, 0xD9, 0xC2
#: Markers that stand alone, without a length.
_ALONE: Final = frozenset((0x01, *range(0xD0, 0xD9)))
#: A GIF is cut into sub-blocks of at most 255 bytes, so that it has more of them than others have parts.
_SUB_BLOCKS: Final = 10


def check(stream: IO[bytes], kind: str) -> None:
    """Raise PhotoError for a JPEG, PNG or GIF of more parts than the settings allow; go back to the start."""
    walk = {"JPEG": _jpeg, "PNG": _png, "GIF": _gif}.get(kind)
    if walk:
        walk(stream)
        stream.seek(0)


def _too_many(kind: str, parts: str, limit: int) -> PhotoError:
    return PhotoError(f"the {kind} picture has more than {limit} {parts}", todo=_REMEDY)


def _jpeg(stream: IO[bytes]) -> None:
    limit = settings().scan.max_parts
    stream.seek(2)
    progressive = False
    for _ in range(limit):
        marker = _marker(stream)
        if marker in (_SCAN, _END, None):
            break
        if marker in _ALONE:
            continue
        progressive = progressive or marker == _PROGRESSIVE
        size = stream.read(2)
        stream.seek(max(0, int.from_bytes(size, "big") - 2), 1)
    else:
        raise _too_many("JPEG", "parts", limit)
    if progressive:
        _count_scans(stream)


def _marker(stream: IO[bytes]) -> int | None:
    """Find the next marker; None at the end. Raises PhotoError where nothing comes for too long."""
    for _ in range(_GAP):
        byte = stream.read(1)
        if not byte:
            return None
        if byte == b"\xff":
            code = byte
            while code == b"\xff":
                code = stream.read(1)
            if not code or code != b"\0":
                return code[0] if code else None
    raise PhotoError("begins like a JPEG picture but holds nothing after that", todo=_REMEDY)


def _count_scans(stream: IO[bytes]) -> None:
    """Count the scans of a progressive picture: every one is a walk over the whole picture again."""
    data = stream.read()
    end = data.find(b"\xff\xd9")
    limit = settings().scan.max_scans
    if data.count(b"\xff\xda", 0, end if end >= 0 else len(data)) >= limit:
        raise _too_many("JPEG", "scans", limit)


def _png(stream: IO[bytes]) -> None:
    limit = settings().scan.max_parts
    stream.seek(8)
    for _ in range(limit):
        head = stream.read(8)
        if len(head) < 8 or head[4:] == b"IEND":
            return
        stream.seek(struct.unpack(">I", head[:4])[0] + 4, 1)
    raise _too_many("PNG", "parts", limit)


def _gif(stream: IO[bytes]) -> None:
    """Walk to the end of the second picture: no decoder is asked for more than whether there is one."""
    limit = settings().scan.max_parts * _SUB_BLOCKS
    stream.seek(10)
    flags = stream.read(1)
    stream.seek(2 + _palette(flags), 1)
    pictures = 0
    while pictures < 2:
        sort = stream.read(1)
        if sort == b"!":
            stream.seek(1, 1)
        elif sort == b",":
            pictures += 1
            palette = _palette(stream.read(9)[8:])
            stream.seek(palette + 1, 1)
        else:
            return
        while size := stream.read(1):
            limit -= 1
            if limit < 0:
                raise _too_many("GIF", "parts", settings().scan.max_parts * _SUB_BLOCKS)
            if size == b"\0":
                break
            stream.seek(size[0], 1)


def _palette(flags: bytes) -> int:
    """Give the bytes of a colour table that the flags tell of."""
    return 3 << ((flags[0] & 7) + 1) if flags and flags[0] & 0x80 else 0
