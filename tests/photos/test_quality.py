"""Whether a photograph shows what it should. The limits themselves are tested on photographs in tests/validation."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from PIL import Image

from soundmetal.errors import PhotoError
from soundmetal.photos import quality_signals as signals
from soundmetal.photos.pixels import grey
from soundmetal.photos.quality import Kind, Problem, Quality, assess
from soundmetal.photos.settings import settings

RULES = settings().quality


def patchwork(shape: tuple[int, int] = (300, 400), side: int = 20, low: int = 30, high: int = 220) -> np.ndarray:
    """Sharp squares of every brightness: in focus, well lit, something everywhere."""
    rows, columns = -(-shape[0] // side), -(-shape[1] // side)
    patches = np.random.default_rng(3).integers(low, high, (rows, columns), dtype=np.uint8)
    return np.kron(patches, np.ones((side, side), dtype=np.uint8))[: shape[0], : shape[1]]


def smeared(levels: np.ndarray, pixels: int, axis: int) -> np.ndarray:
    """Move the camera while the shutter is open."""
    frames = [np.roll(levels.astype(float), shift, axis) for shift in range(pixels)]
    return np.round(np.mean(frames, axis=0)).astype(np.uint8)


def kinds(quality: Quality) -> list[Kind]:
    return [problem.kind for problem in quality.problems]


def only(quality: Quality) -> Problem:
    (problem,) = quality.problems
    return problem


def test_a_good_picture_has_no_problem() -> None:
    quality = assess(patchwork(), size_mm=200)
    assert quality.problems == ()
    assert quality.sharpness == 1.0
    assert quality.structure > 0.2
    assert quality.long_side_px == 400


@pytest.mark.parametrize("axis", [0, 1])
def test_a_camera_moved_along_one_direction_blurs(axis: int) -> None:
    """Edges along the movement stay as sharp as they were; that must not save the picture."""
    problem = only(assess(smeared(patchwork(), 6, axis)))
    assert problem.kind is Kind.BLUR
    assert problem.value < problem.limit == RULES.min_sharpness
    assert "two seconds" in problem.advice.text


def test_plain_metal_is_not_taken_for_blur() -> None:
    """One bolt on a plain sheet: the usual measure, which averages over the picture, would call it blurred."""
    sheet = np.full((300, 400), 160, dtype=np.uint8)
    sheet[40:120, 50:150] = patchwork((80, 100), 10)
    assert assess(sheet).problems == ()


@pytest.mark.parametrize("share", [0.5, 0.25])
def test_sharpness_does_not_depend_on_contrast(share: float) -> None:
    soft = smeared(smeared(patchwork(), 3, 0), 3, 1).astype(float)
    whole = signals.sharpness(soft.astype(np.uint8), RULES)
    weak = signals.sharpness(np.round(100 + share * (soft - 128)).astype(np.uint8), RULES)
    assert whole is not None
    assert weak == pytest.approx(whole, abs=0.02)  # a grey level more or less on edges of 50


def test_more_blur_is_never_sharper() -> None:
    picture = Image.fromarray(patchwork())
    blurred = [np.asarray(picture.resize((400 // n, 300 // n)).resize((400, 300))) for n in (1, 2, 4, 8)]
    told = [signals.sharpness(levels, RULES) for levels in blurred]
    assert told == sorted(told, reverse=True)  # type: ignore[type-var]


def test_a_dark_picture_is_told_by_its_brightest_part() -> None:
    problem = only(assess(patchwork(low=5, high=110)))
    assert problem.kind is Kind.DARK
    assert 0.35 < problem.value < problem.limit == RULES.min_light


def test_a_dark_picture_with_the_place_lit_is_good() -> None:
    """A lamp on a tenth of the picture, the rest of the underbody black."""
    levels = np.full((300, 400), 12, dtype=np.uint8)
    levels[100:190, 100:240] = patchwork((90, 140), 10, 60, 220)
    assert assess(levels).problems == ()


def test_white_places_are_told_as_a_share() -> None:
    levels = patchwork()
    levels[:100] = 255
    problem = only(assess(levels))
    assert problem.kind is Kind.WASHED_OUT
    assert problem.value == pytest.approx(1 / 3, abs=0.001)
    assert problem.value > problem.limit == RULES.max_clipped


@pytest.mark.parametrize("level", [0, 128, 255])
def test_a_picture_of_nothing_is_not_called_blurred(level: int) -> None:
    quality = assess(np.full((300, 400), level, dtype=np.uint8))
    expected = {0: [Kind.DARK], 128: [], 255: [Kind.WASHED_OUT]}[level]
    assert kinds(quality) == [Kind.BACKGROUND, *expected]
    assert quality.sharpness is None
    assert quality.structure == 0.0


def test_a_slope_of_light_on_a_wall_is_nothing_to_see() -> None:
    wall = np.linspace(90, 200, 400).astype(np.uint8) * np.ones((300, 1), dtype=np.uint8)
    assert kinds(assess(wall)) == [Kind.BACKGROUND]


@pytest.mark.parametrize(
    ("long_side_px", "size_mm", "parts"),
    [(1600, 1066, None), (1600, 1067, 2), (1600, 2200, 3), (640, 400, None), (640, 427, 2), (4000, 2600, None)],
)
def test_pixels_across_a_pinhole(long_side_px: int, size_mm: float, parts: int | None) -> None:
    """2 mm on a finding that fills the picture: 2 x pixels / length, and 3 are wanted."""
    quality = assess(patchwork(), size_mm, long_side_px=long_side_px)
    if parts is None:
        assert quality.problems == ()
        return
    problem = only(quality)
    assert problem.kind is Kind.SMALL
    assert problem.value == pytest.approx(2 * long_side_px / size_mm)
    assert problem.limit == 3
    assert problem.advice.values == {"pinhole_mm": 2.0, "parts_count": parts}
    # The advice is enough: each photograph then shows a part that is small enough.
    assert assess(patchwork(), size_mm / parts, long_side_px=long_side_px).problems == ()


@pytest.mark.parametrize("size_mm", [0, -3.0, float("nan"), float("inf")])
def test_a_finding_without_size_is_refused(size_mm: float) -> None:
    with pytest.raises(PhotoError, match="cannot be"):
        assess(patchwork(), size_mm)


def test_file_bytes_numbers_and_grey_copy_say_the_same(tmp_path: Path) -> None:
    buffer = io.BytesIO()
    Image.fromarray(patchwork()).save(buffer, "PNG")
    path = tmp_path / "one.png"
    path.write_bytes(buffer.getvalue())
    told = [assess(source) for source in (path, buffer.getvalue(), patchwork(), grey(path))]
    assert all(quality == told[0] for quality in told)


def test_the_size_of_the_picture_is_kept_when_it_is_reduced() -> None:
    large = np.kron(patchwork(), np.ones((4, 4), dtype=np.uint8))
    small = grey(large)
    assert small.levels.shape == (300, 400)
    assert small.long_side_px == 1600
    assert assess(large).problems == ()


@pytest.mark.parametrize("turn", [1, 3, 6, 8])
def test_an_original_lying_on_its_side_is_judged_upright(turn: int) -> None:
    buffer = io.BytesIO()
    exif = Image.Exif()
    exif[0x0112] = turn
    Image.fromarray(patchwork()).save(buffer, "JPEG", exif=exif, quality=95)
    assert grey(buffer.getvalue()).levels.shape == ((400, 300) if turn >= 5 else (300, 400))


@pytest.mark.parametrize("damaged", [b"", b"text", b"\xff\xd8\xff\xe0 cut"])
def test_a_broken_picture_is_refused(damaged: bytes) -> None:
    with pytest.raises(PhotoError):
        assess(damaged)


@pytest.mark.parametrize("shape", [(0, 3), (9,), (9, 9, 7), (9, 9, 3, 3)])
def test_numbers_of_the_wrong_shape_are_no_picture(shape: tuple[int, ...]) -> None:
    with pytest.raises(PhotoError, match="no picture"):
        grey(np.zeros(shape, dtype=np.uint8))


def test_numbers_that_are_no_grey_levels_are_no_picture() -> None:
    with pytest.raises(PhotoError, match="no picture"):
        grey(np.zeros((9, 9)))  # type: ignore[arg-type]


@given(arrays(np.uint8, st.tuples(st.integers(1, 24), st.integers(1, 24))))
def test_any_picture_gets_figures_within_their_range(levels: np.ndarray) -> None:
    quality = assess(levels)
    assert 0 <= quality.mean <= 1
    assert 0 <= quality.bright <= 1
    assert 0 <= quality.clipped <= 1
    assert 0 <= quality.structure <= 1
    assert quality.sharpness is None or quality.sharpness > 0
    assert assess(levels) == quality


@given(arrays(np.uint8, (12, 15)))
def test_light_is_that_of_the_pixels(levels: np.ndarray) -> None:
    seen = signals.light(levels, 245)
    assert seen.mean == pytest.approx(levels.mean() / 255)
    assert seen.clipped == np.mean(levels >= 245)
    assert np.mean(levels <= seen.bright * 255) >= 0.95
    assert np.mean(levels < seen.bright * 255) < 0.95


@given(arrays(np.uint8, (16, 20)))
def test_mirrored_and_turned_it_is_the_same_picture(levels: np.ndarray) -> None:
    straight = signals.sharpness(levels, RULES)
    assert signals.sharpness(levels[:, ::-1], RULES) == straight
    assert signals.sharpness(levels.T, RULES) == straight
