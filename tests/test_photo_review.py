"""What `check` says of photographs as pictures; made with drawn photographs of known sharpness and rust."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageFilter

from soundmetal import pipeline
from soundmetal.photo_review import Told, photo_remarks, retakes, rust_remarks
from soundmetal.record.terms import Units
from soundmetal.report.language import language

RECORD = """\
soundmetal: 1
vehicle: {{body: pickup, structure: frame}}
date: 2026-11-18
basis: lift
findings:
  - id: F1
    zone: fender.left.rear
    seen: {seen}
    size: 200 x 100 mm
    {extra}
    photos:
{photos}
"""
OUTLINE = "[{kind: box, points: [[0.25, 0.25], [0.75, 0.75]], text: rust}]"
Make = Callable[..., Path]


def scene(seed: int) -> Image.Image:
    """Green paint with sharp specks and a rust-brown field in its middle."""
    rng = np.random.default_rng(seed)
    paint = np.full((900, 1200, 3), (96, 132, 104), dtype=np.float64)
    blocks = rng.normal(0, 30, (90, 120, 1)).repeat(10, axis=0).repeat(10, axis=1)
    paint[225:675, 300:900] = (140, 72, 32)
    noise = rng.normal(0, 6, paint.shape)
    return Image.fromarray(np.clip(paint + blocks + noise, 0, 255).astype(np.uint8))


@pytest.fixture
def make(tmp_path: Path) -> Make:
    def inspection(pictures: dict[str, Image.Image], seen: str = "scale", extra: str = "") -> Path:
        (tmp_path / "photos").mkdir()
        for name, picture in pictures.items():
            picture.save(tmp_path / "photos" / name, quality=95)
        uses = "\n".join(f"      - {{file: {name}, marks: {OUTLINE}}}" for name in pictures)
        text = RECORD.format(seen=seen, extra=extra, photos=uses)
        (tmp_path / "inspection.yaml").write_text(text, encoding="utf-8")
        return tmp_path

    return inspection


def told(folder: Path, *, rust: bool = False) -> list[Told]:
    loaded = pipeline.load(folder)
    pictures = pipeline.album_of(loaded)
    if rust:
        return list(rust_remarks(loaded, pictures))
    return list(photo_remarks(loaded, pictures, language("en", Units.METRIC, "USD")))


def test_a_good_photograph_gets_no_remark(make: Make) -> None:
    assert told(make({"a.jpg": scene(1)})) == []


def test_the_only_photograph_of_a_finding_has_to_be_taken_again(make: Make) -> None:
    blurred = scene(1).filter(ImageFilter.GaussianBlur(4))
    (remark,) = told(make({"a.jpg": blurred}))
    assert (remark.where, remark.note) == ("a.jpg", False)
    assert "blurred" in remark.what
    assert "limit" in remark.what
    assert remark.todo.endswith(".")


def test_a_photograph_with_too_few_pixels_says_what_the_figure_counts(make: Make) -> None:
    folder = make({"a.jpg": scene(1)})
    record = folder / "inspection.yaml"
    record.write_text(record.read_text(encoding="utf-8").replace("200 x 100 mm", "20000 x 100 mm"), encoding="utf-8")
    assert "pixels across a pinhole, the limit is 3)" in told(folder)[0].what


def test_with_a_good_one_beside_it_a_bad_one_is_a_note(make: Make) -> None:
    remarks = told(make({"a.jpg": scene(1).filter(ImageFilter.GaussianBlur(9)), "b.jpg": scene(2)}))
    assert {remark.note for remark in remarks} == {True}


def test_two_of_the_same_are_told_once(make: Make) -> None:
    one = scene(1)
    (remark,) = told(make({"a.jpg": one, "b.jpg": one.resize((1100, 825))}))
    assert "shows the same as" in remark.what
    assert remark.note


def test_a_suggestion_names_the_share_of_the_whole_part(make: Make) -> None:
    """Half of the picture each way is outlined and all of it is rust: 200 x 100 mm of a part of 850 x 500 mm."""
    (remark,) = told(make({"a.jpg": scene(1)}), rust=True)
    suggested = float(remark.todo.split("rusted_share: ")[1].split()[0])
    whole_part = 100 * 200 * 100 / (850 * 500)
    assert 0.6 * whole_part < suggested <= round(whole_part, 1)
    assert remark.note


@pytest.mark.parametrize(("seen", "extra"), [("holed", ""), ("scale", "rusted_share: 3")])
def test_holes_and_what_a_person_has_said_get_no_suggestion(make: Make, seen: str, extra: str) -> None:
    assert told(make({"a.jpg": scene(1)}, seen, extra), rust=True) == []


def test_a_zone_is_asked_for_again_when_all_its_photographs_have_a_fault(make: Make) -> None:
    blurred = scene(1).filter(ImageFilter.GaussianBlur(9))
    folder = make({"fender.left.rear 1.jpg": blurred, "fender.left.rear 2.jpg": scene(2)})
    loaded = pipeline.load(folder)
    assert retakes(loaded, pipeline.album_of(loaded)) == ()
    (folder / "photos" / "fender.left.rear 2.jpg").unlink()
    record = folder / "inspection.yaml"
    lines = record.read_text(encoding="utf-8").splitlines()
    record.write_text("\n".join(line for line in lines if "rear 2" not in line), encoding="utf-8")
    loaded = pipeline.load(folder)
    (again,) = retakes(loaded, pipeline.album_of(loaded))
    assert again.zone_id == "fender.left.rear"
    words = language("es", Units.US, "USD").sentence(again.advice).unescape()
    assert words != again.advice.text  # the owner reads it in the owner's language
