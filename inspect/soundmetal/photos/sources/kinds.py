"""What a file is by its first bytes: a picture, something packed that may hold pictures, a text that names them."""

from __future__ import annotations

import re
from typing import Final, Literal

from soundmetal.photos import pictures
from soundmetal.photos.scan import suffix_of

Sort = Literal["picture", "ZIP", "mail", "archive", "text", "other"]
#: Bytes that are enough to tell.
HEAD_BYTES: Final = 8192
#: Local file header, end of an empty archive, start of a split one (ZIP application note 6.3.10, 4.3; from memory).
_ZIP: Final = (b"PK\x03\x04", b"PK\x05\x06", b"PK\x07\x08PK\x03\x04")
#: Archives that are not opened: 7-Zip, RAR, gzip, bzip2, xz, TNEF (from memory). They are named, lest they get lost.
_ARCHIVES: Final = (
    b"7z\xbc\xaf\x27\x1c",
    b"Rar!\x1a\x07",
    b"\x1f\x8b\x08",
    b"BZh",
    b"\xfd7zXZ\0",
    b"\x78\x9f\x3e\x22",
)
#: Fields that stand at the head of mails (RFC 5322, 3.6; RFC 2045, 3; RFC 6376), of which two are proof enough.
_MAIL_FIELDS: Final = frozenset(
    b"from to cc subject date sender reply-to message-id in-reply-to references received return-path mime-version "
    b"content-type content-transfer-encoding delivered-to dkim-signature".split()
)
_FIELD = re.compile(rb"([!-9;-~]{1,76}):")
_LOGS: Final = frozenset((".txt", ".html", ".htm"))


def sort_of(head: bytes, name: str) -> Sort:
    r"""Tell what a file is; the name only decides whether a text may be a log of messages.

    >>> sort_of(b"PK\x03\x04...", "a.jpg"), sort_of(b"From: a\r\nDate: b\r\n\r\nhi", "x"), sort_of(b"a", "b.txt")
    ('ZIP', 'mail', 'text')
    """
    if pictures.kind_of(head):
        return "picture"
    if head.startswith(_ZIP):
        return "ZIP"
    if head.startswith(_ARCHIVES):
        return "archive"
    if is_mail(head):
        return "mail"
    return "text" if suffix_of(name) in _LOGS else "other"


def is_mail(head: bytes) -> bool:
    """Tell whether bytes begin with the fields of a mail."""
    seen: set[bytes] = set()
    lines = head.removeprefix(b"\xef\xbb\xbf").lstrip(b"\r\n").splitlines()
    for number, line in enumerate(lines):
        if not line:
            break
        if line[:1] in b" \t" or (number == 0 and line.startswith(b"From ")):
            continue
        field = _FIELD.match(line)
        if field is None:
            if number < len(lines) - 1 or len(head) < HEAD_BYTES:  # the last line may be cut
                return False
            break
        seen.add(field[1].lower())
    return len(seen & _MAIL_FIELDS) >= 2
