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

from render import finish, truth
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
    noise = np.random.default_rng(1).integers(0, 256, (300, 400, 3)).astype(np.uint8)
    assert len(finish.packed(shot, Image.fromarray(noise), room=60_000)) <= 60_000


def _rendered(renders: Path, scenes: set[str]) -> None:
    """A made-up render of each scene: a rusty square in the middle of a plate seen straight."""
    rows, columns = np.indices((45, 60)).astype(np.float32)
    label = np.full(rows.shape, 11, np.float32)
    label[15:30, 20:40] = 12
    light = np.stack([0.2 + 0.2 * (label == 12), 0.2 + 0 * rows, 0.2 + 0 * rows], -1)
    renders.mkdir()
    for scene in scenes:
        np.savez(renders / f"{scene}.npz", light=light, truth=np.stack([label, 2 * columns, 2 * rows], -1))
        (renders / f"{scene}.json").write_text('{"samples": 1}', encoding="utf-8")


def test_files_and_truth_are_put_where_the_tests_look(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    photos, kept = tmp_path / "photos", tmp_path / "truth"
    monkeypatch.setitem(finish.PHOTOS, "coupe", photos)
    monkeypatch.setattr(truth, "FOLDER", kept)
    for stale in (photos / "old" / "drawn.png", kept / "coupe" / "old.png"):
        stale.parent.mkdir(parents=True)
        stale.write_bytes(b"old")
    scenes = {shot.scene for shot in COUPE}
    _rendered(tmp_path / "renders", scenes)
    finish.put("coupe", tmp_path / "renders", 48)
    files = {p.relative_to(photos).as_posix() for p in photos.rglob("*")}
    assert files == {shot.file for shot in COUPE} == set(truth.index("coupe"))
    assert {p.name for p in (kept / "coupe").iterdir()} == {"truth.json", *(f"{scene}.png" for scene in scenes)}
    turned = next(shot.file for shot in COUPE if shot.orientation == 3)
    label, main = truth.mask("coupe", turned)
    with Image.open(photos / turned) as image:
        upright = np.asarray(ImageOps.exif_transpose(image), np.int16)
    assert label.shape == upright.shape[:2] == (36, 48)
    red = upright[..., 0] - upright[..., 2]
    assert main.all()
    assert red[label == 2].mean() > red[label == 1].mean() + 20


def test_nothing_is_put_while_a_scene_is_missing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(finish.PHOTOS, "coupe", tmp_path / "photos")
    _rendered(tmp_path / "renders", {shot.scene for shot in COUPE[1:]})
    with pytest.raises(SystemExit, match="coupe: render first: fender_left_rear"):
        finish.put("coupe", tmp_path / "renders", 48)
    assert not (tmp_path / "photos").exists()


def test_a_render_makes_no_picture_of_another_scale() -> None:
    assert finish.size_of(np.zeros((840, 630)), 800) == (800, 600)
    with pytest.raises(ValueError, match="a render of 840 pixels makes no picture of 1600"):
        finish.size_of(np.zeros((630, 840)), 1600)
