"""Small files that would become huge ones: each in a process of its own that may have 1.5 GB and five seconds."""

from __future__ import annotations

import io
import resource
import runpy
import struct
import subprocess
import time
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from soundmetal.errors import Exit

MAKE = runpy.run_path(str(Path(__file__).with_name("packing.py")))
HEAD = MAKE["HEAD"]
picture = MAKE["picture"]
zipped = MAKE["zipped"]
mailed = MAKE["mailed"]
chunk = MAKE["chunk"]
MEMORY_BYTES = 1_500_000_000


@pytest.fixture
def phone(tmp_path: Path) -> Path:
    """A folder of one good photograph, to which bad company comes."""
    (tmp_path / "phone").mkdir()
    (tmp_path / "phone" / "zz good.jpg").write_bytes(picture(seed=9))
    return tmp_path / "phone"


def jpeg_bomb(size_bytes: int) -> bytes:
    """A picture's head and then nothing but noughts, packed."""
    buffer = io.BytesIO()
    with (
        zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive,
        archive.open("b.jpg", "w") as out,
    ):
        out.write(b"\xff\xd8\xff\xe0")
        for _ in range(size_bytes // 10_000_000):
            out.write(bytes(10_000_000))
    return buffer.getvalue()


def renamed(bomb: bytes, count: int) -> bytes:
    """The same packed member many times under many names."""
    with zipfile.ZipFile(io.BytesIO(bomb)) as archive:
        info = archive.infolist()[0]
    body = bomb[info.header_offset + 30 + len(info.filename) :][: info.compress_size]
    out, directory = bytearray(), bytearray()
    for number in range(count):
        name = f"{number:05}.jpg".encode()
        common = struct.pack("<5H3L2H", 20, 0, 8, 0, 33, info.CRC, len(body), info.file_size, len(name), 0)
        directory += (
            struct.pack("<4sH", b"PK\x01\x02", 20) + common + struct.pack("<3H2L", 0, 0, 0, 0, len(out)) + name
        )
        out += b"PK\x03\x04" + common + name + body
    told = count % 65536
    end = struct.pack("<4s4H2LH", b"PK\x05\x06", 0, 0, told, told, len(directory), len(out), 0)
    return bytes(out + directory + end)


def overlapping(count: int, kernel: bytes) -> bytes:
    """Members that quote each other, so that all share one packed kernel: a bomb that no nest is needed for.

    Each member's data is a stored block that holds the next one's header, and then the next one's data.
    """
    size = len(zlib.decompress(kernel, -15))
    body, files, inner = kernel, [], zlib.decompress(kernel, -15)
    for number in reversed(range(count)):
        name = f"{number:05}.jpg".encode()
        header = struct.pack(
            "<4s5H3L2H", b"PK\x03\x04", 20, 0, 8, 0, 33, zlib.crc32(inner), len(body), size, len(name), 0
        )
        files.append((name, header + name, len(body), size, zlib.crc32(inner)))
        quoted = header + name
        body = struct.pack("<BHH", 0, len(quoted), len(quoted) ^ 0xFFFF) + quoted + body
        inner, size = quoted + inner, size + len(quoted)
    files.reverse()
    out, directory, offset = bytearray(files[0][1]) + body[5 + len(files[0][1]) :], bytearray(), 0
    for name, header, packed_bytes, unpacked, crc in files:
        directory += struct.pack("<4s6H3L5H2L", b"PK\x01\x02", 20, 20, 0, 8, 0, 33, crc, packed_bytes, unpacked,
                                 len(name), 0, 0, 0, 0, 0, offset) + name  # fmt: skip
        offset += len(header) + 5
    end = struct.pack("<4s4H2LH", b"PK\x05\x06", 0, 0, count, count, len(directory), len(out), 0)
    return bytes(out + directory + end)


def many(count: int) -> bytes:
    return renamed(jpeg_bomb(0), count)


def deflated(data: bytes) -> bytes:
    pack = zlib.compressobj(9, zlib.DEFLATED, -15)
    return pack.compress(data) + pack.flush()


def nested_zips(levels: int, wide: int) -> bytes:
    data = jpeg_bomb(50_000_000)
    for _ in range(levels):
        data = zipped(*[(f"{n}.zip", data) for n in range(wide)], method=zipfile.ZIP_DEFLATED, good=False)
    return data


def nested_mails(levels: int) -> bytes:
    return f"{HEAD}Content-Type: message/rfc822\r\n\r\n".encode() * levels + b"end"


def nested_multiparts(levels: int) -> bytes:
    heads = (f"Content-Type: multipart/mixed; boundary=b{n}\r\n\r\n--b{n}\r\n" for n in range(levels))
    return HEAD.encode() + "".join(heads).encode()


PNG_HEAD = chunk(b"IHDR", struct.pack(">IIBBBBB", 9, 9, 8, 2, 0, 0, 0))
GIF_HEAD = b"GIF89a\1\0\1\0\0\0\0"


def scans(count: int) -> bytes:
    """A progressive picture whose last scan comes again and again: each costs a walk over the whole picture."""
    data = picture(size=(4000, 3000), progressive=True, quality=1)
    last = data.rindex(b"\xff\xda")
    return data[:last] + data[last:-2] * count + data[-2:]


BOMBS: dict[str, tuple[Callable[[], bytes], str]] = {
    "one gigabyte of noughts.zip": (lambda: jpeg_bomb(1_000_000_000), "grows to more than"),
    "a thousand of them.zip": (lambda: renamed(jpeg_bomb(100_000_000), 300), "GB when unpacked"),
    "overlapping.zip": (lambda: overlapping(200, deflated(b"\xff\xd8\xff\xe0" + bytes(20_000_000))), "when unpacked"),
    "too many.zip": (lambda: many(20_000), "holds more than 10000 files"),
    "a directory of millions.zip": (lambda: many(120_000), "holds more than 10000 files"),
    "nested.zip": (lambda: nested_zips(3, 10), "is packed more than 3 times"),
    "wide.zip": (lambda: nested_zips(2, 16), "GB when unpacked"),
    "too heavy.eml": (lambda: HEAD.encode() + b"\r\n" + (b"x" * 75 + b"\r\n") * 1_310_000, "larger than 100 MB"),
    "lines.eml": (lambda: HEAD.encode() + b"\r\n" + b"x\r\n" * 30_000_000, "more lines than a mail has"),
    "mails in mails.eml": (lambda: nested_mails(5000), "without end"),
    "parts in parts.eml": (lambda: nested_multiparts(5000), "without end"),
    "thirty thousand parts.eml": (
        lambda: f"{HEAD}Content-Type: multipart/mixed; boundary=b\r\n\r\n".encode() + b"--b\r\n\r\nx\r\n" * 30_000,
        "holds more than 10000 files",
    ),
    "bomb in a mail.eml": (lambda: mailed(("Content-Type: a/b; name=b.zip", jpeg_bomb(500_000_000))), "grows to"),
    "a picture of noughts.jpg": (lambda: b"\xff\xd8\xff\xe0" + bytes(190_000_000), "holds nothing after that"),
    "too heavy.jpg": (lambda: b"\xff\xd8\xff\xe0" + bytes(201_000_000), "201 MB is more than 200 MB"),
    "a comment of noughts.jpg": (lambda: b"\xff\xd8" + b"\xff\xfe\0\2" * 45_000_000, "more than 100000 parts"),
    "chunks without an end.png": (
        lambda: b"\x89PNG\r\n\x1a\n" + PNG_HEAD + chunk(b"tEXt", b"a\0b") * 12_000_000, "PNG",
    ),
    "chunks behind the pixels.png": (
        lambda: picture("PNG")[:-12] + chunk(b"tEXt", b"a\0b") * 12_000_000 + chunk(b"IEND"), "PNG",
    ),
    "blocks without an end.gif": (lambda: GIF_HEAD + b"!\xfe\1a\0" * 36_000_000, "GIF"),
    "pictures of a pixel.gif": (lambda: GIF_HEAD + b",\0\0\0\0\1\0\1\0\0\2\2D\1\0" * 12_000_000, ""),
    "a thousand scans.jpg": (lambda: scans(2000), "scans"),
    "noughts without an end.heic": (lambda: b"\0\0\0\x18ftypheic" + bytes(100_000_000), "HEIC"),
}  # fmt: skip


def _limited() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))


@pytest.mark.parametrize("bomb", BOMBS)
def test_a_bomb_is_named_in_time_and_in_little_memory(
    small_inspection: Path,
    phone: Path,
    soundmetal_command: Callable[..., subprocess.CompletedProcess[str]],
    bomb: str,
) -> None:
    car, name = small_inspection, bomb
    make, why = BOMBS[name]
    (phone / name).write_bytes(make())
    start = time.perf_counter()
    done = soundmetal_command("add", car, phone, before=_limited)
    took = time.perf_counter() - start
    assert done.returncode == (Exit.INCOMPLETE if why else Exit.OK), done.stderr
    assert "Traceback" not in done.stderr
    assert (name in done.stderr) is bool(why)
    assert why in done.stderr
    assert "added" in done.stdout
    assert "phone/zz good.jpg" in (car / "photos/arrived/arrivals.csv").read_text("utf-8-sig")
    assert took < 5
    (phone / name).unlink()
