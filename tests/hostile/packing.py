"""Made-up pictures, ZIPs and mails, good and bad, for the tests that break things; `runpy` brings them in."""

from __future__ import annotations

import base64
import datetime as dt
import io
import struct
import zipfile
import zlib
from pathlib import Path

import numpy as np
from PIL import Image

from soundmetal.photos import arrivals
from soundmetal.photos.intake import Intake, take_in
from soundmetal.photos.scan import Found

NOON = dt.datetime(2026, 11, 18, 12, 0, tzinfo=dt.UTC)
SCRIPT = "<script>alert('x')</script>"
HEAD = "From: a@example.org\r\nTo: b@example.org\r\nMIME-Version: 1.0\r\n"


def picture(kind: str = "JPEG", size: tuple[int, int] = (48, 36), seed: int = 7, **options: object) -> bytes:
    pixels = np.random.default_rng(seed).integers(0, 255, (size[1], size[0], 3), dtype="uint8")
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, kind, **options)
    return buffer.getvalue()


GOOD, OTHER = picture(), picture(seed=8)


def zipped(
    *members: tuple[str | zipfile.ZipInfo, bytes], method: int = zipfile.ZIP_STORED, good: bool = True
) -> bytes:
    """A ZIP of what is given, and a good picture after it."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", method) as archive:
        for name, data in (*members, *([("good.jpg", GOOD)] if good else [])):
            archive.writestr(name, data)
    return buffer.getvalue()


def flagged(data: bytes, flag: int = 0, method: int | None = None) -> bytes:
    """Set a flag, or the packing method, of the first member in both of its headers."""
    out = bytearray(data)
    for sign, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        place = data.index(sign) + at
        out[place] |= flag
        if method is not None:
            out[place + 2 : place + 4] = struct.pack("<H", method)
    return bytes(out)


def link_to(target: str, kind: int = 0o120777) -> tuple[zipfile.ZipInfo, bytes]:
    info = zipfile.ZipInfo("link.jpg")
    info.create_system, info.external_attr = 3, kind << 16
    return info, target.encode()


def twice(name: str) -> bytes:
    """A ZIP with two members of one name; the library warns of it, so the second name is written over afterwards."""
    other = name[:-5] + "#.jpg"
    return zipped((name, OTHER), (other, GOOD)).replace(other.encode(), name.encode())


def mailed(*attached: tuple[str, bytes], boundary: str = "=b=") -> bytes:
    """A mail whose parts have the heads that are given."""
    encoding = "Content-Transfer-Encoding: base64"
    parts = [
        f"--{boundary}\r\n{head}\r\n{encoding}\r\n\r\n".encode() + base64.encodebytes(data)
        for head, data in (*attached, ('Content-Type: image/jpeg; name="good.jpg"', GOOD))
    ]
    start = f'{HEAD}Content-Type: multipart/mixed; boundary="{boundary}"\r\n\r\n'.encode()
    return start + b"\r\n".join(parts) + f"\r\n--{boundary}--\r\n".encode()


def named(name: str) -> bytes:
    return mailed((f"Content-Disposition: attachment; filename*=utf-8''{name}", OTHER))


def nul_inside(data: bytes) -> bytes:
    return data.replace(b"evil#.jpg", b"evil\0.jpg")


def end_of(data: bytes, **wrong: int) -> bytes:
    """Write wrong numbers into the record at the end: how many, how long, where the directory is."""
    at = data.rindex(b"PK\x05\x06")
    values = list(struct.unpack_from("<4s4H2LH", data, at))
    for place, value in {"count": 4, "size": 5, "offset": 6}.items():
        values[value] = wrong.get(place, values[value])
    return data[:at] + struct.pack("<4s4H2LH", *values)


def chunk(name: bytes, data: bytes = b"") -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def work(phone: Path) -> Intake:
    """Take everything in; whatever lies beside it, the good photograph must come through, and no file strays."""
    car = phone.parent / "car"
    before = set(phone.parent.rglob("*"))
    done = take_in(car, [phone], arrived=NOON)
    assert "phone/zz good.jpg" in done.added
    for bad in done.refused:
        assert len(str(bad).splitlines()) == 1
        assert len(str(bad)) < 500
        assert str(bad).isprintable()
        assert bad.why
        assert bad.todo
    rows = arrivals.read(car)
    kept = {path.name for path in (car / "photos" / "arrived").iterdir()}
    assert kept == {row.file for row in rows} | {"arrivals.csv"}
    assert {path for path in phone.parent.rglob("*") if not path.is_relative_to(car)} == before
    assert [row.name for row in arrivals.read(car)] == [photo.name for photo in _found(car)]
    assert take_in(car, [phone], arrived=NOON).added == ()
    return done


def _found(car: Path) -> list[Found]:
    order = [row.name for row in arrivals.read(car)]
    return sorted(arrivals.everything(car).photos, key=lambda photo: order.index(photo.name))
