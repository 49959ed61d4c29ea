"""Sources that break things: containers and pictures sent to harm. Each is named, the good one beside it is taken.

Nothing crashes, nothing takes five seconds, bombs run in a process of their own that may have 1.5 GB.
"""

from __future__ import annotations

import base64
import datetime as dt
import io
import os
import resource
import struct
import subprocess
import time
import zipfile
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as pace
from hypothesis import strategies as st
from PIL import Image

from soundmetal.errors import Exit, PhotoError
from soundmetal.photos import arrivals
from soundmetal.photos.exif import PhotoFacts, read
from soundmetal.photos.intake import Intake, take_in
from soundmetal.photos.keywords import from_iptc, from_xmp
from soundmetal.photos.scan import Found, Refused
from soundmetal.photos.sources import packed
from soundmetal.photos.sources.models import Budget, Within

NOON = dt.datetime(2026, 11, 18, 12, 0, tzinfo=dt.UTC)
SCRIPT = "<script>alert('x')</script>"
HEAD = "From: a@example.org\r\nTo: b@example.org\r\nMIME-Version: 1.0\r\n"
MEMORY_BYTES = 1_500_000_000


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


#: What arrives, and whether the good picture inside it can be taken.
ZIPS: dict[str, tuple[Callable[[], bytes], bool]] = {
    "up.zip": (lambda: zipped(("../../evil.jpg", OTHER)), True),
    "up by a side way.zip": (lambda: zipped(("a/b/../../../evil.jpg", OTHER)), True),
    "up the other way.zip": (lambda: zipped(("..\\..\\evil.jpg", OTHER)), True),
    "root.zip": (lambda: zipped(("/etc/evil.jpg", OTHER)), True),
    "drive.zip": (lambda: zipped(("C:\\Windows\\evil.jpg", OTHER)), True),
    "server.zip": (lambda: zipped(("\\\\server\\share\\evil.jpg", OTHER)), True),
    "device.zip": (lambda: zipped(("aux.jpg", OTHER)), True),
    "a nul.zip": (lambda: nul_inside(zipped(("evil#.jpg", OTHER))), True),
    "a nul and a harmless end.zip": (lambda: zipped(("evil#.jpg.txt", OTHER)).replace(b"evil#", b"evil\0"), True),
    "escape.zip": (lambda: zipped(("\x1b[2Jevil.jpg", OTHER)), True),
    "new line.zip": (lambda: zipped(("a\nleft out b.jpg", OTHER)), True),
    "right to left.zip": (lambda: zipped(("\u202egpj.exe", OTHER)), True),
    "four thousand.zip": (lambda: zipped(("x" * 4096 + ".jpg", OTHER)), True),
    "four thousand deep.zip": (lambda: zipped(("x/" * 2048 + "a.jpg", OTHER)), True),
    "dots.zip": (lambda: zipped(("... /evil.jpg", OTHER)), True),
    "same name.zip": (lambda: twice("same1.jpg"), True),
    "encrypted.zip": (lambda: flagged(zipped(("secret.jpg", OTHER)), flag=1), True),
    "strongly encrypted.zip": (lambda: flagged(zipped(("secret.jpg", OTHER)), flag=0x41), True),
    "link.zip": (lambda: zipped(link_to("/etc/passwd")), True),
    "pipe.zip": (lambda: zipped(link_to("", 0o010644)), True),
    "disk device.zip": (lambda: zipped(link_to("", 0o060644)), True),
    "check sum.zip": (lambda: zipped(("evil.jpg", OTHER)).replace(OTHER[-40:-20], b"\0" * 20), True),
    "bzip2.zip": (lambda: zipped(("evil.jpg", OTHER), method=zipfile.ZIP_BZIP2), False),
    "lzma.zip": (lambda: zipped(("evil.jpg", OTHER), method=zipfile.ZIP_LZMA), False),
    "deflate64.zip": (lambda: flagged(zipped(("evil.jpg", OTHER)), method=9), True),
    "unheard of.zip": (lambda: flagged(zipped(("evil.jpg", OTHER)), method=0xFFFF), True),
    "patched.zip": (lambda: flagged(zipped(("evil.jpg", OTHER)), flag=0x20), True),
    "wrong packing.zip": (lambda: flagged(zipped(("evil.jpg", OTHER)), method=8), True),
    "film.zip": (lambda: zipped(("evil.mp4", b"film")), True),
    "page.zip": (lambda: zipped(("evil.jpg", SCRIPT.encode())), True),
    "no zip inside.zip": (lambda: zipped(("evil.zip", b"nothing")), True),
    "cut zip inside.zip": (lambda: zipped(("inner.zip", zipped(("a.jpg", OTHER), good=False)[:-30])), True),
    "archive inside.zip": (lambda: zipped(("evil.7z", b"7z\xbc\xaf\x27\x1c" + b"\0" * 50)), True),
    "empty.zip": (lambda: zipped(good=False), False),
    "head only.zip": (lambda: b"PK\x03\x04", False),
    "zeros.zip": (lambda: b"PK\x03\x04" + b"\0" * 3000, False),
    "ones.zip": (lambda: b"PK\x03\x04" + b"\xff" * 3000, False),
    "random.zip": (lambda: b"PK\x03\x04" + np.random.default_rng(3).bytes(5000), False),
    "text.zip": (lambda: b"this is no ZIP", False),
    "nothing.zip": (lambda: b"", False),
    "no directory.zip": (lambda: end_of(zipped(("evil.jpg", b"")), offset=4_000_000_000), True),
    "directory too long.zip": (lambda: end_of(zipped(("evil.jpg", b"")), size=4_000_000), True),
    "directory of a giant.zip": (lambda: end_of(zipped(("evil.jpg", b"")), size=0xFFFFFFFE), False),
    "directory inside.zip": (lambda: end_of(zipped(("evil.jpg", b"")), offset=3), True),
    "cut at the head.zip": (lambda: zipped()[:20], False),
}

