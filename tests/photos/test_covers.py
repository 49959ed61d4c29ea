"""Covers: the pixels under them are gone from every copy, whatever the picture; the original stays."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from PIL import Image
from pydantic import ValidationError

from soundmetal.photos import covers
from soundmetal.photos.album import album
from soundmetal.photos.copies import prepare
from soundmetal.photos.scan import scan
from soundmetal.record.models import CallOut, PhotoNote, PhotoUse

SPOT = {"kind": "cover", "points": [[0.0, 0.0], [0.5, 0.5]]}
NOISE = np.random.default_rng(7).integers(0, 256, (480, 640, 3), dtype=np.uint8)
GREY = 128
#: What JPEG at quality 85 does to a flat field at most.
FLAT = 3


def pixels(path: Path) -> Any:
    with Image.open(path) as picture:
        return np.asarray(picture, dtype=int)


def noisy(folder: Path, name: str = "1.png", **options: Any) -> Path:
    path = folder / name
    Image.fromarray(NOISE).save(path, **options)
    return path


def copies_of(folder: Path, cache: Path, make, pickup, **record: Any):
    return album(folder, make(**record), pickup, cache).by_name


def finding(*marks: dict[str, Any], file: str = "1.png") -> dict[str, Any]:
    return {
        "id": "F1",
        "zone": "tailgate",
        "seen": "surface",
        "area": "1 cm2",
        "photos": [{"file": file, "marks": list(marks)}],
    }


@pytest.mark.parametrize(
    "record", [{"photos": {"1.png": {"marks": [SPOT]}}}, {"findings": [finding(SPOT)]}], ids=["note", "finding"]
)
def test_what_lies_under_a_cover_is_gone(folder, tmp_path, inspection, pickup, record) -> None:
    original = noisy(folder)
    before = original.read_bytes()
    copy = pixels(copies_of(folder, tmp_path / "c", inspection, pickup, **record)["1.png"].copy.path)
    plain = pixels(copies_of(folder, tmp_path / "c", inspection, pickup)["1.png"].copy.path)
    assert np.abs(copy[:240, :320] - GREY).max() <= FLAT + 60  # the edge rings a little where it meets the noise
    assert np.abs(copy[:224, :304] - GREY).max() <= FLAT
    assert plain[:224, :304].std() > 40
    assert np.abs(copy[260:, 340:] - plain[260:, 340:]).max() == 0
    assert original.read_bytes() == before


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_cover_lies_on_the_upright_picture(folder, tmp_path, draw, orientation: int) -> None:
    """The bright quarter comes to stand somewhere; the cover on that quarter takes all of the brightness away."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    (folder / "1.jpg").write_bytes(draw(size=(160, 120), exif=exif))
    found = scan(folder).photos
    upright = pixels(prepare(found, tmp_path).copies["1.jpg"].path)[..., 0]
    rows, columns = np.nonzero(upright > 150)
    height, width = upright.shape
    corners = ((columns.min() / width, rows.min() / height), ((columns.max() + 1) / width, (rows.max() + 1) / height))
    covered = prepare(found, tmp_path, covered={"1.jpg": frozenset([corners])}).copies["1.jpg"]
    assert pixels(covered.path).max() <= GREY + FLAT + 12


def test_two_names_of_one_picture_are_both_covered(folder, tmp_path, inspection, pickup) -> None:
    noisy(folder, "a.png")
    noisy(folder, "b.png")
    made = copies_of(folder, tmp_path / "c", inspection, pickup, photos={"a.png": {"marks": [SPOT]}})
    assert made["a.png"].copy == made["b.png"].copy
    assert np.abs(pixels(made["b.png"].copy.path)[:200, :300] - GREY).max() <= FLAT


def test_covers_of_the_note_and_of_the_finding_add_up(folder, tmp_path, inspection, pickup) -> None:
    noisy(folder)
    other = {"kind": "cover", "points": [[1, 1], [0.6, 0.6]]}
    record = {"photos": {"1.png": {"marks": [SPOT]}}, "findings": [finding(other)]}
    copy = pixels(copies_of(folder, tmp_path / "c", inspection, pickup, **record)["1.png"].copy.path)
    assert np.abs(copy[:224, :304] - GREY).max() <= FLAT
    assert np.abs(copy[300:, 400:] - GREY).max() <= FLAT


def test_another_cover_is_another_copy_and_the_same_cover_the_same(folder, tmp_path) -> None:
    noisy(folder)
    found = scan(folder).photos
    one, two = frozenset([((0.0, 0.0), (0.5, 0.5))]), frozenset([((0.0, 0.0), (0.5, 0.6))])
    paths = [prepare(found, tmp_path, covered={"1.png": cover}).copies["1.png"].path for cover in (one, two, one)]
    assert paths[0] == paths[2] != paths[1]
    assert prepare(found, tmp_path).copies["1.png"].path not in paths


RELATIVE = st.floats(0, 1, allow_nan=False)
STAR = [(0.5, 0.0), (0.8, 1.0), (0.0, 0.4), (1.0, 0.4), (0.2, 1.0)]


@given(st.lists(st.tuples(RELATIVE, RELATIVE), min_size=2, max_size=6))
@example(STAR)
@example([(0.5, 0.5), (0.5, 0.5), (0.5, 0.5)])
def test_no_pixel_inside_an_outline_is_left(points: list[tuple[float, float]]) -> None:
    """Inside: left of the outline an odd number of times, or not zero times wound round; both must be covered."""
    picture = Image.new("RGB", (40, 30), "white")
    covers.paint(picture, frozenset([tuple(points)]))
    grey = np.asarray(picture)[..., 0] == GREY
    if len(points) == 2:
        (x0, y0), (x1, y1) = points
        points = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    for row in range(30):
        for column in range(40):
            if _wound(points, (column + 0.5) / 40, (row + 0.5) / 30):
                assert grey[row, column]
    assert grey.any()


def _wound(points: list[tuple[float, float]], x: float, y: float) -> int:
    """Count how often an outline winds round a point (Sunday's rule, from memory)."""
    turns = 0
    for (x0, y0), (x1, y1) in zip(points, [*points[1:], points[0]], strict=True):
        side = (x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)
        turns += (y0 <= y < y1 and side > 0) - (y1 <= y < y0 and side < 0)
    return turns


def test_a_cover_is_no_call_out() -> None:
    point = {"kind": "point", "points": [[0.5, 0.5]]}
    use = PhotoUse.model_validate({"file": "1.jpg", "marks": [SPOT, point]})
    assert [mark.kind.value for mark in use.call_outs] == ["point"]


@pytest.mark.parametrize(
    ("mark", "says"),
    [
        ({"kind": "cover", "points": [[0.1, 0.1]]}, "two points or more"),
        ({"kind": "polygon", "points": [[0.1, 0.1], [0.2, 0.2]]}, "three points or more"),
    ],
)
def test_a_cover_needs_two_points(mark: dict[str, Any], says: str) -> None:
    with pytest.raises(ValidationError, match=says):
        CallOut.model_validate(mark)


def test_a_note_without_a_finding_takes_covers_only() -> None:
    assert PhotoNote.model_validate({"marks": [SPOT]}).marks
    with pytest.raises(ValidationError, match="a point belongs under the photographs of a finding"):
        PhotoNote.model_validate({"marks": [{"kind": "point", "points": [[0.5, 0.5]]}]})
