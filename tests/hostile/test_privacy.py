"""Nothing that leaves the shop tells where, when or by whom a photograph was taken, or what its file is called.

Strings are planted in every place of a photograph that can hold one, in names and in the list of arrivals; then every
page is taken apart: all streams of the PDFs unpacked, all pictures in them opened, the pictures inside the web pages
decoded. Owner, shop and inspector stand there as the record writes them.
"""

from __future__ import annotations

import base64
import io
import re
import struct
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pillow_heif
import pytest
from PIL import Image, ImageCms
from pypdf import PdfReader
from pypdf.generic import IndirectObject, StreamObject

pillow_heif.register_heif_opener()
SECRET = "Zqxplanted"
#: 47 degrees 36 minutes 22.1379 seconds north, 122 degrees 19 minutes 56.7193 seconds west, as it might be written.
PLACE = ("22.1379", "56.7193", "221379", "567193", "47.60614", "122.33242")
KEPT = ("Ana Quiroga", "R. Vane")
COVER = "{kind: cover, points: [[0, 0], [0.5, 0.5]]}"
GREY, OFF = 128, 4


def exif(word: str) -> Image.Exif:
    """Plant a word in every text field that phones and picture programs write, and a position."""
    block = Image.Exif()
    for tag in (270, 271, 272, 305, 315, 316, 33432):  # description, maker, model, program, artist, host, copyright
        block[tag] = f"{word}{tag}"
    inner = block.get_ifd(0x8769)
    inner.update({0x9003: "2026:11:18 09:41:37", 0x9286: f"ASCII\0\0\0{word}comment".encode()})
    inner.update(dict.fromkeys((0xA430, 0xA431, 0xA433, 0xA434, 0xA435), f"{word}owner"))
    block.get_ifd(0x8825).update(
        {1: "N", 2: (47.0, 36.0, 22.1379), 3: "W", 4: (122.0, 19.0, 56.7193), 27: f"ASCII\0\0\0{word}gps".encode()}
    )
    return block


def iptc(jpeg: bytes, word: str) -> bytes:
    """Plant by-line, caption, city and contact (IIM 4.2 datasets 2:80, 2:120, 2:90, 2:118)."""
    text = f"{word}iptc".encode()
    data = b"".join(
        b"\x1c\x02" + bytes((number,)) + struct.pack(">H", len(text)) + text for number in (80, 90, 118, 120)
    )
    block = b"Photoshop 3.0\x008BIM\x04\x04\0\0" + struct.pack(">I", len(data)) + data + b"\0" * (len(data) % 2)
    return jpeg[:2] + b"\xff\xed" + struct.pack(">H", len(block) + 2) + block + jpeg[2:]


def photograph(kind: str, seed: int) -> bytes:
    """A noisy picture full of planted words."""
    noise = np.random.default_rng(seed).integers(0, 256, (300, 400, 3), dtype=np.uint8)
    xmp = (
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:creator><rdf:Seq>'
        f"<rdf:li>{SECRET}xmp</rdf:li></rdf:Seq></dc:creator></rdf:Description></rdf:RDF></x:xmpmeta>"
    ).encode()
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes() + f"{SECRET}icc".encode()
    options: dict[str, Any] = {"exif": exif(SECRET).tobytes(), "xmp": xmp, "icc_profile": profile}
    if kind == "JPEG":
        options["comment"] = f"{SECRET}comment".encode()
    if kind == "PNG":
        del options["xmp"]
    buffer = io.BytesIO()
    Image.fromarray(noise).save(buffer, kind, **options)
    return iptc(buffer.getvalue(), SECRET) if kind == "JPEG" else buffer.getvalue()