MAILS: dict[str, tuple[Callable[[], bytes], bool]] = {
    "up.eml": (lambda: named("..%2F..%2Fevil.jpg"), True),
    "root.eml": (lambda: named("%2Fetc%2Fevil.jpg"), True),
    "a nul.eml": (lambda: named("evil%00.jpg"), True),
    "new line.eml": (lambda: named("a%0D%0Ab.jpg"), True),
    "right to left.eml": (lambda: named("%E2%80%AEgpj.exe"), True),
    "four thousand.eml": (lambda: named("x" * 4096 + ".jpg"), True),
    "a name of a megabyte.eml": (lambda: named("x" * 1_000_000), True),
    "many parameters.eml": (lambda: mailed(("Content-Type: image/jpeg" + ";a=b" * 100_000, OTHER)), True),
    "a name in many pieces.eml": (
        lambda: mailed(("Content-Type: image/jpeg;" + ";".join(f"\r\n name*{n}=x" for n in range(9999)), OTHER)),
        True,
    ),
    "page.eml": (lambda: mailed(('Content-Type: image/jpeg; name="evil.jpg"', SCRIPT.encode())), True),
    "no picture.eml": (lambda: mailed(("Content-Type: image/png", b"nothing")), True),
    "film.eml": (lambda: mailed(('Content-Type: video/mp4; name="evil.mp4"', b"film")), True),
    "another format.eml": (lambda: mailed(("Content-Type: a/b; name=w.dat", b"\x78\x9f\x3e\x22" * 9)), True),
    "zip with a path.eml": (lambda: mailed(("Content-Type: a/b; name=a.zip", zipped(("../evil.jpg", OTHER)))), True),
    "no boundary.eml": (lambda: f"{HEAD}Content-Type: multipart/mixed\r\n\r\nhello".encode(), False),
    "boundary that is not there.eml": (
        lambda: f"{HEAD}Content-Type: multipart/mixed; boundary=x\r\n\r\nhello".encode(), False,
    ),
    "no base64.eml": (lambda: mailed().replace(b"/9j/", b"\xff\xfe!!"), False),
    "cut in the picture.eml": (lambda: mailed()[:-1200], True),
    "only a head.eml": (lambda: HEAD.encode(), False),
    "bytes behind the head.eml": (lambda: HEAD.encode() + b"\r\n" + np.random.default_rng(4).bytes(4000), False),
    "part of a larger one.eml": (lambda: f"{HEAD}Content-Type: message/partial; id=1\r\n\r\nx".encode(), False),
}  # fmt: skip

