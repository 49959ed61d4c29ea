"""The rust share, on swatches that are drawn here and therefore known to the last point.

What it does on real photographs is measured by tests/bench/bench_rust.py and told in docs/rust-share.md. The colours
are sRGB values of painted steel and of iron oxide as photographs show them (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given
from hypothesis import settings as tries
from hypothesis import strategies as st
from PIL import Image
from shapely import Polygon, contains, distance, points

from soundmetal.errors import PhotoError
from soundmetal.handbook import area_grades
from soundmetal.photos.rust import settings as module
from soundmetal.photos.rust import share
from soundmetal.photos.rust.share import RustShare, rust_share

PAINTS = {"grey": (150, 152, 150), "green": (95, 125, 100), "blue": (70, 100, 135), "white": (215, 215, 210)}
RUST = (110, 62, 38)
HALF = ((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0))
Swatch = Callable[..., Path]


def steel(paint: tuple[int, int, int], rust: Any, seed: int = 3) -> Any:
    """Painted steel with a little grain, rusted (coarse and fine grain) where `rust` says so."""
    chance = np.random.default_rng(seed)
    height, width = rust.shape
    fine = chance.normal(0, 1, (height, width, 1))
    coarse = chance.normal(0, 1, (height // 8 + 1, width // 8 + 1, 1)).repeat(8, 0).repeat(8, 1)[:height, :width]
    sound = np.array(paint) + 2 * fine
    rusted = np.array(RUST) * (1 + 0.15 * fine + 0.2 * coarse)
    return np.where(rust[..., None], rusted, sound).clip(0, 255).astype(np.uint8)


def patch(part: float, width: int = 960, height: int = 720) -> Any:
    """A rusted patch in the middle that takes `part` of the area (0 to 1)."""
    rust = np.zeros((height, width), dtype=bool)
    side_y, side_x = round(height * part**0.5), round(width * part**0.5)
    top, left = (height - side_y) // 2, (width - side_x) // 2
    rust[top : top + side_y, left : left + side_x] = True
    return rust


@pytest.fixture(scope="module")
def swatch(tmp_path_factory: pytest.TempPathFactory) -> Swatch:
    """Give a function that writes pixels as an upright copy."""
    folder = tmp_path_factory.mktemp("swatches")

    def write(pixels: Any, name: str = "swatch.jpg") -> Path:
        path = folder / name
        Image.fromarray(pixels).save(path, quality=92)
        return path

    return write


@pytest.mark.parametrize("paint", PAINTS)
@pytest.mark.parametrize("part", [0.05, 0.2, 0.5])
def test_a_drawn_patch_is_measured(swatch: Swatch, paint: str, part: float) -> None:
    """Within 3 points of per cent: its border is 1 to 2 points wide at working size (our own tolerance)."""
    said = rust_share(swatch(steel(PAINTS[paint], patch(part))))
    assert said.percent.likely == pytest.approx(100 * part, abs=3)
    assert said.percent.low <= 100 * part <= said.percent.high


@pytest.mark.parametrize("paint", PAINTS)
def test_sound_paint_has_no_rust(swatch: Swatch, paint: str) -> None:
    said = rust_share(swatch(steel(PAINTS[paint], patch(0.0))))
    assert (said.percent.low, said.ri, said.d610) == (0.0, 0, 10)
    assert module.settings().notes.trace in said.notes


def test_the_degrees_are_those_of_the_likely_share(swatch: Swatch) -> None:
    said = rust_share(swatch(steel(PAINTS["grey"], patch(0.2))))
    assert (said.ri, said.d610) == (area_grades.ri(said.percent.likely), area_grades.d610(said.percent.likely))
    assert (said.ri, said.d610) == (5, 2)  # 20 %: above the 8 % picture of Ri 4; ASTM D610 grade 2 is 16 to 33 %
    assert said.method == module.settings().method


def test_an_outline_counts_only_what_lies_inside(swatch: Swatch) -> None:
    rust = np.zeros((720, 960), dtype=bool)
    rust[:, :240] = True
    path = swatch(steel(PAINTS["blue"], rust))
    right = tuple((x + 0.5, y) for x, y in HALF)
    whole, left, other = rust_share(path), rust_share(path, HALF), rust_share(path, right)
    assert whole.percent.likely == pytest.approx(25, abs=2)
    assert left.percent.likely == pytest.approx(2 * whole.percent.likely, abs=0.5)
    assert other.percent.likely == 0
    assert module.settings().notes.whole_picture in whole.notes
    assert module.settings().notes.whole_picture not in left.notes


@given(thousandths=st.lists(st.tuples(st.integers(0, 1000), st.integers(0, 1000)), min_size=3, max_size=6))
def test_an_outline_fills_what_shapely_says(thousandths: list[tuple[int, int]]) -> None:
    """The points inside, told by a library that knows nothing of this one; points on an edge may go either way."""
    corners = [(x / 1000, y / 1000) for x, y in thousandths]
    ring = Polygon(corners)
    assume(ring.is_valid)
    said = share.filled(tuple(corners), 30, 20)
    middles = points([((x + 0.5) / 30, (y + 0.5) / 20) for y in range(20) for x in range(30)])
    clear = distance(ring.boundary, middles) > 1e-9
    assert (said.ravel() == contains(ring, middles))[clear].all()


def test_two_halves_make_the_whole(swatch: Swatch) -> None:
    path = swatch(steel(PAINTS["green"], patch(0.3)))
    halves = [rust_share(path, tuple((x + shift, y) for x, y in HALF)).percent.likely for shift in (0, 0.5)]
    assert sum(halves) / 2 == pytest.approx(rust_share(path).percent.likely, rel=1e-9)


def test_the_outline_of_everything_is_the_picture(swatch: Swatch) -> None:
    path = swatch(steel(PAINTS["green"], patch(0.3)))
    everything = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    assert rust_share(path, everything).percent == rust_share(path).percent
    assert rust_share(path, everything[::-1]).percent == rust_share(path).percent


def test_the_size_of_the_picture_hardly_matters(swatch: Swatch) -> None:
    """480 to 1920 points, the same scene: within 1.5 points of per cent (our own tolerance)."""
    large = Image.fromarray(steel(PAINTS["grey"], patch(0.2, 1920, 1440)))
    sizes = ((1920, 1440), (1600, 1200), (960, 720), (480, 360))
    paths = [swatch(np.asarray(large.resize(size, Image.Resampling.BOX)), f"{size[0]}.jpg") for size in sizes]
    shares = [rust_share(path).percent.likely for path in paths]
    assert max(shares) - min(shares) < 1.5


def test_more_rust_never_reads_as_less(swatch: Swatch) -> None:
    parts = (0.0, 0.01, 0.03, 0.1, 0.2, 0.35, 0.5, 0.7)
    said = [rust_share(swatch(steel(PAINTS["white"], patch(part)))) for part in parts]
    assert [one.percent.likely for one in said] == sorted(one.percent.likely for one in said)
    assert [one.ri for one in said] == sorted(one.ri for one in said)
    assert [one.d610 for one in said] == sorted((one.d610 for one in said), reverse=True)


def test_black_corners_are_no_area(swatch: Swatch) -> None:
    pixels = steel(PAINTS["grey"], patch(0.2))
    plain = rust_share(swatch(pixels)).percent.likely
    framed = np.zeros((960, 960, 3), np.uint8)
    framed[:720] = pixels
    said = rust_share(swatch(framed, "framed.png"))
    assert said.percent.likely == pytest.approx(plain, abs=1.5)
    assert module.settings().notes.dark in said.notes


def test_the_same_picture_gives_the_same_answer(swatch: Swatch) -> None:
    path = swatch(steel(PAINTS["blue"], patch(0.1)))
    assert rust_share(path, HALF) == rust_share(path, HALF)


def test_it_is_always_told_to_be_a_suggestion(swatch: Swatch) -> None:
    said = rust_share(swatch(steel(PAINTS["grey"], patch(0.8))))
    assert said.notes[0] == module.settings().notes.suggestion
    assert module.settings().notes.nearly_all in said.notes


def test_glare_is_told(swatch: Swatch) -> None:
    pixels = steel(PAINTS["grey"], patch(0.1))
    pixels[:, :400] = 255
    assert module.settings().notes.glare in rust_share(swatch(pixels)).notes


def wall(colour: tuple[int, int, int]) -> Any:
    """A grained surface without rust, in one colour and its shades."""
    chance = np.random.default_rng(5)
    coarse = chance.normal(1, 0.12, (90, 120, 1)).repeat(8, 0).repeat(8, 1)
    return (np.array(colour) * coarse * chance.normal(1, 0.05, (720, 960, 1))).clip(0, 255).astype(np.uint8)


@pytest.mark.parametrize("colour", [(128, 128, 128), (70, 100, 45), (175, 150, 110), (60, 75, 95)])
def test_grey_brick_leaves_sand_and_slate_are_no_rust(swatch: Swatch, colour: tuple[int, int, int]) -> None:
    """At most 5 % may read as rust (the goal set for traps)."""
    assert rust_share(swatch(wall(colour))).percent.likely <= 5


@pytest.mark.parametrize("colour", [(150, 85, 65), (85, 55, 40), (125, 60, 50)])
def test_red_brick_dark_leather_and_primer_fool_it_and_are_warned_of(
    swatch: Swatch, colour: tuple[int, int, int]
) -> None:
    """A known limit, told in docs/rust-share.md: colour and grain of these are those of rust."""
    said = rust_share(swatch(wall(colour)))
    assert said.percent.likely > 60
    assert module.settings().notes.nearly_all in said.notes


@pytest.mark.parametrize(
    ("outline", "why"),
    [
        (((0.1, 0.1), (1.2, 0.1), (0.5, 0.9)), "1.2,0.1 lies outside the picture"),
        (((0.1, -0.1), (0.2, 0.1), (0.5, 0.9)), "lies outside the picture"),
        (((float("nan"), 0.1), (0.2, 0.1), (0.5, 0.9)), "lies outside the picture"),
        (((0.1, 0.1), (0.9, 0.9)), r"2 corner\(s\) holds no area"),
        ((), r"0 corner\(s\) holds no area"),
        (((0.1, 0.1), (0.5, 0.5), (0.9, 0.9)), "too small to judge"),
        (((0.5, 0.5), (0.51, 0.5), (0.51, 0.51)), "too small to judge"),
    ],
)
def test_a_wrong_outline_is_refused(swatch: Swatch, outline: Any, why: str) -> None:
    path = swatch(steel(PAINTS["grey"], patch(0.1)))
    with pytest.raises(PhotoError, match=why):
        rust_share(path, outline)


def test_a_picture_that_lies_on_its_side_is_refused(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    Image.new("RGB", (400, 300), (90, 90, 90)).save(tmp_path / "side.jpg", exif=exif)
    with pytest.raises(PhotoError, match="still has to be turned"):
        rust_share(tmp_path / "side.jpg")


def test_a_black_picture_and_no_picture_are_refused(swatch: Swatch, tmp_path: Path) -> None:
    with pytest.raises(PhotoError, match="all of the area is black"):
        rust_share(swatch(np.zeros((300, 400, 3), np.uint8), "black.png"))
    text = tmp_path / "text.jpg"
    text.write_text("no picture", encoding="utf-8")
    with pytest.raises(PhotoError, match="not a picture"):
        rust_share(text)


@tries(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.integers(0, 10**6), height=st.integers(1, 60), width=st.integers(1, 60))
def test_any_pixels_give_a_share_or_a_refusal(tmp_path: Path, seed: int, height: int, width: int) -> None:
    pixels = np.random.default_rng(seed).integers(0, 256, (height, width, 3)).astype(np.uint8)
    path = tmp_path / "any.png"
    Image.fromarray(pixels).save(path)
    said: RustShare = rust_share(path)
    assert 0 <= said.percent.low <= said.percent.likely <= said.percent.high <= 100


@given(part=st.floats(0, 1))
def test_the_range_holds_the_likely_share(part: float) -> None:
    said = share.spread_of(part)
    assert 0 <= said.low <= said.likely <= said.high <= 100


@pytest.mark.parametrize("part", [-0.1, 1.1, float("nan")])
def test_a_share_that_cannot_be_is_refused(part: float) -> None:
    with pytest.raises(ValueError, match="cannot be"):
        share.spread_of(part)
