"""Kinds of pictures as cameras, scanners and mail programs make them. PNG 1.2 and ISO/IEC 23008-12 from memory."""

from __future__ import annotations

import io
import struct
import zlib
from typing import Any

import numpy as np
import pillow_heif
import pytest
from PIL import Image

from soundmetal.errors import PhotoError
from soundmetal.photos import exif, pictures
from soundmetal.photos.shrink import shrunk


def saved(picture: Image.Image, kind: str, **options: Any) -> bytes:
    buffer = io.BytesIO()
    picture.save(buffer, kind, **options)
    return buffer.getvalue()


def middle(data: bytes) -> tuple[int, ...]:
    small = shrunk(data, 16)
    return tuple(int(value) for value in np.asarray(small)[small.height // 2, small.width // 2])


def test_progressive_is_like_baseline(draw) -> None:
    baseline, progressive = (np.asarray(shrunk(draw(size=(400, 300), progressive=p), 100)) for p in (False, True))
    assert np.abs(baseline.astype(float) - progressive).max() <= 1


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(colour_type: int, pixel: bytes, bits: int = 16, extra: bytes = b"") -> bytes:
    rows = (b"\0" + pixel * 8) * 8
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", 8, 8, bits, colour_type, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + extra + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("colour_type", "values", "seen"),
    [
        (0, (32896,), (128, 128, 128)),
        (2, (65535, 32896, 257), (255, 128, 1)),
        (4, (0, 32896), (127, 127, 127)),
        (6, (65535, 0, 0, 32896), (255, 127, 127)),
        (6, (65535, 0, 0, 0), (255, 255, 255)),
    ],
)
def test_png_of_16_bits_with_and_without_alpha(
    colour_type: int, values: tuple[int, ...], seen: tuple[int, ...]
) -> None:
    """257 of 16 bits is 1 of 8; alpha mixes with white paper: 128 of 255 over black leaves 127."""
    got = middle(png(colour_type, struct.pack(f">{len(values)}H", *values)))
    assert max(abs(a - b) for a, b in zip(got, seen, strict=True)) <= 1


def test_a_colour_declared_transparent_is_white() -> None:
    assert middle(png(2, bytes((10, 20, 30)), 8, chunk(b"tRNS", struct.pack(">HHH", 10, 20, 30)))) == (255, 255, 255)
    assert middle(png(2, bytes((10, 20, 31)), 8, chunk(b"tRNS", struct.pack(">HHH", 10, 20, 30)))) == (10, 20, 31)


@pytest.mark.parametrize(("kind", "options"), [("GIF", {}), ("WEBP", {"lossless": True}), ("PNG", {})])
def test_the_first_of_a_moving_picture_is_used_and_said(kind: str, options: dict[str, Any]) -> None:
    red, blue = (Image.new("RGB", (20, 10), colour) for colour in ("red", "blue"))
    data = saved(red, kind, save_all=True, append_images=[blue], duration=100, **options)
    assert middle(data) == (255, 0, 0)
    assert exif.read(data).notes == ("moves: only its first picture is used",)
    assert exif.read(saved(red, kind, **options)).notes == ()


def test_a_stereo_picture_gives_its_first_and_nothing_is_lost() -> None:
    left, right = (Image.new("RGB", (20, 10), colour) for colour in ("red", "blue"))
    data = saved(left, "MPO", save_all=True, append_images=[right])
    assert max(abs(a - b) for a, b in zip(middle(data), (254, 0, 0), strict=True)) <= 2
    assert exif.read(data).notes == ()


@pytest.mark.parametrize("primary", [0, 1, 2])
def test_a_burst_gives_its_main_picture(primary: int) -> None:
    heif = pillow_heif.HeifFile()
    for colour in ("red", "lime", "blue"):
        heif.add_from_pillow(Image.new("RGB", (64, 48), colour))
    buffer = io.BytesIO()
    heif.save(buffer, quality=90, primary_index=primary)
    assert int(np.argmax(middle(buffer.getvalue()))) == primary
    assert exif.read(buffer.getvalue()).notes == ("only the main one of its 3 pictures is used",)


def test_what_cannot_be_read_says_what_to_use() -> None:
    with pytest.raises(PhotoError) as told, pictures.open_picture(b"BM" + bytes(60)):
        pass
    assert told.value.todo == "Use JPEG, PNG, TIFF, WebP or HEIC."