PICTURES: dict[str, Callable[[], bytes]] = {
    "empty.jpg": lambda: b"",
    "bomb.png": lambda: (
        b"\x89PNG\r\n\x1a\n"
        + _chunk(b"IHDR", struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0))
        + _chunk(b"IEND")
    ),
    "letter.jpg": lambda: b"%!PS-Adobe-3.0 EPSF-3.0\n",
    "document.png": lambda: b"%PDF-1.7\n",
    "drawing.jpg": lambda: f'<svg xmlns="http://www.w3.org/2000/svg">{SCRIPT}</svg>'.encode(),
    "program.jpg": lambda: b"MZ" + b"\0" * 200,
    "archive.jpg": lambda: b"Rar!\x1a\x07\0" + b"\0" * 40,
    "head.gif": lambda: b"GIF89a",
    "head.webp": lambda: b"RIFF\xff\xff\xff\xffWEBP",
    "head.heic": lambda: b"\0\0\0\x18ftypheic",
    "zeros.heic": lambda: b"\0\0\0\x18ftypheic" + b"\0" * 400,
    "random.tif": lambda: b"II*\0" + np.random.default_rng(2).bytes(5000),
    "directory in a ring.tif": lambda: b"II*\0\x08\0\0\0" + struct.pack("<H", 0) + struct.pack("<L", 8),
    "film.mov": lambda: b"\0\0\0\x14ftypqt  ",
}


def _chunk(name: bytes, data: bytes = b"") -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


@pytest.fixture(autouse=True)
def _in_five_seconds(request: pytest.FixtureRequest) -> Iterator[None]:
    start = time.perf_counter()
    yield
    if not {"hypothesis", "bomb"} & {*request.keywords, *request.fixturenames}:
        assert time.perf_counter() - start < 5


@pytest.fixture
def phone(tmp_path: Path) -> Path:
    """A folder of one good photograph, to which bad company comes."""
    (tmp_path / "phone").mkdir()
    (tmp_path / "phone" / "zz good.jpg").write_bytes(picture(seed=9))
    return tmp_path / "phone"


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


@pytest.mark.parametrize("name", [*ZIPS, *MAILS])
def test_a_bad_container_is_named_and_the_good_picture_in_it_is_taken(phone: Path, name: str) -> None:
    make, takes = (ZIPS | MAILS)[name]
    (phone / name).write_bytes(make())
    done = work(phone)
    assert done.refused
    assert all(bad.name.startswith((name, f"phone/{name}")) for bad in done.refused), done.refused
    good = f"phone/{name.rsplit('.', 1)[0]}/good.jpg"
    assert (good in done.added) is takes, (done.added, done.refused)
    assert not [one for one in done.added if "evil" in one or "secret" in one]


@pytest.mark.parametrize("name", PICTURES)
def test_a_bad_picture_is_named(phone: Path, name: str) -> None:
    (phone / name).write_bytes(PICTURES[name]())
    done = work(phone)
    assert [bad.name for bad in done.refused] == [f"phone/{name}"]
    assert done.added == ("phone/zz good.jpg",)


def test_all_at_once(phone: Path) -> None:
    for name, (make, _takes) in (ZIPS | MAILS).items():
        (phone / name).write_bytes(make())
    for name, draw in PICTURES.items():
        (phone / name).write_bytes(draw())
    done = work(phone)
    told = " ".join(bad.name for bad in done.refused)
    assert [name for name in (*ZIPS, *MAILS, *PICTURES) if name not in told] == []
    good = {f"phone/{name[:-4]}/good.jpg" for name, (_make, takes) in (ZIPS | MAILS).items() if takes}
    assert good <= {*done.added}
    assert len(list((phone.parent / "car/photos/arrived").glob("*.jpg"))) < 6


