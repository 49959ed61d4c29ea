"""Keywords of picture programs."""

from __future__ import annotations

import struct

import pytest
from PIL.PngImagePlugin import PngInfo

from soundmetal.photos.keywords import Keywords, from_iptc, from_picture, from_xmp
from soundmetal.photos.pictures import open_picture


def packet(*words: str) -> bytes:
    items = "".join(f"<rdf:li>{word}</rdf:li>" for word in words)
    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/">'
        '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description '
        f'xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:subject><rdf:Bag>{items}</rdf:Bag></dc:subject>'
        '</rdf:Description></rdf:RDF></x:xmpmeta><?xpacket end="w"?>'
    ).encode()


def iptc_jpeg(jpeg: bytes, *words: bytes, declared: bytes = b"") -> bytes:
    """Put IPTC datasets into a JPEG by hand: APP13, Photoshop resource 0x0404 (IIM 4.2, chapter 1)."""
    sets = b"\x1c\x01\x5a" + struct.pack(">H", len(declared)) + declared if declared else b""
    sets += b"".join(b"\x1c\x02\x19" + struct.pack(">H", len(word)) + word for word in words)
    resource = b"8BIM\x04\x04\x00\x00" + struct.pack(">I", len(sets)) + sets + b"\x00" * (len(sets) % 2)
    block = b"Photoshop 3.0\x00" + resource
    return jpeg[:2] + b"\xff\xed" + struct.pack(">H", len(block) + 2) + block + jpeg[2:]


def read(data: bytes) -> Keywords:
    with open_picture(data) as picture:
        picture.load()
        return from_picture(picture)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP", "HEIF"])
def test_xmp_in_every_kind(draw, kind: str) -> None:
    xmp = packet("estribo izquierdo", "2008")
    if kind == "PNG":
        text = PngInfo()
        text.add_itxt("XML:com.adobe.xmp", xmp.decode())
        data = draw(kind=kind, pnginfo=text)
    else:
        data = draw(kind=kind, **({"tiffinfo": {700: xmp}} if kind == "TIFF" else {"xmp": xmp}))
    assert read(data).words == ("estribo izquierdo", "2008")


def test_iptc_in_utf_8_and_latin_1(draw) -> None:
    word = "cabaña"
    assert read(iptc_jpeg(draw(), word.encode("utf-8"), declared=b"\x1b%G")).iptc == (word,)
    assert read(iptc_jpeg(draw(), word.encode("utf-8"))).iptc == (word,)
    assert read(iptc_jpeg(draw(), word.encode("latin-1"))).iptc == (word,)
    assert read(iptc_jpeg(draw(), b"sill", b"2006", b"sill")).iptc == ("sill", "2006")


def test_xmp_wins_and_the_disagreement_is_kept(draw) -> None:
    both = read(iptc_jpeg(draw(xmp=packet("rocker")), b"door"))
    assert both.words == ("rocker",)
    assert both.disagree == ("door",)
    same = read(iptc_jpeg(draw(xmp=packet("a", "b")), b"b", b"a"))
    assert (same.words, same.disagree) == (("a", "b"), ())


def test_escapes_and_control_characters() -> None:
    assert from_xmp(packet("Wilts &amp; Dorset", "&lt;script&gt;", " a\tb ", "")) == (
        "Wilts & Dorset",
        "<script>",
        "ab",
    )


def test_padding_round_a_packet() -> None:
    assert from_xmp(b"\0\0" + packet("x") + b"   \n\0") == ("x",)
    assert from_xmp(b"") == ()
    assert from_xmp("<a/>") == ()


@pytest.mark.parametrize(
    "bad",
    [
        b"<x",
        b"\xff\xfe\x00",
        b'<!DOCTYPE a [<!ENTITY b "bbbb"><!ENTITY c "&b;&b;">]><a>&c;</a>',
        b'<!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/hostname">]><a>&b;</a>',
    ],
)
def test_unsound_or_dangerous_xml_is_an_error(bad: bytes) -> None:
    with pytest.raises(ValueError, match="XMP is not sound XML"):
        from_xmp(bad)


def test_no_iptc() -> None:
    assert from_iptc(None) == ()
    assert from_iptc({(2, 25): b"one"}) == ("one",)
