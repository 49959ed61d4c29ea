"""The sample's photographs on disk, read by readers that did not write them."""

from __future__ import annotations

import datetime as dt
import itertools
from pathlib import Path

import exifread
import numpy as np
import pillow_heif
import pytest
from PIL import Image, ImageDraw, ImageOps, IptcImagePlugin

from draw_sample.album import ALBUM, Shot
from draw_sample.main import PHOTOS
from draw_sample.scene import take
from soundmetal.car import catalogue
from soundmetal.record.terms import Structure

pillow_heif.register_heif_opener()

SHOTS = pytest.mark.parametrize("shot", ALBUM, ids=lambda shot: shot.file)
JPEGS = pytest.mark.parametrize("shot", [s for s in ALBUM if s.file.endswith(".jpg")], ids=lambda shot: shot.file)


def _exif(shot: Shot) -> dict[int, object]:
    """All of a file's EXIF, the inner table laid over the outer one."""
    with Image.open(PHOTOS / shot.file) as image:
        exif = image.getexif()
        return {**exif, **exif.get_ifd(0x8769)}


def _taken(shot: Shot) -> dt.datetime:
    exif = _exif(shot)
    return dt.datetime.strptime(f"{exif[0x9003]}{exif[0x9011]}", "%Y:%m:%d %H:%M:%S%z")


def _upright(path: Path) -> Image.Image:
    with Image.open(path) as image:
        return ImageOps.exif_transpose(image).convert("RGB")


def test_the_folder_holds_exactly_the_album() -> None:
    on_disk = {p.relative_to(PHOTOS).as_posix() for p in PHOTOS.rglob("*") if p.is_file()}
    assert on_disk == {shot.file for shot in ALBUM}
    assert len(on_disk) >= 26


def test_the_folder_stays_small() -> None:
    sizes = {p: p.stat().st_size for p in PHOTOS.rglob("*") if p.is_file()}
    assert sum(sizes.values()) < 8_000_000
    assert [p for p, size in sizes.items() if p.suffix == ".jpg" and size >= 300_000] == []


@SHOTS
def test_every_file_decodes_whole_and_upright(shot: Shot) -> None:
    upright = _upright(PHOTOS / shot.file)
    assert upright.size == ((1200, 1600) if shot.orientation in (6, 8) else (1600, 1200))
    assert np.asarray(upright).std() > 10


@SHOTS
def test_taken_by_the_invented_telephone_on_the_day(shot: Shot) -> None:
    exif = _exif(shot)
    assert (exif[0x010F], exif[0x0110]) == ("Tindertown", "T4 Field")
    assert exif[0x9011] == "-07:00"
    assert _taken(shot).date() == dt.date(2026, 11, 18)


def test_the_walk_starts_at_twelve_past_nine_and_never_turns_back() -> None:
    times = [_taken(shot) for shot in ALBUM]
    assert (times[0].hour, times[0].minute) == (9, 12)
    assert all(earlier < later for earlier, later in itertools.pairwise(times))


@JPEGS
def test_a_second_reader_agrees_about_time_and_orientation(shot: Shot) -> None:
    with (PHOTOS / shot.file).open("rb") as file:
        read = exifread.process_file(file, details=False)
    assert str(read["EXIF DateTimeOriginal"]) == _taken(shot).strftime("%Y:%m:%d %H:%M:%S")
    assert read["Image Orientation"].values == [shot.orientation]


def test_some_are_stored_turned() -> None:
    assert {_exif(shot)[0x0112] for shot in ALBUM} == {1, 3, 6, 8}


def test_two_carry_a_place_and_both_are_in_mid_ocean() -> None:
    placed = {}
    for shot in ALBUM:
        with Image.open(PHOTOS / shot.file) as image:
            gps = image.getexif().get_ifd(0x8825)
        if gps:
            degrees = [sum(float(v) / 60**i for i, v in enumerate(gps[tag])) for tag in (2, 4)]
            placed[shot.file] = (gps[1], degrees[0], gps[3], degrees[1])
    assert placed == {
        "bedside left rear.jpg": ("N", 28.5, "W", 145.25),
        "spring hanger left front.jpg": ("S", 31.75, "W", 118.5),
    }


def test_the_kinds_of_file() -> None:
    kinds = []
    for shot in ALBUM:
        with Image.open(PHOTOS / shot.file) as image:
            kinds.append(image.format)
    assert (kinds.count("HEIF"), kinds.count("PNG"), kinds.count("JPEG")) == (2, 1, len(ALBUM) - 3)


@pytest.mark.parametrize("shot", [s for s in ALBUM if s.iptc], ids=lambda shot: shot.file)
def test_iptc_keywords_are_read_back(shot: Shot) -> None:
    with Image.open(PHOTOS / shot.file) as image:
        found = IptcImagePlugin.getiptcinfo(image)
    assert found is not None
    words = found[(2, 25)]
    assert tuple(w.decode() for w in (words if isinstance(words, list) else [words])) == shot.iptc


@pytest.mark.parametrize("shot", [s for s in ALBUM if s.xmp], ids=lambda shot: shot.file)
def test_xmp_keywords_are_read_back(shot: Shot) -> None:
    with Image.open(PHOTOS / shot.file) as image:
        words = image.getxmp()["xmpmeta"]["RDF"]["Description"]["subject"]["Bag"]["li"]
    assert tuple(words if isinstance(words, list) else [words]) == shot.xmp


def test_keywords_come_in_two_languages() -> None:
    words = {word for shot in ALBUM for word in shot.iptc + shot.xmp}
    assert {"estribo izquierdo interior", "larguero derecho central", "rocker right outer"} <= words


def test_every_zone_is_one_of_the_pickups() -> None:
    zones = set(catalogue.body("pickup", Structure.FRAME).by_id)
    assert {shot.zone for shot in ALBUM if shot.zone} <= zones
    assert [shot.file for shot in ALBUM if not shot.zone] == ["IMG_0199.jpg"]


def _coarse(image: Image.Image) -> np.ndarray:
    return np.asarray(image.resize((16, 16), Image.Resampling.BOX), "float32").ravel()


@SHOTS
def test_the_file_shows_its_scene_the_right_way_up(shot: Shot) -> None:
    """A small drawing of the scene is like the file, and more like it than like the file upside down."""
    drawn, stored = take(shot.scene, 160).image, _upright(PHOTOS / shot.file)
    like = np.corrcoef(_coarse(drawn), _coarse(stored))[0, 1]
    turned = np.corrcoef(_coarse(drawn), _coarse(stored.rotate(180)))[0, 1]
    assert like > 0.6
    assert like > turned


@SHOTS
def test_the_noted_rust_is_redder_than_the_rest(shot: Shot) -> None:
    """Rust is where the table says: redder there than in the rest of the picture on disk."""
    stored = _upright(PHOTOS / shot.file).resize((320, 240))
    pixels = np.asarray(stored, "float32")
    redness = (pixels[..., 0] - pixels[..., 2]) / (pixels.sum(-1) + 30)
    for mark in take(shot.scene, 160).marks:
        assert all(0 <= v <= 1 for point in mark.points for v in point), mark
        if mark.what != "rust":
            continue
        cover = Image.new("L", stored.size)
        ImageDraw.Draw(cover).polygon([(x * 320, y * 240) for x, y in mark.points], fill=1)
        inside = np.asarray(cover, bool)
        assert redness[inside].mean() > redness[~inside].mean() + 0.04, mark
