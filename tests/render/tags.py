"""What an invented telephone and its owner write into a picture: EXIF, IPTC and XMP."""

from __future__ import annotations

import datetime as dt
import struct
from xml.sax.saxutils import escape

from PIL import Image
from PIL.TiffImagePlugin import IFDRational

Phone = tuple[str, str, str]
#: Maker, model and software of the telephone that each car was taken with: the shop's, and the owner's.
PHONES: dict[str, Phone] = {
    "pickup": ("Tindertown", "T4 Field", "T4 2.6"),
    "coupe": ("Wexcombe", "Mallow 9", "Mallow 9.1"),
}
OFFSET = "-07:00"
_EXIF, _GPS = 0x8769, 0x8825


def _degrees(value: float) -> tuple[IFDRational, IFDRational, IFDRational]:
    whole, rest = divmod(abs(value), 1)
    minutes, rest = divmod(rest * 60, 1)
    return IFDRational(int(whole), 1), IFDRational(int(minutes), 1), IFDRational(round(rest * 6000), 100)


def exif(
    taken: dt.datetime,
    orientation: int,
    pixels: tuple[int, int],
    place: tuple[float, float] | None,
    phone: Phone = PHONES["pickup"],
) -> Image.Exif:
    """EXIF of one picture; `place` is latitude and longitude in degrees."""
    out = Image.Exif()
    stamp = taken.strftime("%Y:%m:%d %H:%M:%S")
    out[0x010F], out[0x0110], out[0x0131] = phone
    out[0x0112] = orientation
    out[0x011A], out[0x011B], out[0x0128] = IFDRational(72, 1), IFDRational(72, 1), 2
    out[0x0132] = stamp
    inner = out.get_ifd(_EXIF)
    inner[0x829A], inner[0x829D], inner[0x8827] = IFDRational(1, 60), IFDRational(18, 10), 160
    inner[0x9000], inner[0x9003], inner[0x9004] = b"0232", stamp, stamp
    inner[0x9010], inner[0x9011], inner[0x9012] = OFFSET, OFFSET, OFFSET
    inner[0x920A], inner[0xA405] = IFDRational(425, 100), 26
    inner[0xA002], inner[0xA003] = pixels
    if place is not None:
        gps = out.get_ifd(_GPS)
        gps[0], gps[1], gps[2] = b"\2\3\0\0", "N" if place[0] >= 0 else "S", _degrees(place[0])
        gps[3], gps[4] = "E" if place[1] >= 0 else "W", _degrees(place[1])
    return out


def xmp(keywords: tuple[str, ...]) -> bytes:
    """An XMP packet with `dc:subject` keywords."""
    items = "".join(f"<rdf:li>{escape(word)}</rdf:li>" for word in keywords)
    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>'
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">'
        f"<dc:subject><rdf:Bag>{items}</rdf:Bag></dc:subject>"
        '</rdf:Description></rdf:RDF></x:xmpmeta><?xpacket end="w"?>'
    ).encode()


def iptc_segment(keywords: tuple[str, ...]) -> bytes:
    """A JPEG APP13 segment with IPTC-IIM keywords (dataset 2:25) in UTF-8 (1:90)."""
    records = b"\x1c\x01\x5a" + struct.pack(">H", 3) + b"\x1b%G"
    for word in keywords:
        text = word.encode()
        records += b"\x1c\x02\x19" + struct.pack(">H", len(text)) + text
    block = b"8BIM\x04\x04\x00\x00" + struct.pack(">I", len(records)) + records + b"\0" * (len(records) % 2)
    body = b"Photoshop 3.0\0" + block
    return b"\xff\xed" + struct.pack(">H", len(body) + 2) + body


def with_iptc(jpeg: bytes, keywords: tuple[str, ...]) -> bytes:
    """Put IPTC keywords into a JPEG, behind its leading APP0, APP1 and APP2 segments."""
    at = 2
    while jpeg[at] == 0xFF and 0xE0 <= jpeg[at + 1] <= 0xE2:
        at += 2 + struct.unpack(">H", jpeg[at + 2 : at + 4])[0]
    return jpeg[:at] + iptc_segment(keywords) + jpeg[at:]
