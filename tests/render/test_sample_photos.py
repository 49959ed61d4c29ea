"""The samples' photographs on disk, read by readers that did not write them."""

from __future__ import annotations

import datetime as dt
import itertools
from functools import cache
from pathlib import Path

import exifread
import numpy as np
import pillow_heif
import pytest
from PIL import Image, ImageOps, IptcImagePlugin

from render.album import CARS, Shot
from render.finish import PHOTOS

pillow_heif.register_heif_opener()

ALL = [(car, shot) for car, (_, album) in CARS.items() for shot in album]
EVERY_CAR = pytest.mark.parametrize("car", list(CARS))

BLURRED, STILL = "floor.left.front/IMG_0117.jpg", "floor.left.front/IMG_0118.jpg"
DARK, LIT = "IMG_0126.jpg", "IMG_0127.jpg"
DOUBLE = ("rocker.left.outer/IMG_0103.jpg", "rocker.left.outer/IMG_0104.jpg")


def _each(shots: list[tuple[str, Shot]]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize(("car", "shot"), shots, ids=[f"{car}: {shot.file}" for car, shot in shots])


def _exif(car: str, shot: Shot) -> dict[int, object]:
    """All of a file's EXIF, the inner table laid over the outer one."""
    with Image.open(PHOTOS[car] / shot.file) as image:
        exif = image.getexif()
        return {**exif, **exif.get_ifd(0x8769)}


def _taken(car: str, shot: Shot) -> dt.datetime:
    exif = _exif(car, shot)
    return dt.datetime.strptime(f"{exif[0x9003]}{exif[0x9011]}", "%Y:%m:%d %H:%M:%S%z")


@cache
def _grey(path: Path) -> np.ndarray:
    """Brightness of the upright picture at half its size, 0 to 255."""
    with Image.open(path) as image:
        upright = ImageOps.exif_transpose(image).convert("L")
    return np.asarray(upright.reduce(2), np.float32)


@EVERY_CAR
def test_the_folder_holds_exactly_the_album(car: str) -> None:
    on_disk = {p.relative_to(PHOTOS[car]).as_posix() for p in PHOTOS[car].rglob("*") if p.is_file()}
    assert on_disk == {shot.file for shot in CARS[car][1]}
    assert len(on_disk) >= {"pickup": 28, "coupe": 10}[car]


@EVERY_CAR
def test_every_file_is_small(car: str) -> None:
    files = [p for p in PHOTOS[car].rglob("*") if p.is_file()]
    assert [p.name for p in files if p.stat().st_size >= 350_000] == []


@_each(ALL)
def test_every_file_decodes_whole_and_upright(car: str, shot: Shot) -> None:
    grey = _grey(PHOTOS[car] / shot.file)
    assert sorted(grey.shape) == [600, 800]
    with Image.open(PHOTOS[car] / shot.file) as image:
        assert sorted(image.size) == [1200, 1600]
        assert ImageOps.exif_transpose(image).size == tuple(2 * n for n in grey.shape[::-1])
    assert grey.std() > (2 if shot.file == DARK else 10)


@_each(ALL)
def test_taken_by_the_car_s_invented_telephone_on_the_day(car: str, shot: Shot) -> None:
    exif = _exif(car, shot)
    told = {"pickup": ("Tindertown", "T4 Field"), "coupe": ("Wexcombe", "Mallow 9")}
    assert (exif[0x010F], exif[0x0110]) == told[car]
    assert exif[0x9011] == "-07:00"
    assert _taken(car, shot).date() == dt.date(2026, 11, 18)


@EVERY_CAR
def test_the_walk_never_turns_back(car: str) -> None:
    times = [_taken(car, shot) for shot in CARS[car][1]]
    assert all(earlier < later for earlier, later in itertools.pairwise(times))


def test_the_walk_starts_at_twelve_past_nine_and_the_other_car_comes_in_the_afternoon() -> None:
    first = {car: _taken(car, album[0]) for car, (_, album) in CARS.items()}
    assert (first["pickup"].hour, first["pickup"].minute) == (9, 12)
    assert first["coupe"].hour >= 12


@_each([(car, shot) for car, shot in ALL if shot.file.endswith(".jpg")])
def test_a_second_reader_agrees_about_time_and_orientation(car: str, shot: Shot) -> None:
    with (PHOTOS[car] / shot.file).open("rb") as file:
        read = exifread.process_file(file, details=False)
    assert str(read["EXIF DateTimeOriginal"]) == _taken(car, shot).strftime("%Y:%m:%d %H:%M:%S")
    assert read["Image Orientation"].values == [shot.orientation]


def test_some_are_stored_turned() -> None:
    assert {_exif("pickup", shot)[0x0112] for shot in CARS["pickup"][1]} == {1, 3, 6, 8}
    assert {_exif("coupe", shot)[0x0112] for shot in CARS["coupe"][1]} == {1, 3}


def test_two_carry_a_place_and_both_are_in_mid_ocean() -> None:
    placed = {}
    for car, shot in ALL:
        with Image.open(PHOTOS[car] / shot.file) as image:
            gps = image.getexif().get_ifd(0x8825)
        if gps:
            degrees = [sum(float(v) / 60**i for i, v in enumerate(gps[tag])) for tag in (2, 4)]
            placed[shot.file] = (gps[1], degrees[0], gps[3], degrees[1])
    assert placed == {
        "bedside left rear.jpg": ("N", 28.5, "W", 145.25),
        "spring hanger left front.jpg": ("S", 31.75, "W", 118.5),
    }


@pytest.mark.parametrize(("car", "heic"), [("pickup", 2), ("coupe", 0)])
def test_the_kinds_of_file(car: str, heic: int) -> None:
    kinds = []
    for shot in CARS[car][1]:
        with Image.open(PHOTOS[car] / shot.file) as image:
            kinds.append(image.format)
    assert (kinds.count("HEIF"), kinds.count("JPEG")) == (heic, len(kinds) - heic)


@_each([(car, shot) for car, shot in ALL if shot.iptc])
def test_iptc_keywords_are_read_back(car: str, shot: Shot) -> None:
    with Image.open(PHOTOS[car] / shot.file) as image:
        found = IptcImagePlugin.getiptcinfo(image)
    assert found is not None
    words = found[(2, 25)]
    assert tuple(w.decode() for w in (words if isinstance(words, list) else [words])) == shot.iptc


@_each([(car, shot) for car, shot in ALL if shot.xmp])
def test_xmp_keywords_are_read_back(car: str, shot: Shot) -> None:
    with Image.open(PHOTOS[car] / shot.file) as image:
        words = image.getxmp()["xmpmeta"]["RDF"]["Description"]["subject"]["Bag"]["li"]
    assert tuple(words if isinstance(words, list) else [words]) == shot.xmp


def test_one_is_blurred() -> None:
    """Its strongest edges are weak beside those of the same view held still."""
    blurred, still = (
        np.percentile(np.hypot(*np.gradient(_grey(PHOTOS["pickup"] / file))), 99) for file in (BLURRED, STILL)
    )
    assert blurred < 0.6 * still


def test_one_is_too_dark() -> None:
    dark, lit = (_grey(PHOTOS["pickup"] / file).mean() for file in (DARK, LIT))
    assert dark < 30 < 60 < lit


def test_one_was_taken_twice() -> None:
    """Another file of the same view, seconds later, not the same file again."""
    once, twice = (PHOTOS["pickup"] / file for file in DOUBLE)
    assert once.read_bytes() != twice.read_bytes()
    first, second = (next(s for s in CARS["pickup"][1] if s.file == file) for file in DOUBLE)
    assert _taken("pickup", second) - _taken("pickup", first) < dt.timedelta(seconds=15)
    small = [
        np.asarray(Image.fromarray(_grey(path)).resize((32, 24), Image.Resampling.BOX)) for path in (once, twice)
    ]
    assert np.corrcoef(small[0].ravel(), small[1].ravel())[0, 1] > 0.99


def test_the_strays_lie_among_the_rest() -> None:
    strays = [shot.file for shot in CARS["pickup"][1] if not shot.zone]
    assert strays == ["IMG_0199.jpg", "IMG_0200.jpg"]
    assert all((PHOTOS["pickup"] / file).is_file() for file in strays)
