"""Colours of pictures, worked by hand from what is published, whatever the kind of file.

IEC 61966-2-1 (sRGB), Adobe RGB (1998) 4.3, CIE 15 (Lab), the Bradford adaptation, and ICC.1:2010 for the profiles
that are put together here; figures from memory.
"""

from __future__ import annotations

import io
import struct
from typing import Any

import numpy as np
import pytest
from PIL import Image

from soundmetal.photos.shrink import shrunk

Grid = np.ndarray[Any, np.dtype[np.float64]]

#: Chromaticities x, y of red, green, blue; the white of all is D65. The exponent 563/256 is Adobe's.
SRGB = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))
ADOBE = ((0.64, 0.33), (0.21, 0.71), (0.15, 0.06))
D65, D50 = (0.3127, 0.3290), (0.3457, 0.3585)
ADOBE_GAMMA = 563 / 256
BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])


def xyz(chromaticity: tuple[float, float]) -> Grid:
    x, y = chromaticity
    return np.array([x / y, 1.0, (1 - x - y) / y])


def to_xyz(primaries: tuple[tuple[float, float], ...]) -> Grid:
    columns = np.array([xyz(one) for one in primaries]).T
    return columns * np.linalg.solve(columns, xyz(D65))


def adobe_to_srgb(colour: tuple[int, int, int]) -> Grid:
    linear = (np.array(colour) / 255) ** ADOBE_GAMMA
    flat = np.clip(np.linalg.inv(to_xyz(SRGB)) @ to_xyz(ADOBE) @ linear, 0, 1)
    return 255 * np.where(flat <= 0.0031308, 12.92 * flat, 1.055 * flat ** (1 / 2.4) - 0.055)


def fixed(values: Any) -> bytes:
    return b"".join(struct.pack(">i", round(float(value) * 65536)) for value in values)


def profile(space: bytes, connection: bytes, kind: bytes, tags: dict[bytes, bytes]) -> bytes:
    """An ICC profile, version 2: a head of 128 bytes, a table of tags, the tags."""
    name = b"Wide and made up\0"
    tags = {
        b"desc": b"desc\0\0\0\0" + struct.pack(">I", len(name)) + name + b"\0" * 78,
        b"cprt": b"text\0\0\0\0nobody\0",
        b"wtpt": b"XYZ \0\0\0\0" + fixed((0.9642, 1.0, 0.8249)),
        **tags,
    }
    place, table, body = 128 + 4 + 12 * len(tags), b"", b""
    for tag, data in tags.items():
        padded = data + b"\0" * (-len(data) % 4)
        table += tag + struct.pack(">II", place + len(body), len(data))
        body += padded
    head = struct.pack(">I4sI4s4s4s", place + len(body), b"none", 0x02400000, kind, space, connection)
    head += b"\0" * 12 + b"acsp" + b"\0" * 28 + fixed((0.9642, 1.0, 0.8249)) + b"\0" * 48
    return head[:128].ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


def adobe_profile() -> bytes:
    """Adobe RGB as an ICC profile: colorants adapted from D65 to D50 (Bradford), one exponent for all."""
    scale = np.diag((BRADFORD @ xyz(D50)) / (BRADFORD @ xyz(D65)))
    colorants = (np.linalg.inv(BRADFORD) @ scale @ BRADFORD @ to_xyz(ADOBE)).T
    curve = b"curv\0\0\0\0" + struct.pack(">IH", 1, round(ADOBE_GAMMA * 256))
    tags = {
        name: b"XYZ \0\0\0\0" + fixed(row) for name, row in zip((b"rXYZ", b"gXYZ", b"bXYZ"), colorants, strict=True)
    }
    return profile(b"RGB ", b"XYZ ", b"mntr", tags | {b"rTRC": curve, b"gTRC": curve, b"bTRC": curve})


def ink_profile() -> bytes:
    """Four inks on white paper: one to three at full strength give Lab 50, 0, 0, all four black."""
    identity = bytes(range(256))
    corners = b"".join(bytes((255 if n == 0 else 0 if n == 15 else 128, 128, 128)) for n in range(16))
    unit = fixed((1, 0, 0, 0, 1, 0, 0, 0, 1))
    table = b"mft1\0\0\0\0" + bytes((4, 3, 2, 0)) + unit + 4 * identity + corners + 3 * identity
    return profile(b"CMYK", b"Lab ", b"prtr", {b"A2B0": table})


def saved(picture: Image.Image, kind: str, **options: Any) -> bytes:
    buffer = io.BytesIO()
    picture.save(buffer, kind, **options)
    return buffer.getvalue()


def middle(data: bytes) -> tuple[int, ...]:
    small = shrunk(data, 16)
    return tuple(int(value) for value in np.asarray(small)[small.height // 2, small.width // 2])


@pytest.mark.parametrize("colour", [(100, 150, 200), (60, 200, 90), (180, 90, 60), (128, 128, 128)])
@pytest.mark.parametrize(
    ("kind", "options", "off"),
    [
        ("PNG", {}, 1),
        ("TIFF", {}, 1),
        ("JPEG", {"quality": 100, "subsampling": 0}, 3),
        ("WEBP", {"lossless": True}, 1),
        ("HEIF", {"quality": -1, "chroma": 444}, 4),
    ],
)
def test_a_wide_profile_becomes_srgb(
    kind: str, options: dict[str, Any], off: int, colour: tuple[int, int, int]
) -> None:
    """Off by the rounding to 8 bits, and by the compression where a kind has one."""
    data = saved(Image.new("RGB", (32, 24), colour), kind, icc_profile=adobe_profile(), **options)
    assert np.abs(np.array(middle(data)) - adobe_to_srgb(colour)).max() <= off + 0.5


def test_the_wide_profile_matters() -> None:
    assert np.abs(adobe_to_srgb((60, 200, 90)) - (60, 200, 90)).max() > 30


def inks(cyan: int, **options: Any) -> bytes:
    return saved(Image.new("CMYK", (32, 24), (cyan, 0, 0, 0)), "JPEG", quality=100, **options)


def without_adobe_mark(data: bytes) -> bytes:
    """Cut the APP14 segment out: its length stands behind the mark."""
    at = data.index(b"\xff\xee")
    return data[:at] + data[at + 2 + struct.unpack(">H", data[at + 2 : at + 4])[0] :]


def test_cmyk_stored_upside_down_by_adobe_programs() -> None:
    """With the Adobe mark (APP14) samples are 255 less the ink, else the ink (ISO/IEC 10918-6, from memory)."""
    data = inks(255)
    assert max(abs(a - b) for a, b in zip(middle(data), (0, 255, 255), strict=True)) <= 2
    assert max(middle(without_adobe_mark(data))) <= 2  # all inks but cyan


def test_cmyk_by_its_profile() -> None:
    """Cyan is Lab 50, 0, 0 by the profile: 119 of 255 in sRGB (Y = 0.18419, V' = 0.46633), and no ink is white."""
    assert max(abs(value - 119) for value in middle(inks(255, icc_profile=ink_profile()))) <= 2
    assert min(middle(inks(0, icc_profile=ink_profile()))) >= 253


def test_cmyk_progressive_and_turned() -> None:
    turned = Image.Exif()
    turned[0x0112] = 6
    assert shrunk(inks(255, progressive=True, exif=turned), 16).size == (12, 16)
