"""Sources that break things: containers and pictures sent to harm. Each is named, the good one beside it is taken.

Nothing crashes, and nothing takes five seconds. Bombs have a file of their own, and so has chance.
"""

from __future__ import annotations

import os
import runpy
import struct
import time
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from soundmetal.photos import arrivals

MAKE = runpy.run_path(str(Path(__file__).with_name("packing.py")))
SCRIPT = MAKE["SCRIPT"]
HEAD = MAKE["HEAD"]
GOOD = MAKE["GOOD"]
OTHER = MAKE["OTHER"]
picture = MAKE["picture"]
zipped = MAKE["zipped"]
flagged = MAKE["flagged"]
link_to = MAKE["link_to"]
twice = MAKE["twice"]
mailed = MAKE["mailed"]
named = MAKE["named"]
nul_inside = MAKE["nul_inside"]
end_of = MAKE["end_of"]
chunk = MAKE["chunk"]
work = MAKE["work"]

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
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)) + chunk(b"IEND")
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


@pytest.fixture(autouse=True)
def _in_five_seconds() -> Iterator[None]:
    start = time.perf_counter()
    yield
    assert time.perf_counter() - start < 5


@pytest.fixture
def phone(tmp_path: Path) -> Path:
    """A folder of one good photograph, to which bad company comes."""
    (tmp_path / "phone").mkdir()
    (tmp_path / "phone" / "zz good.jpg").write_bytes(picture(seed=9))
    return tmp_path / "phone"


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