# --- polyglots and lying suffixes: one thing, kept as it came -------------------------------------------------------

POLYGLOTS: dict[str, Callable[[], bytes]] = {
    "picture and zip.jpg": lambda: GOOD + zipped(("../evil.jpg", OTHER)),
    "picture and page.jpg": lambda: GOOD + f"<html>{SCRIPT}".encode(),
    "picture and document.jpg": lambda: GOOD + b"%PDF-1.7\n%%EOF",
    "page in the comment.jpg": lambda: picture(comment=SCRIPT.encode()),
    "script.gif": lambda: picture("GIF").replace(b"GIF87a", b"GIF89a") + b"/*" + SCRIPT.encode(),
    "picture.zip": lambda: GOOD,
    "picture.eml": lambda: GOOD,
    "picture.exe": lambda: GOOD,
    "picture": lambda: GOOD,
    "picture.jpg.lnk": lambda: GOOD,
}


@pytest.mark.parametrize("name", POLYGLOTS)
def test_a_picture_that_is_more_than_that_is_kept_whole_and_only_as_a_picture(phone: Path, name: str) -> None:
    data = POLYGLOTS[name]()
    (phone / name).write_bytes(data)
    done = work(phone)
    assert done.added == (f"phone/{name}", "phone/zz good.jpg")
    assert done.refused == ()
    kept = {photo.name: photo.path for photo in arrivals.everything(phone.parent / "car").photos}[f"phone/{name}"]
    assert kept.read_bytes() == data
    assert kept.suffix in (".jpg", ".gif")


@pytest.mark.parametrize("name", ["zip.jpg", "zip.eml", "mail.png", "mail.zip", "mail.txt"])
def test_a_container_under_another_name_is_opened_as_what_it_is(phone: Path, name: str) -> None:
    (phone / name).write_bytes(zipped() if name.startswith("zip") else mailed())
    assert work(phone).added == (f"phone/{name[:-4]}/good.jpg", "phone/zz good.jpg")


def test_script_in_tags_stays_text_in_the_list(phone: Path) -> None:
    exif = Image.Exif()
    exif[271], exif[272] = f"=cmd|{SCRIPT}", "\x1b[2J" + "x" * 4000
    (phone / "1.jpg").write_bytes(picture(exif=exif))
    work(phone)
    camera = arrivals.read(phone.parent / "car")[0].camera
    assert camera.startswith(f"=cmd|{SCRIPT} [2Jxxx")
    text = (phone.parent / "car/photos/arrived/arrivals.csv").read_text("utf-8-sig")
    assert "'=cmd|" in text
    assert "\x1b" not in text


# --- the disk -------------------------------------------------------------------------------------------------------


def test_links_and_pipes_on_the_disk(phone: Path) -> None:
    outside = phone.parent / "private"
    outside.mkdir()
    (outside / "secret.jpg").write_bytes(picture(seed=20))
    (outside / "secret.zip").write_bytes(zipped())
    for name, target in {"out.jpg": "secret.jpg", "out.zip": "secret.zip", "out": "."}.items():
        (phone / name).symlink_to(outside / target)
    (phone / "loop.jpg").symlink_to("loop.jpg")
    (phone / "gone.jpg").symlink_to("nowhere.jpg")
    os.mkfifo(phone / "pipe.jpg")
    os.mkfifo(phone / "chat.txt")
    done = work(phone)
    assert done.added == ("phone/zz good.jpg",)
    expected = ["phone/gone.jpg", "phone/loop.jpg", "phone/out", "phone/out.jpg", "phone/out.zip", "phone/pipe.jpg"]
    assert sorted(bad.name for bad in done.refused) == expected


