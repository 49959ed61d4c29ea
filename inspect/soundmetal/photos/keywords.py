"""Keywords and captions that people put on a photograph in their picture program: IPTC-IIM and XMP.

Sources: IPTC-IIM 4.2, datasets 2:25 (keywords), 2:120 (caption) and 1:90 (character set); ISO 16684-1 (XMP),
`dc:subject` and `dc:description`. Both from memory; the tests compare with an independent reader.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, cast
from xml.etree.ElementTree import ParseError

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import fromstring
from PIL import Image, ImageFile, IptcImagePlugin

_KEYWORDS = (2, 25)
_CAPTION = (2, 120)
_CHARACTER_SET = (1, 90)
_UTF_8 = b"\x1b%G"
_SUBJECT = "{http://purl.org/dc/elements/1.1/}subject"
_DESCRIPTION = "{http://purl.org/dc/elements/1.1/}description"
_ITEM = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}li"


@dataclass(frozen=True)
class Keywords:
    """What both places say. XMP wins; numbers stay text. Of captions all are kept, IPTC's first."""

    xmp: tuple[str, ...] = ()
    iptc: tuple[str, ...] = ()
    captions: tuple[str, ...] = ()

    @property
    def words(self) -> tuple[str, ...]:
        """Keywords to use.

        >>> Keywords(xmp=("sill",), iptc=("door",)).words
        ('sill',)
        """
        return self.xmp or self.iptc

    @property
    def disagree(self) -> tuple[str, ...]:
        """What IPTC says where XMP says something else; empty where both agree or one is silent."""
        return self.iptc if self.xmp and self.iptc and set(self.xmp) != set(self.iptc) else ()


def from_picture(picture: Image.Image) -> Keywords:
    """Read the keywords of an opened picture (JPEG, TIFF: both; PNG, WebP, HEIC: XMP).

    May raise ValueError, or whatever Pillow raises on a broken block: the caller names it as a problem.
    """
    packet = picture.info.get("xmp") or picture.info.get("XML:com.adobe.xmp") or b""
    holds_iptc = picture.format in ("JPEG", "MPO", "TIFF") and isinstance(picture, ImageFile.ImageFile)
    records = IptcImagePlugin.getiptcinfo(cast(ImageFile.ImageFile, picture)) if holds_iptc else None
    return from_blocks(packet, records)


def from_blocks(packet: bytes | str, records: dict[tuple[int, int], Any] | None = None) -> Keywords:
    """Read an XMP packet and IPTC records. ValueError when the packet is no sound XML."""
    captions = (*from_iptc(records, _CAPTION), *from_xmp(packet, _DESCRIPTION))
    return Keywords(xmp=from_xmp(packet), iptc=from_iptc(records), captions=tuple(dict.fromkeys(captions)))


def from_iptc(records: dict[tuple[int, int], Any] | None, dataset: tuple[int, int] = _KEYWORDS) -> tuple[str, ...]:
    r"""Read one dataset, 2:25 unless told, UTF-8 where it says so or looks so, else Latin-1.

    >>> from_iptc({(2, 25): [b"piso", b"esquina de caba\xf1a"]})
    ('piso', 'esquina de cabaña')
    """
    values = (records or {}).get(dataset, [])
    listed = values if isinstance(values, list) else [values]
    declared = (records or {}).get(_CHARACTER_SET) == _UTF_8
    return _tidy(_decoded(value, declared) for value in listed)


def _decoded(value: bytes, declared_utf_8: bool) -> str:
    try:
        return value.decode("utf-8")
    except UnicodeDecodeError:
        return value.decode("utf-8", "replace") if declared_utf_8 else value.decode("latin-1")


def from_xmp(packet: bytes | str, element: str = _SUBJECT) -> tuple[str, ...]:
    """Read one list of an XMP packet, `dc:subject` unless told; entities and external files are refused.

    Raises ValueError when the packet is no sound XML.
    """
    data = packet.encode("utf-8") if isinstance(packet, str) else packet
    data = data.strip(b"\0 \r\n\t")
    if not data:
        return ()
    try:
        root = fromstring(data)
    except (ParseError, DefusedXmlException, LookupError, ValueError) as error:
        raise ValueError(f"XMP is not sound XML ({error})") from error
    return _tidy(item.text or "" for listed in root.iter(element) for item in listed.iter(_ITEM))


def _tidy(words: Any) -> tuple[str, ...]:
    """Drop blanks, control characters and repeats; keep the order. A line break is a blank."""
    clean = ("".join(c if c.isprintable() else " " * (c in "\r\n") for c in word).strip() for word in words)
    return tuple(dict.fromkeys(word for word in clean if word))
