"""Photographs that break things: each is named, the others go on, nothing crashes, nothing takes five seconds."""

from __future__ import annotations

import io
import os
import runpy
import struct
import time
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from soundmetal.car.catalogue import body
from soundmetal.photos.album import Album, album
from soundmetal.photos.callouts import overlay_svg
from soundmetal.photos.exif import PhotoFacts, read
from soundmetal.photos.scan import scan
from soundmetal.record.models import Inspection

TOOLS = runpy.run_path(str(Path(__file__).parents[1] / "fetch_photos.py"))
SHARED: Path | None = TOOLS["shared"]()
RECORD = Inspection.model_validate(
    {
        "soundmetal": 1,
        "vehicle": {"body": "pickup", "structure": "frame"},
        "date": "2026-11-18",
        "basis": "photos",
    }
)
SCRIPT = "<script>alert('x')</script>"


def picture(kind: str = "JPEG", size: tuple[int, int] = (160, 120), **options: object) -> bytes:
    """Noise, so that most of the file is pixels and a cut hits them."""
    pixels = np.random.default_rng(7).integers(0, 255, (size[1], size[0], 3), dtype="uint8")
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, kind, **options)
    return buffer.getvalue()


def png_of(width: int, height: int) -> bytes:
    """A PNG that claims a size and holds next to nothing (RFC 2083)."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\0" * 1000))
        + chunk(b"IEND", b"")
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "photos"
    made.mkdir()
    (made / "tailgate.jpg").write_bytes(picture())
    return made


@pytest.fixture(autouse=True)
def _in_five_seconds() -> Iterator[None]:
    start = time.perf_counter()
    yield
    assert time.perf_counter() - start < 5


def work(folder: Path) -> Album:
    """Do everything; the sound photograph must come through whatever lies beside it."""
    done = album(folder, RECORD, body("pickup", "frame"), folder.parent / "cache")
    assert done.by_name["tailgate.jpg"].placed.zone == "tailgate"
    assert done.by_name["tailgate.jpg"].copy.path.is_file()
    return done


BROKEN: dict[str, Callable[[], bytes]] = {
    "empty.jpg": lambda: b"",
    "one byte.jpg": lambda: b"\xff",
    "text.jpg": lambda: b"this is a text\n" * 20,
    "page.png": lambda: b"<html>" + SCRIPT.encode(),
    "cut.jpg": lambda: picture()[:-2000],
    "cut at the head.jpg": lambda: picture()[:100],
    "cut.png": lambda: picture("PNG")[:-20000],
    "cut.heic": lambda: picture("HEIF")[:-3000],
    "cut at the head.heic": lambda: picture("HEIF")[:200],
    "cut.tif": lambda: picture("TIFF")[:-20000],
    "cut.webp": lambda: picture("WEBP")[:-2000],
    "bomb.png": lambda: png_of(60_000, 60_000),
    "wide.png": lambda: png_of(2_000_000_000, 1),
    "no width.png": lambda: png_of(0, 10),
    "hollow.png": lambda: png_of(5000, 5000),
    "zeros.heic": lambda: b"\0\0\0\x18ftypheic" + b"\0" * 400,
    "random.jpg": lambda: b"\xff\xd8\xff\xe0" + np.random.default_rng(1).bytes(5000),
    "random.tif": lambda: b"II*\0" + np.random.default_rng(2).bytes(5000),
    "script.svg.jpg": lambda: f'<svg xmlns="http://www.w3.org/2000/svg">{SCRIPT}</svg>'.encode(),
    "letter.jpg": lambda: b"%!PS-Adobe-3.0 EPSF-3.0\n",
}


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_file_is_named_and_the_rest_goes_on(folder: Path, name: str) -> None:
    (folder / name).write_bytes(BROKEN[name]())
    done = work(folder)
    assert [bad.name for bad in done.refused] == [name]
    assert done.refused[0].why
    assert done.refused[0].todo
    assert len(str(done.refused[0]).splitlines()) == 1


def test_all_broken_files_at_once(folder: Path) -> None:
    for name, data in BROKEN.items():
        (folder / name).write_bytes(data())
    done = work(folder)
    assert [bad.name for bad in done.refused] == sorted(BROKEN)
    assert not done.complete


def test_a_bomb_is_refused_for_its_size(folder: Path) -> None:
    (folder / "bomb.png").write_bytes(BROKEN["bomb.png"]())
    assert work(folder).refused[0].why == "larger than 120 megapixels"


@pytest.mark.parametrize(
    "name",
    [
        'quote".jpg',
        "apostrophe's.jpg",
        "ñandú ﷽ 車 🚗.jpg",
        "<script>alert(1)</script".replace("/", "_") + ".jpg",
        "back\\slash.jpg",
        "a\nb.jpg",
        "tab\there.jpg",
        "$(reboot).jpg",
        "%s%n{0}.jpg",
        " leading and trailing .jpg",
        "-rf.jpg",
        "\u202egpj.exe.jpg",
        "x" * 251 + ".jpg",
    ],
)
def test_odd_names_are_only_names(folder: Path, name: str) -> None:
    (folder / name).write_bytes(picture(size=(20, 20)))
    (folder / (name[:-4][:240] + "-broken.jpg")).write_bytes(b"x")
    done = work(folder)
    assert name in done.by_name
    assert len(done.refused) == 1
    assert len(str(done.refused[0]).splitlines()) == 1


def test_a_path_of_four_thousand_characters(folder: Path) -> None:
    """As deep as the system lets a path be; below that, what cannot be opened is named or passed over."""
    here = os.getcwd()  # noqa: PTH109 - relative steps are the only way to go deeper than a path may be long
    try:
        os.chdir(folder)
        for _ in range(20):
            os.mkdir("d" * 250)  # noqa: PTH102
            os.chdir("d" * 250)
        Path("rocker.jpg").write_bytes(picture(size=(20, 20)))
    finally:
        os.chdir(here)
    done = work(folder)
    assert any("cannot be read" in bad.why for bad in done.refused)


def test_a_name_that_is_no_text(folder: Path) -> None:
    with open(os.fsencode(folder) + b"/bad\xff.jpg", "wb") as stream:  # noqa: PTH123 - no Path holds these bytes
        stream.write(picture(size=(20, 20)))
    done = work(folder)
    assert [(bad.name, bad.why) for bad in done.refused] == [("bad\\xff.jpg", "its name is not valid text")]
    str(done.refused[0]).encode("utf-8")


def test_script_in_metadata_stays_text(folder: Path) -> None:
    exif = Image.Exif()
    exif[271], exif[272] = SCRIPT, "x" * 4000
    exif.get_ifd(0x8769)[0x9003] = SCRIPT
    (folder / "1.jpg").write_bytes(picture(exif=exif, comment=SCRIPT.encode()))
    facts = work(folder).by_name["1.jpg"].facts
    assert facts.make == SCRIPT
    assert facts.taken is None
    assert SCRIPT.encode() not in work(folder).by_name["1.jpg"].copy.path.read_bytes()


def test_ten_thousand_keywords(folder: Path) -> None:
    items = "".join(f"<rdf:li>word {n}</rdf:li>" for n in range(10_000))
    packet = (
        '<x xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#" xmlns:dc="http://purl.org/dc/elements/1.1/">'
        f"<dc:subject><rdf:Bag>{items}</rdf:Bag></dc:subject></x>"
    )
    (folder / "1.webp").write_bytes(picture("WEBP", xmp=packet.encode()))
    photo = work(folder).by_name["1.webp"]
    assert len(photo.facts.keywords) == 10_000
    assert photo.placed.zone is None


def test_entities_in_xmp_are_not_unfolded(folder: Path) -> None:
    levels = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 12))
    packet = f'<!DOCTYPE x [<!ENTITY e0 "ha">{levels}]><x>&e11;</x>'
    (folder / "1.jpg").write_bytes(picture(xmp=packet.encode()))
    facts = work(folder).by_name["1.jpg"].facts
    assert facts.keywords == ()
    assert any("XMP is not sound XML" in problem for problem in facts.problems)


@given(cut=st.integers(0, 3000), at=st.integers(0, 3000), value=st.integers(0, 255), kind=st.sampled_from("JTWPH"))
def test_any_damage_leaves_facts_readable(cut: int, at: int, value: int, kind: str) -> None:
    """One byte changed near the head, and the tail cut: reading never raises."""
    name = {"J": "JPEG", "T": "TIFF", "W": "WEBP", "P": "PNG", "H": "HEIF"}[kind]
    exif = Image.Exif()
    exif[271], exif[0x0112] = "Tindertown", 6
    data = bytearray(picture(name, size=(24, 18), exif=exif.tobytes()))
    data[at % len(data)] = value
    assert isinstance(read(bytes(data[: len(data) - cut % len(data)])), PhotoFacts)


def test_huge_coordinates_cannot_leave_the_record() -> None:
    with pytest.raises(ValueError, match="less than or equal to 1"):
        RECORD.model_validate(
            RECORD.model_dump(by_alias=True)
            | {
                "findings": [
                    {
                        "id": "F1",
                        "zone": "hood",
                        "seen": "holed",
                        "size": "10 x 10 mm",
                        "photos": [{"file": "a.jpg", "marks": [{"kind": "point", "points": [[1e9, 0]]}]}],
                    }
                ]
            }
        )
    assert overlay_svg((), 10, 10) == ""


if SHARED:

    def test_every_corrupt_file_beside_the_checkout(folder: Path) -> None:
        for path in sorted((SHARED / "corrupt").iterdir()):  # type: ignore[operator]
            (folder / path.name).write_bytes(path.read_bytes())
        done = work(folder)
        assert [bad.name for bad in done.refused] == [
            "corrupted.heic",
            "corrupted.hif",
            "decompression_bomb.gif",
            "huge_tag_exif.jpg",
            "truncated_image.png",
        ]
        assert len(done.photos) == 1 + 13 - 5

    def test_a_folder_with_films_and_sidecars(folder: Path) -> None:
        for name in ("formats/meta.mov", "keywords/IMG_5910.xmp", "heic/200MP.heic"):
            (folder / Path(name).name).write_bytes((SHARED / name).read_bytes())  # type: ignore[operator]
        found = scan(folder)
        assert [bad.name for bad in found.refused] == ["200MP.heic", "meta.mov"]
