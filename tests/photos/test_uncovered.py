"""A double of a photograph on which something is covered is held back until somebody says so."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageEnhance

from soundmetal import pipeline
from soundmetal.photos.album import Album, album
from soundmetal.photos.copies import prepare
from soundmetal.photos.scan import scan
from soundmetal.photos.uncovered import uncovered
from soundmetal.review import review

COVER = {"kind": "cover", "points": [[0.4, 0.3], [0.6, 0.6]]}
COVERED = {"1.jpg": {"marks": [COVER]}}
Look = Callable[..., Album]


def scene(seed: int = 1) -> Image.Image:
    """A made-up scene: soft blobs of colour with specks, another for every seed."""
    rng = np.random.default_rng(seed)
    coarse = Image.fromarray(rng.integers(0, 255, (6, 8, 3), dtype=np.uint8))
    smooth = np.asarray(coarse.resize((1200, 900), Image.Resampling.BICUBIC), dtype=float)
    return Image.fromarray(np.clip(smooth * 0.6 + rng.normal(30, 6, smooth.shape), 0, 255).astype(np.uint8))


def encoded(picture: Image.Image, quality: int = 92) -> bytes:
    buffer = io.BytesIO()
    picture.save(buffer, "JPEG", quality=quality)
    return buffer.getvalue()


def framed(picture: Image.Image, left: float, top: float, right: float, bottom: float) -> Image.Image:
    width, height = picture.size
    return picture.crop((int(left * width), int(top * height), int(right * width), int(bottom * height)))


def brightened(picture: Image.Image, factor: float = 1.4) -> Image.Image:
    return ImageEnhance.Brightness(picture).enhance(factor)


AGAIN: dict[str, Callable[[Image.Image], bytes]] = {
    "encoded anew": lambda picture: encoded(picture, 50),
    "cropped by 2 % on each side": lambda picture: encoded(framed(picture, 0.02, 0.02, 0.98, 0.98)),
    "cropped by 2 % on one side": lambda picture: encoded(framed(picture, 0.02, 0, 1, 1)),
    "brightened": lambda picture: encoded(brightened(picture)),
    "encoded anew, cropped, brightened": lambda picture: encoded(brightened(framed(picture, 0, 0.02, 0.98, 1)), 60),
    "as sent by message": lambda picture: encoded(picture.resize((640, 480)), 60),
    "turned by a quarter": lambda picture: encoded(picture.transpose(Image.Transpose.ROTATE_90)),
    "mirrored": lambda picture: encoded(picture.transpose(Image.Transpose.FLIP_LEFT_RIGHT)),
    "turned and cropped": lambda picture: encoded(
        framed(picture, 0.03, 0.03, 0.97, 0.97).transpose(Image.Transpose.ROTATE_270)
    ),
}


@pytest.fixture
def look(folder: Path, tmp_path: Path, inspection: Any, pickup: Any) -> Look:
    """Give a function that writes pictures, and says what the album is for these notes."""

    def looked(pictures: dict[str, bytes], **record: Any) -> Album:
        for name, data in pictures.items():
            (folder / name).write_bytes(data)
        return album(folder, inspection(**record), pickup, tmp_path / "copies")

    return looked


@pytest.mark.parametrize("done", list(AGAIN))
def test_a_double_of_a_covered_photograph_is_held_back_by_name(look: Look, done: str) -> None:
    found = look({"1.jpg": encoded(scene()), "2.jpg": AGAIN[done](scene())}, photos=COVERED)
    assert [photo.name for photo in found.photos] == ["1.jpg"]
    (held,) = found.refused
    assert str(held).startswith("2.jpg: looks like 1.jpg, on which something is covered. ")
    assert not found.complete


@pytest.mark.parametrize("done", list(AGAIN))
def test_it_does_not_matter_which_of_the_two_is_covered(look: Look, done: str) -> None:
    """The covered one may be the narrower, the brighter, the turned one as well."""
    found = look({"1.jpg": AGAIN[done](scene()), "2.jpg": encoded(scene())}, photos=COVERED)
    assert [photo.name for photo in found.photos] == ["1.jpg"]


def test_other_scenes_stay_and_without_a_cover_nothing_is_held(look: Look) -> None:
    pictures = {"1.jpg": encoded(scene()), **{f"{seed}.jpg": encoded(scene(seed)) for seed in range(2, 12)}}
    assert len(look(pictures, photos=COVERED).photos) == len(pictures)
    double = {"0.jpg": encoded(scene(), 60)}
    assert look(double).refused == ()


@pytest.mark.parametrize(
    ("note", "shown", "left_out"),
    [
        ({"marks": [COVER]}, ["1.jpg", "2.jpg"], ()),
        ({"nothing_to_cover": True}, ["1.jpg", "2.jpg"], ()),
        ({"leave_out": True}, ["1.jpg"], ("2.jpg",)),
    ],
    ids=["covered as well", "nothing to cover", "left out"],
)
def test_somebody_says_what_is_to_be_done(look: Look, note: dict[str, Any], shown: list[str], left_out: Any) -> None:
    pictures = {"1.jpg": encoded(scene()), "2.jpg": encoded(scene(), 60)}
    found = look(pictures, photos={**COVERED, "2.jpg": note})
    assert [photo.name for photo in found.photos] == shown
    assert (found.refused, found.left_out) == ((), left_out)


def test_what_is_said_of_one_name_of_a_picture_holds_for_its_others(look: Look) -> None:
    double = encoded(scene(), 60)
    found = look(
        {"1.jpg": encoded(scene()), "2.jpg": double, "3.jpg": double},
        photos={**COVERED, "3.jpg": {"nothing_to_cover": True}},
    )
    assert len(found.photos) == 3


def test_a_cover_counts_on_a_photograph_that_is_left_out(look: Look) -> None:
    pictures = {"1.jpg": encoded(scene()), "2.jpg": encoded(scene(), 60)}
    found = look(pictures, photos={"1.jpg": {"marks": [COVER], "leave_out": True}})
    assert found.photos == ()
    assert [held.name for held in found.refused] == ["2.jpg"]


def test_a_cover_under_a_finding_counts_and_the_zone_stays_photographed(look: Look) -> None:
    finding = {
        "id": "F1", "zone": "tailgate", "seen": "surface", "area": "1 cm2",
        "photos": [{"file": "1.jpg", "marks": [COVER]}],
    }  # fmt: skip
    pictures = {"1.jpg": encoded(scene()), "2.jpg": encoded(scene(), 60)}
    found = look(pictures, findings=[finding], photos={"2.jpg": {"zone": "hood"}})
    assert [held.name for held in found.refused] == ["2.jpg"]
    assert not {"hood", "tailgate"} & set(found.zones_without_photo)


def test_a_covered_picture_that_is_broken_has_no_double(folder: Path, tmp_path: Path) -> None:
    (folder / "1.jpg").write_bytes(encoded(scene())[:2000])
    (folder / "2.jpg").write_bytes(encoded(scene(2)))
    found = scan(folder).photos
    made = prepare(found, tmp_path).copies
    assert uncovered(found, made, {"1.jpg": frozenset([((0.0, 0.0), (0.5, 0.5))])}) == ()


RECORD = """\
soundmetal: 1
vehicle: {body: pickup, structure: frame}
date: 2026-11-18
basis: lift
photos:
  1.jpg: {marks: [{kind: cover, points: [[0.4, 0.3], [0.6, 0.6]]}]}
"""


def test_check_names_it_and_it_counts_as_something_to_do(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "1.jpg").write_bytes(encoded(scene()))
    (tmp_path / "photos" / "2.jpg").write_bytes(encoded(brightened(framed(scene(), 0.02, 0.02, 0.98, 0.98)), 70))
    (tmp_path / "inspection.yaml").write_text(RECORD, encoding="utf-8")
    loaded = pipeline.load(tmp_path)
    (remark,) = (one for one in review(loaded, pipeline.album_of(loaded)) if one.where == "2.jpg")
    assert not remark.note
    assert "2.jpg: looks like 1.jpg, on which something is covered. It stays out of every page" in str(remark)
