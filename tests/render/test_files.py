"""The album, and the files that are made of it, read by readers that did not write them."""

from __future__ import annotations

import io
import itertools
from pathlib import Path

import exifread
import numpy as np
import pillow_heif
import pytest
import yaml
from PIL import Image, ImageOps

from render import finish
from render.album import ALBUM, CARS, COUPE
from render.scenes import WHERE
from soundmetal.car import catalogue
from soundmetal.record.terms import Structure

pillow_heif.register_heif_opener()
HERE = Path(__file__).resolve().parent


def _view(wide: int, high: int) -> Image.Image:
    rows, columns = np.indices((high, wide))
    return Image.fromarray(np.stack([columns % 256, rows % 256, (rows + columns) % 256], -1).astype(np.uint8))


def test_every_scene_is_in_the_album_and_every_shot_has_its_scene() -> None:
    assert {shot.scene for _, album in CARS.values() for shot in album} == set(WHERE)
    assert len({shot.file for shot in ALBUM}) == len(ALBUM) >= 28
    assert len({shot.file for shot in COUPE}) == len(COUPE) == 10


def test_every_scene_has_its_function() -> None:
    for name, module in WHERE.items():
        assert f"\ndef {name}(stage: Stage) -> None:\n" in (HERE / "scenes" / f"{module}.py").read_text("utf-8"), name


@pytest.mark.parametrize("car", list(CARS))
def test_the_walk_never_turns_back(car: str) -> None:
    times = [finish.taken_at(shot) for shot in CARS[car][1]]
    assert all(earlier < later for earlier, later in itertools.pairwise(times))


@pytest.mark.parametrize(("car", "structure"), [("pickup", Structure.FRAME), ("coupe", Structure.UNIBODY)])
def test_every_zone_is_one_of_the_cars(car: str, structure: Structure) -> None:
    zones = set(catalogue.body(car, structure).by_id)
    assert {shot.zone for shot in CARS[car][1] if shot.zone} <= zones


def test_two_pictures_belong_nowhere() -> None:
    assert sum(not shot.zone for shot in ALBUM) == 2


def test_every_finding_of_the_sample_has_a_picture_of_its_own_zone(sample_inspection: Path) -> None:
    record = yaml.safe_load((sample_inspection / "inspection.yaml").read_text(encoding="utf-8"))
    zone_of = {finding["id"]: finding["zone"] for finding in record["findings"]}
    shown = {shot.finding for shot in ALBUM if shot.finding}
    assert shown == set(zone_of)
    assert {shot.finding: shot.zone for shot in ALBUM if shot.finding} == zone_of


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_stored_pixels_come_upright_by_their_tag(orientation: int) -> None:
    upright = _view(40, 30)
    stored = finish.as_stored(upright, orientation)
    stored.getexif()[0x0112] = orientation
    np.testing.assert_array_equal(np.asarray(ImageOps.exif_transpose(stored)), np.asarray(upright))


def test_mixed_orientations_two_heic_keywords_in_two_languages() -> None:
    assert {shot.orientation for shot in ALBUM} == {1, 3, 6, 8}
    assert sum(shot.file.endswith(".HEIC") for shot in ALBUM) == 2
    words = {word for shot in ALBUM for word in shot.iptc + shot.xmp}
    assert {"estribo izquierdo interior", "larguero derecho central", "rocker right outer"} <= words


def test_a_jpeg_is_small_and_a_second_reader_agrees() -> None:
    shot = next(shot for shot in ALBUM if shot.orientation == 3)
    noise = np.random.default_rng(1).integers(0, 256, (300, 400, 3)).astype(np.uint8)
    data = finish.packed(shot, Image.fromarray(noise), room=60_000)
    assert len(data) <= 60_000
    read = exifread.process_file(io.BytesIO(data), details=False)
    assert str(read["EXIF DateTimeOriginal"]) == finish.taken_at(shot).strftime("%Y:%m:%d %H:%M:%S")
    assert read["Image Orientation"].values == [3]


def test_a_heic_opens_upright() -> None:
    shot = next(shot for shot in ALBUM if shot.file.endswith(".HEIC"))
    with Image.open(io.BytesIO(finish.packed(shot, _view(64, 48)))) as image:
        assert image.format == "HEIF"
        assert ImageOps.exif_transpose(image).size == (64, 48)
