"""Captions as tags, and sides that are told by who sits there."""

from __future__ import annotations

import struct

import pytest
from PIL import Image

from soundmetal.car.catalogue import body
from soundmetal.photos import exif
from soundmetal.photos.settings import settings
from soundmetal.photos.tags import Matcher, Placed, place_by
from soundmetal.photos.vocabulary import vocabulary
from soundmetal.record.models import PhotoNote

BODY = body("pickup", "frame")
PLAIN, LEFT, RIGHT = (Matcher(BODY, vocabulary(), side) for side in (None, "left", "right"))


def put(name: str, *captions: str, keywords: tuple[str, ...] = (), reader: Matcher = PLAIN) -> Placed:
    return place_by(reader, name, keywords, None, captions)


def xmp(*texts: tuple[str, str]) -> bytes:
    """An XMP packet with a description in several languages (ISO 16684-1, language alternatives; from memory)."""
    items = "".join(f'<rdf:li xml:lang="{language}">{text}</rdf:li>' for language, text in texts)
    return (
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:description><rdf:Alt>'
        f"{items}</rdf:Alt></dc:description></rdf:Description></rdf:RDF></x:xmpmeta>"
    ).encode()


def iptc(jpeg: bytes, caption: bytes) -> bytes:
    """Put dataset 2:120 into a JPEG (IIM 4.2: tag mark, record, dataset, length, text)."""
    data = b"\x1c\x02\x78" + struct.pack(">H", len(caption)) + caption
    block = b"Photoshop 3.0\x008BIM\x04\x04\0\0" + struct.pack(">I", len(data)) + data + b"\0" * (len(data) % 2)
    return jpeg[:2] + b"\xff\xed" + struct.pack(">H", len(block) + 2) + block + jpeg[2:]


def described(text: str) -> Image.Exif:
    block = Image.Exif()
    block[270] = text
    return block


def test_captions_of_all_three_places_are_read(draw) -> None:
    data = iptc(draw(exif=described("cowl"), xmp=xmp(("x-default", "tailgate"), ("es", "compuerta"))), b"firewall")
    assert exif.read(data).captions == ("firewall", "tailgate", "compuerta", "cowl")


@pytest.mark.parametrize("kind", ["TIFF", "WEBP", "HEIF", "PNG"])
def test_the_description_in_other_kinds(draw, kind: str) -> None:
    block = described("left rocker, outer")
    data = draw(kind=kind, exif=block.tobytes() if kind == "HEIF" else block)
    assert exif.read(data).captions == ("left rocker, outer",)


def test_latin_1_and_line_breaks(draw) -> None:
    assert exif.read(iptc(draw(), "Piso\ndelantero, caja de ventilaci\xf3n".encode("latin-1"))).captions == (
        "Piso delantero, caja de ventilación",
    )


def test_lines_of_a_description_are_joined(draw) -> None:
    assert exif.read(draw(exif=described("left rocker,\r\nouter"))).captions == ("left rocker, outer",)


def test_a_novel_is_cut(draw) -> None:
    (caption,) = exif.read(draw(exif=described("rocker " * 900))).captions
    assert len(caption) <= settings().tags.caption_letters


def test_a_caption_stands_between_keywords_and_folder() -> None:
    assert put("cowl/1.jpg", "tailgate").by == "caption"
    assert put("cowl/1.jpg", "tailgate").zone == "tailgate"
    assert put("cowl/1.jpg", "tailgate", keywords=("firewall",)).zone == "firewall"
    assert put("cowl/1.jpg", "lovely weather").zone == "cowl.top"
    assert put("left outer/1.jpg", "the rocker").zone == "rocker.left.outer"


def test_a_sentence_that_names_other_steel_too_is_doubtful() -> None:
    beside = put("1.jpg", "Left rocker, outer skin, below the door")
    assert not beside.sure
    two = put("1.jpg", "rocker left outer", "cab corner left outer")
    assert two.zone is None
    assert set(two.open_to) == {"rocker.left.outer", "cab_corner.left.outer"}


@pytest.mark.parametrize(
    ("text", "driver_left"),
    [
        ("rocker outer driver side", "rocker.left.outer"),
        ("driver's side outer rocker", "rocker.left.outer"),
        ("passenger side outer rocker", "rocker.right.outer"),
        ("estribo exterior lado del conductor", "rocker.left.outer"),
        ("estribo exterior, lado acompañante", "rocker.right.outer"),
    ],
)
def test_who_knows_where_the_driver_sits_knows_the_side(text: str, driver_left: str) -> None:
    other = driver_left.replace("left", "x").replace("right", "left").replace("x", "right")
    assert (put(f"{text}.jpg", reader=LEFT).zone, put(f"{text}.jpg", reader=LEFT).sure) == (driver_left, True)
    assert put(f"{text}.jpg", reader=RIGHT).zone == other
    unknown = put(f"{text}.jpg")
    assert (unknown.zone, unknown.asks_driver) == (None, True)
    assert {driver_left, other} <= {zone for zone, _score in unknown.best}


def test_the_question_is_asked_wherever_the_words_stand() -> None:
    assert put("outer rocker/driver side 3.jpg").asks_driver
    assert put("1.jpg", "driver side", keywords=("outer rocker",)).asks_driver
    assert put("outer rocker/driver side 3.jpg", reader=LEFT).zone == "rocker.left.outer"


def test_a_side_that_is_said_outright_asks_nothing() -> None:
    assert put("left rocker outer, driver side.jpg").zone == "rocker.left.outer"
    assert not put("left rocker outer, driver side.jpg").asks_driver
    assert put("rocker outer, left, driver side.jpg", reader=RIGHT).zone is None


def test_the_kerb_never_tells_a_side() -> None:
    for reader in (PLAIN, LEFT, RIGHT):
        placed = put("outer rocker nearside.jpg", reader=reader)
        assert (placed.zone, placed.asks_driver) == (None, False)


def test_the_record_needs_no_driver() -> None:
    placed = place_by(PLAIN, "driver side rocker.jpg", (), PhotoNote(zone="tailgate"))
    assert (placed.zone, placed.asks_driver) == ("tailgate", False)
