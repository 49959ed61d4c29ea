"""TIFF: pages, bits, and cameras' raw files. Put together here after TIFF 6.0 and DNG 1.4, from memory."""

from __future__ import annotations

import contextlib
import io
import struct
import time
import tracemalloc
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from soundmetal.errors import PhotoError
from soundmetal.photos import exif, tiff
from soundmetal.photos.shrink import shrunk


def saved(picture: Image.Image, kind: str, **options: Any) -> bytes:
    buffer = io.BytesIO()
    picture.save(buffer, kind, **options)
    return buffer.getvalue()


def middle(data: bytes) -> tuple[int, ...]:
    small = shrunk(data, 16)
    return tuple(int(value) for value in np.asarray(small)[small.height // 2, small.width // 2])


Page = dict[int, Any]


def tiff_file(*pages: Page, below: tuple[Page, ...] = (), order: str = "<") -> bytes:
    """Put a TIFF together. A tag is a number, a tuple of numbers, or bytes; 273 takes the pixels themselves."""
    data = bytearray((b"II" if order == "<" else b"MM") + struct.pack(order + "HI", 42, 0))
    hung = [_directory(data, page, order)[0] for page in below]
    links = [4]
    for number, page in enumerate(pages):
        start, link = _directory(data, page | ({330: tuple(hung)} if hung and not number else {}), order)
        struct.pack_into(order + "I", data, links[-1], start)
        links.append(link)
    return bytes(data)


def _directory(data: bytearray, page: Page, order: str) -> tuple[int, int]:
    page = dict(page)
    if isinstance(page.get(273), bytes):
        pixels = page[273]
        page |= {273: len(data), 279: len(pixels)}
        data += pixels
    entries = b""
    for tag, value in sorted(page.items()):
        kind, size = (7, "s") if isinstance(value, bytes) else (4, "I")
        many = value if isinstance(value, tuple) else (value,)
        packed = value if isinstance(value, bytes) else struct.pack(f"{order}{len(many)}{size}", *many)
        entries += struct.pack(order + "HHI", tag, kind, len(value) if kind == 7 else len(many))
        if len(packed) <= 4:
            entries += packed.ljust(4, b"\0")
        else:
            entries += struct.pack(order + "I", len(data))
            data += packed
    data += b"\0" * (len(data) % 2)
    start = len(data)
    data += struct.pack(order + "H", len(entries) // 12) + entries + b"\0\0\0\0"
    return start, len(data) - 4


def flat(value: bytes, photometric: int, bits: tuple[int, ...], **more: Any) -> Page:
    page = {256: 8, 257: 8, 258: bits, 259: 1, 262: photometric, 273: value * 64, 277: len(bits), 278: 8}
    return page | {int(tag[1:]): content for tag, content in more.items()}


@pytest.mark.parametrize("order", ["<", ">"])
def test_tiff_of_16_bits_a_colour(order: str) -> None:
    data = tiff_file(flat(struct.pack(order + "HHH", 65535, 32896, 257), 2, (16, 16, 16)), order=order)
    assert max(abs(a - b) for a, b in zip(middle(data), (255, 128, 1), strict=True)) <= 1


@pytest.mark.parametrize(("photometric", "seen"), [(1, 64), (0, 191)])
def test_tiff_of_16_bits_grey_counts_from_black_or_from_white(photometric: int, seen: int) -> None:
    data = tiff_file(flat(struct.pack("<H", 64 * 257), photometric, (16,)))
    assert max(abs(value - seen) for value in middle(data)) <= 1


def test_tiff_of_12_bits() -> None:
    """Two samples in three bytes, high bits first: 0x404 of 0xfff is a quarter, 64 of 255."""
    page = flat(b"", 1, (12,)) | {273: b"\x40\x44\x04" * 32}
    assert max(abs(value - 64) for value in middle(tiff_file(page))) <= 1


def test_the_first_of_several_pages_is_used_and_said() -> None:
    red, green = (Image.new("RGB", (20, 10), colour) for colour in ("red", "green"))
    data = saved(red, "TIFF", save_all=True, append_images=[green, green])
    assert middle(data) == (255, 0, 0)
    assert exif.read(data).notes == ("only the first of 3 pages is used",)
    assert exif.read(saved(red, "TIFF")).notes == ()


def test_a_smaller_copy_inside_is_no_page() -> None:
    page = flat(b"\x80", 1, (8,))
    assert exif.read(tiff_file(page, page | {254: 1})).notes == ()
    assert tiff.read(io.BytesIO(tiff_file(page, page))).pages == 2


def raw(preview: Image.Image | None, *, orientation: int = 1, stamp: bool = True, order: str = "<") -> bytes:
    """A raw file: a stamp or the sensor's data first, the preview below as one JPEG strip."""
    sensor = flat(b"\0\1", 32803, (16,))
    below = [sensor]
    if preview:
        below.append({254: 1, 256: preview.width, 257: preview.height, 259: 7, 262: 6, 273: saved(preview, "JPEG")})
    head = flat(b"\x20\x20\x20", 2, (8, 8, 8), t254=1) if stamp else sensor
    return tiff_file(head | {274: orientation, 50706: (1, 4, 0, 0)}, below=tuple(below), order=order)


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize("stamp", [True, False])
def test_a_raw_file_gives_its_large_preview_turned_as_it_says(draw, stamp: bool, order: str) -> None:
    with Image.open(io.BytesIO(draw(size=(1000, 600)))) as preview:
        data = raw(preview, orientation=6, stamp=stamp, order=order)
    picture = shrunk(data, 100)
    assert picture.size == (60, 100)
    grey = np.asarray(picture.convert("L"), dtype=float)
    assert grey[:50, 30:].mean() > 150 > grey[:50, :30].mean()  # the upper left quarter came to the upper right
    facts = exif.read(data)
    assert (facts.width, facts.height) == (600, 1000)
    assert facts.notes == ("a raw file: only the preview that the camera put into it is used",)


@pytest.mark.parametrize("preview", [None, Image.new("RGB", (320, 240))])
def test_a_raw_file_without_a_large_preview_is_refused_with_what_to_do(preview: Image.Image | None) -> None:
    with pytest.raises(PhotoError, match="without a preview") as told:
        shrunk(raw(preview), 100)
    assert "Save it as JPEG" in told.value.todo


def test_the_largest_of_several_previews_is_used() -> None:
    """As cameras do it: a stamp, a middle one and a full one, as a strip or by tags 513 and 514."""
    previews = [saved(Image.new("RGB", size, "red"), "JPEG") for size in ((160, 120), (900, 600), (1200, 800))]
    below = tuple({254: 1, 259: 7, 262: 6, 273: jpeg} for jpeg in previews)
    head = flat(b"\0\1", 32803, (16,)) | {50706: (1, 4, 0, 0)}
    facts = exif.read(tiff_file(head, below=below))
    assert (facts.width, facts.height) == (1200, 800)
    older = bytearray(tiff_file(head, {259: 6, 513: 0, 514: len(previews[2])}))
    at = older.index(struct.pack("<HHI", 513, 4, 1)) + 8
    older[at : at + 4] = struct.pack("<I", len(older))
    assert exif.read(bytes(older) + previews[2]).width == 1200


def test_a_raw_file_that_its_head_tells() -> None:
    """CR2: "CR" and the version behind the head of 8 bytes, the picture as a JPEG strip of the first directory."""
    jpeg = saved(Image.new("RGB", (1000, 700), "red"), "JPEG")
    data = bytearray(tiff_file({256: 1000, 257: 700, 259: 6, 273: b"CR\2\0" + bytes(4) + jpeg, 274: 6}))
    at = data.index(struct.pack("<HHI", 273, 4, 1)) + 8
    data[at : at + 4] = struct.pack("<I", 16)
    facts = exif.read(bytes(data))
    assert (facts.width, facts.height) == (700, 1000)
    assert facts.notes[0].startswith("a raw file")


@pytest.mark.parametrize("kind", ["tags", "directories", "previews"])
def test_a_file_made_to_keep_the_reader_busy_is_read_in_a_moment(kind: str) -> None:
    """Every directory points to all of the file again; memory and time stay those of one honest file."""
    filling = bytes(3_000_000)
    if kind == "tags":
        entries = b"".join(struct.pack("<HHII", tag % 600, 4, 4096, 8) for tag in range(4096))
        data = b"II*\0" + struct.pack("<I", 16) + b"\0" * 8 + struct.pack("<H", 4096) + entries + b"\0" * 4 + filling
    else:
        previews = [{262: 32803, 513: 8 + n, 514: 2_000_000} for n in range(1500)]
        data = tiff_file(*(previews if kind == "previews" else [flat(b"\0", 1, (8,))] * 1500)) + filling
    tracemalloc.start()
    start = time.process_time()
    with contextlib.suppress(PhotoError):
        shrunk(data, 64)
    assert len(exif.read(data).notes) <= 1
    took, (_now, peak) = time.process_time() - start, tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert took < 5
    assert 0 < peak < 40_000_000


def test_directories_that_lead_round_in_a_ring_end() -> None:
    data = bytearray(tiff_file(flat(b"\x80", 1, (8,)), flat(b"\x80", 1, (8,))))
    start = struct.unpack_from("<I", data, 4)[0]
    second = tiff.read(io.BytesIO(bytes(data)))
    assert len(second.chain) == 2
    data[-4:] = struct.pack("<I", start)
    assert len(tiff.read(io.BytesIO(bytes(data))).chain) == 2


@given(st.binary(max_size=300), st.sampled_from([b"II*\0", b"MM\0*", b"II+\0", b"MM\0+"]))
def test_no_bytes_upset_the_reader_of_directories(tail: bytes, head: bytes) -> None:
    try:
        found = tiff.read(io.BytesIO(head + tail))
    except PhotoError:
        assert len(tail) < 12, "so short a head is the only thing refused here"
        return
    assert found.pages <= tiff.MOST_DIRECTORIES
    assert 1 <= found.orientation <= 8
    assert all(length >= 0 for _place, length in found.jpegs(3))


@given(st.integers(0, 2000), st.integers(0, 255))
def test_a_damaged_raw_file_is_a_picture_or_a_photo_error(at: int, value: int) -> None:
    data = bytearray(_RAW)
    data[at % len(data)] = value
    try:
        assert max(shrunk(bytes(data), 64).size) <= 64
    except PhotoError as error:
        told = str(error)
        assert "\n" not in told, "one line"


_RAW = raw(Image.new("RGB", (900, 40), (90, 40, 20)))