@pytest.mark.parametrize("name", ["aux.jpg", "\u202egpj.exe.jpg", "a\nb.jpg", "c:evil.jpg", "x\\..\\evil.jpg", "a/b"])
def test_names_on_the_disk_go_by_the_same_rules(phone: Path, name: str) -> None:
    (phone / name).parent.mkdir(exist_ok=True)
    (phone / name).write_bytes(GOOD)
    done = work(phone)
    assert len(done.refused) == (name != "a/b")
    assert len(done.added) == 1 + (name == "a/b")


# --- bombs, each in a process of its own ----------------------------------------------------------------------------


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


PNG_HEAD = _chunk(b"IHDR", struct.pack(">IIBBBBB", 9, 9, 8, 2, 0, 0, 0))
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
        lambda: b"\x89PNG\r\n\x1a\n" + PNG_HEAD + _chunk(b"tEXt", b"a\0b") * 12_000_000, "PNG",
    ),
    "chunks behind the pixels.png": (
        lambda: picture("PNG")[:-12] + _chunk(b"tEXt", b"a\0b") * 12_000_000 + _chunk(b"IEND"), "PNG",
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


# --- cuts and flips at random ---------------------------------------------------------------------------------------


def opened(data: bytes) -> tuple[list[bytes], list[str]]:
    """Open a container and read every piece; give the contents, and what was refused. What is raised is a failure."""
    found: list[bytes] = []
    refused: list[str] = []
    for thing in packed.opened(io.BytesIO(data), Within("x/", "x", Budget.full())):
        if isinstance(thing, Refused):
            refused.append(str(thing))
            continue
        try:
            found.append(thing.load())
        except PhotoError as error:
            refused.append(str(error))
    return found, refused


CONTAINERS = {
    "stored": zipped(("a/1.jpg", OTHER), ("b.zip", zipped(("2.jpg", OTHER)))),
    "deflated": zipped(("a/1.jpg", OTHER), ("n.txt", b"9:05 1.jpg rocker " * 9), method=zipfile.ZIP_DEFLATED),
    "mail": mailed(('Content-Disposition: attachment; filename="1.jpg"', OTHER), ("Content-Type: a/b", zipped())),
}


@pytest.mark.parametrize("name", CONTAINERS)
@pytest.mark.parametrize("share", range(1, 20))
def test_cut_at_many_places_what_came_whole_is_taken(name: str, share: int) -> None:
    whole = CONTAINERS[name]
    cut = whole[: len(whole) * share // 20]
    found, refused = opened(cut)
    assert refused
    if name != "mail":  # every member is proved by its check sum; a mail has none
        assert set(found) <= {GOOD, OTHER}
        assert found or share < 10


@pace(max_examples=150)
@given(
    name=st.sampled_from(sorted(CONTAINERS)),
    flips=st.lists(st.tuples(st.integers(0, 10**6), st.integers(0, 7)), min_size=1, max_size=12),
    cut=st.integers(0, 10**6) | st.just(0),
)
def test_any_flip_of_bits_ends_in_pieces_and_names(name: str, flips: list[tuple[int, int]], cut: int) -> None:
    data = bytearray(CONTAINERS[name])
    for at, bit in flips:
        data[at % len(data)] ^= 1 << bit
    start = time.perf_counter()
    opened(bytes(data[: len(data) - cut % len(data)] if cut % 2 else data))
    assert time.perf_counter() - start < 5


@pace(max_examples=150)
@given(
    head=st.sampled_from([b"PK\x03\x04", b"PK\x05\x06", HEAD.encode() + b"\r\n", HEAD.encode()]),
    rest=st.binary(max_size=400),
)
def test_any_bytes_behind_a_known_head(head: bytes, rest: bytes) -> None:
    assert any(opened(head + rest))


FORMATS = {kind: picture(kind, (24, 18)) for kind in ("JPEG", "PNG", "TIFF", "WEBP", "GIF", "HEIF")}


@pytest.mark.parametrize("kind", FORMATS)
@pytest.mark.parametrize("share", range(0, 20, 2))
def test_pictures_cut_at_many_places(tmp_path: Path, kind: str, share: int) -> None:
    """What opens is taken, as it came; what does not is named."""
    phone = tmp_path / "phone"
    phone.mkdir()
    (phone / "zz good.jpg").write_bytes(picture(seed=9))
    cut = FORMATS[kind][: len(FORMATS[kind]) * share // 20]
    (phone / "cut.jpg").write_bytes(cut)
    done = work(phone)
    assert len(done.added) + len(done.refused) == 2


# --- fuzzing the tag reader -----------------------------------------------------------------------------------------


def jpeg_with(*segments: tuple[int, bytes]) -> bytes:
    """A JPEG with marker segments of our own behind its start (ITU-T T.81, B.1.1; from memory)."""
    made = b"".join(struct.pack(">BBH", 0xFF, marker, len(data) + 2) + data for marker, data in segments)
    return GOOD[:2] + made + GOOD[2:]


ENTRY = st.tuples(
    st.sampled_from([0x010E, 0x010F, 0x0110, 0x0112, 0x8769, 0x8825, 0x9003, 0x9011, 0x927C, 1, 2, 3, 4])
    | st.integers(0, 65535),
    st.integers(0, 14),
    st.sampled_from([0, 1, 2, 3, 19, 20, 6, 65536, 2**31, 2**32 - 1]),
    st.binary(min_size=4, max_size=4) | st.integers(0, 120).map(lambda n: struct.pack("<L", n)),
)


def tiff_of(entries: list[tuple[int, int, int, bytes]], after: int, rest: bytes) -> bytes:
    body = b"".join(struct.pack("<HHL", tag, kind, count) + value for tag, kind, count, value in entries)
    return b"II*\0\x08\0\0\0" + struct.pack("<H", len(entries)) + body + struct.pack("<L", after) + rest


@pace(max_examples=200)
@given(
    entries=st.lists(ENTRY, max_size=8), after=st.integers(0, 60) | st.just(2**32 - 1), rest=st.binary(max_size=80)
)
def test_any_exif_gives_facts(entries: list[tuple[int, int, int, bytes]], after: int, rest: bytes) -> None:
    block = tiff_of(entries, after, rest)
    for data in (jpeg_with((0xE1, b"Exif\0\0" + block)), block, picture("PNG", exif=b"Exif\0\0" + block)):
        start = time.perf_counter()
        facts = read(data)
        assert time.perf_counter() - start < 5
        assert isinstance(facts, PhotoFacts)
        assert 1 <= facts.orientation <= 8
        assert facts.latitude is None or abs(facts.latitude) <= 90


@pace(max_examples=150)
@given(data=st.binary(max_size=200), flips=st.lists(st.integers(0, 10**6), max_size=6))
def test_any_keywords_give_facts(data: bytes, flips: list[int]) -> None:
    items = b"\x1c\x02\x19" + struct.pack(">H", len(data)) + data
    iptc = b"Photoshop 3.0\x008BIM\x04\x04\0\0" + struct.pack(">L", len(items)) + items
    packet = b'<x xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:subject>' + data + b"</dc:subject></x>"
    whole = bytearray(jpeg_with((0xED, iptc), (0xE1, b"http://ns.adobe.com/xap/1.0/\0" + packet)))
    for at in flips:
        whole[2 + at % (len(iptc) + len(packet))] ^= 1 << (at % 8)
    facts = read(bytes(whole))
    assert all(word == word.strip() and word.isprintable() for word in facts.keywords)


@given(st.binary(max_size=300) | st.text(max_size=300))
def test_any_packet_is_read_or_refused_in_one_way(packet: bytes | str) -> None:
    try:
        assert isinstance(from_xmp(packet), tuple)
    except ValueError as error:
        assert "XMP" in str(error)  # noqa: PT017 - either is right


@given(st.lists(st.binary(max_size=40), max_size=5), st.binary(max_size=4))
def test_any_iptc_is_read(values: list[bytes], charset: bytes) -> None:
    words = from_iptc({(2, 25): values, (1, 90): charset})
    assert all(word and word.isprintable() for word in words)
