"""Making pictures smaller: upright, in sRGB, and close to what the whole picture shrunk at leisure gives."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from likeness import at_leisure, lost, similarity, stored
from PIL import Image, ImageCms

from soundmetal.errors import PhotoError
from soundmetal.photos.shrink import decoded_size, fitted, for_page, shrunk, sketch

QUALITY = 85
#: Photographs of the package index, of ten megapixels and under a profile of wider colours. Without them their tests
#: are not there, and the session says so after collection.
FETCHED = Path(__file__).parents[1] / "fetched" / "pillow" / "images"
LARGE, WIDE = FETCHED / "fujifilm.mpo", FETCHED / "frame_size.mpo"


def brightest_corner(picture: Image.Image) -> tuple[int, int]:
    """Row and column half of the brightest quarter."""
    grey = np.asarray(picture.convert("L"), dtype=float)
    rows, columns = grey.shape[0] // 2, grey.shape[1] // 2
    means = {(r, c): grey[r * rows :, c * columns :][:rows, :columns].mean() for r in (0, 1) for c in (0, 1)}
    return max(means, key=lambda at: means[at])


#: Where the stored picture's first row and first column lie, Exif 2.32 table 6 (from memory): top left first.
CORNERS = {1: (0, 0), 2: (0, 1), 3: (1, 1), 4: (1, 0), 5: (0, 0), 6: (0, 1), 7: (1, 1), 8: (1, 0)}


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF", "HEIF"])
def test_upright_whatever_the_orientation(draw, orientation: int, kind: str) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    picture = shrunk(draw(kind=kind, exif=exif.tobytes()), 40)
    assert picture.size == ((30, 40) if orientation >= 5 else (40, 30))
    assert brightest_corner(picture) == CORNERS[orientation]


def test_nothing_is_enlarged(draw) -> None:
    assert shrunk(draw(size=(80, 60)), 1600).size == (80, 60)


@pytest.mark.parametrize(
    ("mode", "kind"), [("L", "JPEG"), ("CMYK", "JPEG"), ("RGBA", "PNG"), ("LA", "PNG"), ("P", "PNG"), ("1", "PNG")]
)
def test_every_colour_mode_becomes_rgb(draw, mode: str, kind: str) -> None:
    picture = shrunk(draw(kind=kind, mode=mode), 40)
    assert (picture.mode, picture.size) == ("RGB", (40, 30))
    assert brightest_corner(picture) == (0, 0)


def test_transparent_parts_are_white() -> None:
    buffer = io.BytesIO()
    Image.new("RGBA", (20, 20), (200, 0, 0, 0)).save(buffer, "PNG")
    assert shrunk(buffer.getvalue(), 10).getpixel((5, 5)) == (255, 255, 255)


def test_sixteen_bits_of_grey_keep_their_brightness() -> None:
    """32896 of 65535 is 128 of 255."""
    buffer = io.BytesIO()
    Image.fromarray(np.full((20, 20), 32896, dtype="uint16")).save(buffer, "PNG")
    assert shrunk(buffer.getvalue(), 10).getpixel((5, 5)) == (128, 128, 128)


def test_a_profile_is_applied_and_a_broken_one_passed_over() -> None:
    """Lab in, sRGB out: L* = 50 without colour is 119 of 255 (IEC 61966-2-1 by hand: Y = 0.18419, V' = 0.46633)."""
    buffer = io.BytesIO()
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    Image.new("LAB", (20, 20), (128, 128, 128)).save(buffer, "TIFF", icc_profile=lab)
    red, green, blue = np.asarray(shrunk(buffer.getvalue(), 10))[5, 5]
    assert max(abs(int(value) - 119) for value in (red, green, blue)) <= 1
    broken = io.BytesIO()
    Image.new("RGB", (20, 20), (10, 200, 30)).save(broken, "PNG", icc_profile=b"no profile")
    assert shrunk(broken.getvalue(), 10).getpixel((5, 5)) == (10, 200, 30)


@given(st.integers(1, 20000), st.integers(1, 20000), st.integers(100, 4000))
def test_the_fitted_size_keeps_the_shape(width: int, height: int, long_side: int) -> None:
    size = fitted((width, height), long_side)
    assert max(size) <= max(1, long_side)
    assert size[0] <= width
    assert size[1] <= height
    factor = min(1.0, long_side / max(width, height))
    assert abs(size[0] - width * factor) <= 1
    assert abs(size[1] - height * factor) <= 1


def test_no_picture_is_a_photo_error() -> None:
    with pytest.raises(PhotoError):
        shrunk(b"text", 100)


def colourful(size: tuple[int, int] = (403, 301), **options: Any) -> bytes:
    """Store a picture of four colours: red, green, blue, yellow from the upper left to the lower right."""
    picture = Image.new("RGB", size)
    middle = size[0] // 2, size[1] // 2
    for colour, at in zip(("red", "lime", "blue", "yellow"), ((0, 0), (1, 0), (0, 1), (1, 1)), strict=True):
        left, top = at[0] * middle[0], at[1] * middle[1]
        picture.paste(colour, (left, top, size[0], size[1]))
    buffer = io.BytesIO()
    picture.save(buffer, "JPEG", quality=95, **options)
    return buffer.getvalue()


def colours_of(picture: Image.Image) -> list[tuple[int, ...]]:
    """Tell the colours at the middle of the four quarters, each part as 0 or 1."""
    plain = picture.convert("RGB")
    places = [(x * picture.width // 4, y * picture.height // 4) for y in (1, 3) for x in (1, 3)]
    pixels = np.asarray(plain)
    return [tuple(int(value > 127) for value in pixels[y, x]) for x, y in places]


RED, GREEN, BLUE, YELLOW = (1, 0, 0), (0, 1, 0), (0, 0, 1), (1, 1, 0)
#: What stands upper left, upper right, lower left, lower right once upright, Exif 2.32 table 6 (from memory).
UPRIGHT = {
    1: [RED, GREEN, BLUE, YELLOW],
    2: [GREEN, RED, YELLOW, BLUE],
    3: [YELLOW, BLUE, GREEN, RED],
    4: [BLUE, YELLOW, RED, GREEN],
    5: [RED, BLUE, GREEN, YELLOW],
    6: [BLUE, RED, YELLOW, GREEN],
    7: [YELLOW, GREEN, BLUE, RED],
    8: [GREEN, YELLOW, RED, BLUE],
}


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("long_side_px", [101, 400, 403, 1600])
@pytest.mark.parametrize("subsampling", [0, 1, 2])
def test_colours_turn_with_the_brightness(orientation: int, long_side_px: int, subsampling: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    picture = for_page(colourful(subsampling=subsampling, exif=exif), long_side_px)
    assert picture.mode == "YCbCr"
    assert picture.info == {}
    assert max(picture.size) == min(long_side_px, 403)
    assert colours_of(picture) == UPRIGHT[orientation]


@pytest.mark.parametrize("size", [(1, 1), (2, 1), (1, 900), (900, 1), (17, 900), (3001, 7)])
def test_thin_pictures_are_shrunk_too(size: tuple[int, int]) -> None:
    picture = for_page(colourful(size), 100)
    assert picture.size == fitted(size, 100)


def test_colours_stored_as_rgb_are_not_taken_for_something_else() -> None:
    """A JPEG may hold RGB itself: Adobe's mark says so, or the parts are numbered with letters."""
    data = colourful(keep_rgb=True)
    with Image.open(io.BytesIO(data)) as picture:
        assert picture.info.get("adobe_transform") == 0 or [part[0] for part in picture.layer] != [1, 2, 3]
    assert for_page(data, 100).mode == "RGB"
    assert colours_of(shrunk(data, 100)) == UPRIGHT[1]


def test_parts_with_other_numbers_are_left_to_the_decoder() -> None:
    """Numbered 0 to 2, with the JFIF mark: a decoder takes them for YCbCr, we do not have to know."""
    data = bytearray(colourful())
    for start in (data.index(b"\xff\xc0") + 10, data.index(b"\xff\xda") + 5):
        step = 3 if data[start + 3] == 2 else 2
        for part in range(3):
            data[start + part * step] -= 1
    assert for_page(bytes(data), 100).mode == "RGB"
    assert colours_of(shrunk(bytes(data), 100)) == UPRIGHT[1]


if WIDE.is_file():

    def test_a_profile_of_wider_colours_is_applied_to_pages() -> None:
        """Against the colour engine itself, on the whole picture."""
        with Image.open(WIDE) as picture:
            profile = ImageCms.ImageCmsProfile(io.BytesIO(picture.info["icc_profile"]))
            assert "P3" in ImageCms.getProfileDescription(profile)
            srgb = ImageCms.createProfile("sRGB")
            said = ImageCms.profileToProfile(picture, profile, srgb, outputMode="RGB")
        page = for_page(WIDE, 10_000)
        assert page.mode == "RGB"
        assert said is not None
        assert np.abs(np.asarray(page, dtype=int) - np.asarray(said, dtype=int)).mean() < 1


def test_a_small_picture_leaves_its_comment_behind() -> None:
    assert for_page(colourful(comment=b"mine"), 1600).info == {}


def noisy(width: int = 1600) -> bytes:
    """Draw what is hard on a shrinker: noise in every pixel over coarse noise over a slope."""
    chance = np.random.default_rng(4)
    slope = np.linspace(40, 210, width)[None, :, None] * np.array([1.0, 0.8, 0.6])
    coarse = chance.normal(0, 20, (width * 3 // 40, width // 10, 3)).repeat(10, 0).repeat(10, 1)
    pixels = slope + coarse + chance.normal(0, 8, (width * 3 // 4, width, 1))
    buffer = io.BytesIO()
    Image.fromarray(pixels.clip(0, 255).astype("uint8")).save(buffer, "JPEG", quality=90)
    return buffer.getvalue()


@pytest.mark.parametrize("times", [2.04, 2.5, 3.0])
def test_copies_of_noise_are_as_good_as_the_slow_way(times: float, tmp_path: Path) -> None:
    """At most 0.005 of structural similarity lost to the whole picture decoded and shrunk by Lanczos (the goal)."""
    path = tmp_path / "noise.jpg"
    path.write_bytes(noisy())
    assert lost_by_us(path, round(1600 / times)) <= 0.005


if LARGE.is_file():

    @pytest.mark.parametrize("times", [2.04, 2.5, 3.0, 5.0, 7.2, 9.0, 24.0])
    def test_copies_of_a_photograph_are_as_good_as_the_slow_way(times: float) -> None:
        """Before and after each of the decoder's own scalings is taken."""
        assert lost_by_us(LARGE, round(3648 / times)) <= 0.005


def lost_by_us(path: Path, long_side_px: int) -> float:
    """Give what a copy loses against the best, both stored as JPEG."""
    page = for_page(path, long_side_px)
    best = at_leisure(path, page.size)
    return lost(stored(page, QUALITY), best, QUALITY)


def test_a_sketch_is_softer_than_a_page_but_shows_the_same(tmp_path: Path) -> None:
    """Without room for the fine step the decoder's scaling loses more: that is why pages leave it."""
    path = tmp_path / "noise.jpg"
    path.write_bytes(noisy())
    best = at_leisure(path, (784, 588))
    page, rough = (similarity(way(path, 784), best) for way in (shrunk, sketch))
    assert rough < page - 0.005


@given(st.integers(1, 20000), st.integers(1, 20000), st.integers(1, 4000))
def test_the_decoder_is_asked_for_the_whole_or_leaves_room(width: int, height: int, long_side_px: int) -> None:
    wanted = fitted((width, height), long_side_px)
    asked = decoded_size((width, height), wanted)
    assert asked == (width, height) or max(width, height) // 2 >= 1.23 * max(wanted) or max(wanted) == 1
    assert all(most >= side >= least for most, side, least in zip((width, height), asked, wanted, strict=True))
