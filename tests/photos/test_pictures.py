"""Opening pictures safely."""

from __future__ import annotations

import threading
import warnings

import pytest
from PIL import Image, ImageFile

from soundmetal.errors import PhotoError
from soundmetal.photos import pictures


@pytest.mark.parametrize(
    ("kind", "decoder"),
    [("JPEG", "JPEG"), ("PNG", "PNG"), ("TIFF", "TIFF"), ("WebP", "WEBP"), ("HEIC", "HEIF"), ("GIF", "GIF")],
)
def test_kind_is_told_by_content(draw, kind: str, decoder: str) -> None:
    data = draw(kind=decoder)
    assert pictures.kind_of(data[: pictures.HEAD_BYTES]) == kind
    with pictures.open_picture(data) as picture:
        assert picture.size == (80, 60)


@pytest.mark.parametrize(
    "data", [b"", b"hello", b"%PDF-1.7", b"BM\x00\x00", b"\x00\x00\x00\x1cftypqt  ", b"RIFF1234WAVE"]
)
def test_other_content_has_no_kind(data: bytes) -> None:
    assert pictures.kind_of(data) is None
    with pytest.raises(PhotoError, match="not a picture"), pictures.open_picture(data):
        pass


def test_avif_is_not_taken_for_heic() -> None:
    assert pictures.kind_of(b"\x00\x00\x00\x1cftypmif1\x00\x00\x00\x00mif1avifmiaf") is None


def test_no_decoder_outside_the_list_is_started(draw) -> None:
    with pytest.raises(PhotoError), pictures.open_picture(draw(kind="PPM")):
        pass


@pytest.mark.parametrize("orientation", range(1, 9))
def test_turn_and_upright_size(draw, orientation: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    with pictures.open_picture(draw(exif=exif)) as picture:
        assert pictures.turn(picture) == orientation
        assert pictures.upright_size(picture) == ((60, 80) if orientation >= 5 else (80, 60))


@pytest.mark.parametrize("orientation", [0, 9, 4711])
def test_an_impossible_orientation_means_upright(draw, orientation: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    with pictures.open_picture(draw(exif=exif)) as picture:
        assert pictures.turn(picture) == 1


@pytest.mark.parametrize("kind", ["HEIF", "TIFF"])
def test_decoders_that_turn_themselves_are_not_helped(draw, kind: str) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    with pictures.open_picture(draw(kind=kind, exif=exif.tobytes())) as picture:
        assert pictures.turn(picture) == 1
        assert pictures.upright_size(picture) == (60, 80)


def test_too_many_pixels_are_refused_without_a_warning(draw, monkeypatch: pytest.MonkeyPatch) -> None:
    small = pictures.settings().model_copy(
        update={"scan": pictures.settings().scan.model_copy(update={"max_pixels": 3000})}
    )
    monkeypatch.setattr(pictures, "settings", lambda: small)
    with warnings.catch_warnings(record=True) as told:
        warnings.simplefilter("always")
        for size in ((80, 60), (400, 300)):  # Pillow only warns of the first and refuses the second
            with pytest.raises(PhotoError, match="megapixels"), pictures.open_picture(draw(size=size)):
                pass
    assert not told


def test_global_settings_come_back_when_the_last_reader_leaves() -> None:
    limit, filters = Image.MAX_IMAGE_PIXELS, list(warnings.filters)
    inside, leave = threading.Event(), threading.Event()

    def other() -> None:
        with pictures.quiet:
            inside.set()
            leave.wait(5)

    thread = threading.Thread(target=other)
    with pictures.quiet:
        thread.start()
        assert inside.wait(5)
        assert pictures.settings().scan.max_pixels == Image.MAX_IMAGE_PIXELS
    assert pictures.settings().scan.max_pixels == Image.MAX_IMAGE_PIXELS
    leave.set()
    thread.join()
    assert limit == Image.MAX_IMAGE_PIXELS
    assert list(warnings.filters) == filters


def test_half_a_picture_is_refused_even_after_the_page_maker_was_loaded(
    draw, monkeypatch: pytest.MonkeyPatch
) -> None:
    """WeasyPrint tells Pillow to fill what is missing with grey, for the whole process."""
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    half = draw(size=(400, 300))[:-200]
    with pytest.raises(PhotoError, match="cut off or damaged"), pictures.open_picture(half) as picture:
        picture.load()
    assert ImageFile.LOAD_TRUNCATED_IMAGES is True


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (MemoryError(), "memory"),
        (PermissionError(13, "Permission denied"), "Permission denied"),
        (OSError("image file is truncated"), "cut off or damaged"),
        (RecursionError("deep"), "cannot be decoded"),
        (PhotoError("as it is"), "as it is"),
    ],
)
def test_every_failure_becomes_one_line_with_advice(error: Exception, says: str) -> None:
    told = pictures.reason(error, "JPEG")
    assert says in told.what
    assert "\n" not in str(told)