RECORD = """\
soundmetal: 1
version: 1
vehicle: {{year: 1971, make: "Tollgate", model: "Drover", body: pickup, structure: frame}}
owner: {{name: "Ana Quiroga"}}
date: 2026-11-18
inspector: "R. Vane"
basis: walkround
findings:
{findings}
photos: {{}}
"""
FINDING = """\
  - id: F{number}
    zone: {zone}
    seen: holed
    size: 120 x 60 mm
    photos:
      - file: "{file}"
        marks:
          - {{kind: box, points: [[0.6, 0.6], [0.9, 0.9]], text: "the hole"}}
          - {cover}
"""
ZONES = ("rocker.left.outer", "floor.left.front", "cab_corner.left.outer", "frame_rail.left.rear")


@pytest.fixture(scope="module")
def outputs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Write everything that can be written, once, by the real commands."""
    from soundmetal.cli import main

    source = tmp_path_factory.mktemp("source") / f"{SECRET}source"
    source.mkdir()
    car = tmp_path_factory.mktemp("car") / f"{SECRET}car"
    (car / "photos" / f"{SECRET}folder").mkdir(parents=True)
    names = []
    for number, (kind, suffix) in enumerate((("JPEG", "jpg"), ("PNG", "png"), ("HEIF", "heic"), ("WEBP", "webp"))):
        by_hand = number % 2
        name = (
            f"{SECRET}folder/{SECRET} {number}.{suffix}" if by_hand else f"{SECRET}source/{SECRET}{number}.{suffix}"
        )
        path = car / "photos" / name if by_hand else source / f"{SECRET}{number}.{suffix}"
        path.write_bytes(photograph(kind, number))
        names.append(name)
    (source / f"{SECRET}broken.jpg").write_bytes(b"\xff\xd8\xff\xe1broken")
    findings = "".join(
        FINDING.format(number=number, zone=zone, file=name, cover=COVER)
        for number, (zone, name) in enumerate(zip(ZONES, names, strict=True), start=1)
    )
    (car / "inspection.yaml").write_text(RECORD.format(findings="").replace("findings:\n", "findings: []\n"), "utf-8")
    _run(main, ("add", str(car), str(source), "--from-owner"))
    record = RECORD.format(findings=findings)
    (car / "inspection.yaml").write_text(record, encoding="utf-8")
    for command in (
        ("report", str(car), "--html"),
        ("scope", str(car), "--html"),
        ("check", str(car), "--shots"),
    ):
        _run(main, command)
    names_out = ("report.pdf", "report.html", "scope.pdf", "scope.html", "shots.pdf", "shots.txt")
    return {name: car / name for name in names_out}


def _run(main: Any, command: tuple[str, ...]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(list(command))
    assert ended.value.code in (None, 0, 20)


def parts(path: Path) -> Iterator[tuple[str, bytes]]:
    """Give every piece of a file that could hold a word, unpacked."""
    data = path.read_bytes()
    yield "bytes", data
    if path.suffix == ".pdf":
        reader = PdfReader(io.BytesIO(data))
        for page in reader.pages:
            yield "text", page.extract_text().encode()
        for number in range(1, len(reader.xref_objStm) + sum(map(len, reader.xref.values())) + 1):
            thing = reader.get_object(IndirectObject(number, 0, reader))
            yield f"object {number}", repr(thing).encode()
            if isinstance(thing, StreamObject):
                # An object stream begins with places of its parts: figures that may fall on any number by chance.
                yield f"stream {number}", thing.get_data()[thing.get("/First", 0) :]
    if path.suffix == ".html":
        for number, (_kind, coded) in enumerate(re.findall(rb"data:([\w/]+);base64,([\w+/=]+)", data)):
            yield f"data {number}", base64.b64decode(coded)


def pictures(path: Path) -> list[Image.Image]:
    """Give the photographs in a page."""
    if path.suffix == ".pdf":
        found = [image.data for page in PdfReader(path).pages for image in page.images]
    else:
        found = [
            base64.b64decode(one) for one in re.findall(rb"data:image/jpeg;base64,([\w+/=]+)", path.read_bytes())
        ]
    return [Image.open(io.BytesIO(data)) for data in sorted(set(found))]


NAMES = ("report.pdf", "report.html", "scope.pdf", "scope.html", "shots.pdf", "shots.txt")
WITH_PICTURES = NAMES[:4]


@pytest.mark.parametrize("name", NAMES)
def test_nothing_planted_leaves_the_shop(outputs: dict[str, Path], name: str) -> None:
    sought = [SECRET, SECRET.lower(), SECRET.upper(), *PLACE, "09:41:37", "arrivals.csv"]
    coded = [word.encode(code) for word in sought for code in ("utf-8", "utf-16-be", "utf-16-le")]
    coded += [word.encode().hex().encode() for word in sought[:1]]
    looked_at = 0
    for where, data in parts(outputs[name]):
        looked_at += 1
        assert [word for word in coded if word in data] == [], where
    assert looked_at >= {".pdf": 20, ".html": 5, ".txt": 1}[outputs[name].suffix]


@pytest.mark.parametrize("name", NAMES)
def test_no_place_of_this_computer_leaves_the_shop(outputs: dict[str, Path], name: str) -> None:
    place = str(outputs[name].parent.parent).encode()
    for where, data in parts(outputs[name]):
        assert place not in data, where
        assert b"file://" not in data, where


@pytest.mark.parametrize("name", ["report.pdf", "report.html"])
def test_owner_and_inspector_stand_as_written(outputs: dict[str, Path], name: str) -> None:
    words = b" ".join(data for where, data in parts(outputs[name]) if where in ("text", "bytes"))
    for person in KEPT:
        assert person.encode() in words


@pytest.mark.parametrize("name", WITH_PICTURES)
def test_pictures_carry_nothing_but_pixels(outputs: dict[str, Path], name: str) -> None:
    found = pictures(outputs[name])
    assert len(found) == len(ZONES)
    for picture in found:
        assert not picture.getexif()
        assert {"exif", "icc_profile", "comment", "xmp", "photoshop"} & picture.info.keys() == set()
    for where, data in parts(outputs[name]):
        if b"\xff\xd8\xff" in data[:4]:
            assert not re.search(rb"\xff[\xe1-\xed\xef\xfe]..(Exif|http|Photoshop|ICC_PROFILE)", data, re.DOTALL), (
                where
            )


@pytest.mark.parametrize("name", WITH_PICTURES)
def test_covered_pixels_are_gone_from_every_page(outputs: dict[str, Path], name: str) -> None:
    """The covers take the upper left quarter; the noise elsewhere shows that these are the photographs."""
    found = pictures(outputs[name])
    assert len(found) == len(ZONES)
    for picture in found:
        pixels = np.asarray(picture.convert("RGB"), dtype=int)
        height, width = pixels.shape[0] // 2, pixels.shape[1] // 2
        assert np.abs(pixels[: height - 16, : width - 16] - GREY).max() <= OFF
        assert pixels[height + 16 :, width + 16 :].std() > 20


@pytest.mark.parametrize("name", ["report.html", "scope.html"])
def test_a_cover_is_neither_drawn_nor_counted(outputs: dict[str, Path], name: str) -> None:
    page = outputs[name].read_text(encoding="utf-8")
    assert page.count('class="call-out"') == len(ZONES)
    assert "the hole" in page


def test_the_originals_and_the_shop_keep_everything(outputs: dict[str, Path]) -> None:
    car = outputs["report.pdf"].parent
    rows = (car / "photos" / "arrived" / "arrivals.csv").read_text(encoding="utf-8")
    assert f"owner: {SECRET}source" in rows
    originals = [
        path.read_bytes() for path in (car / "photos").rglob("*") if path.suffix in (".jpg", ".png", ".heic", ".webp")
    ]
    assert len(originals) == 4
    assert all(SECRET.encode() in data for data in originals)
