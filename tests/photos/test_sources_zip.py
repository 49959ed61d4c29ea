"""Pictures out of ZIPs: names, captions, nested ones, and what other programs write."""

from __future__ import annotations

import hashlib
import io
import struct
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from soundmetal.photos.arrivals import everything
from soundmetal.photos.intake import Intake
from soundmetal.photos.sources.zips import name_of

Take = Callable[..., Intake]
Draw = Callable[..., bytes]
Pack = Callable[..., Path]


def packed(members: dict[str, bytes]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return buffer.getvalue()


def streamed(members: dict[str, bytes], method: int = 8) -> bytes:
    """A ZIP as written where sizes are not known beforehand (application note 6.3.10, 4.3.9), without directory."""
    out = bytearray()
    for name, data in members.items():
        deflate = zlib.compressobj(9, zlib.DEFLATED, -15)
        body = deflate.compress(data) + deflate.flush() if method == 8 else data
        out += struct.pack("<4s5H3L2H", b"PK\x03\x04", 20, 0x808, method, 0, 0, 0, 0, 0, len(name.encode()), 0)
        out += name.encode() + body
        out += struct.pack("<4s3L", b"PK\x07\x08", zlib.crc32(data), len(body), len(data))
    return bytes(out)


def test_a_zip_gives_its_pictures_under_its_own_name(
    take: Take, car: Path, tmp_path: Path, draw: Draw, pack: Pack
) -> None:
    first, second = draw(), draw((30, 20), "PNG")
    source = pack({"rocker.left.outer/1.jpg": first, "readme.md": b"x", "close/2": second}, tmp_path / "today.zip")
    done = take(source)
    assert done.added == ("today/rocker.left.outer/1.jpg", "today/close/2")
    assert done.refused == ()
    found = {photo.name: photo for photo in everything(car).photos}
    assert found["today/rocker.left.outer/1.jpg"].path.read_bytes() == first
    assert found["today/close/2"].kind == "PNG"
    before = {path: path.read_bytes() for path in car.rglob("*") if path.is_file()}
    assert take(source).already == done.added
    assert {path: path.read_bytes() for path in car.rglob("*") if path.is_file()} == before


def test_a_zip_is_told_by_content_whatever_it_is_called(take: Take, phone: Path, draw: Draw, pack: Pack) -> None:
    pack({"1.jpg": draw()}, phone / "holiday.jpg")
    pack({"2.jpg": draw((20, 20))}, phone / "noname")
    (phone / "picture.zip").write_bytes(draw((10, 10)))
    assert take(phone).added == ("phone/holiday/1.jpg", "phone/noname/2.jpg", "phone/picture.zip")


def test_a_zip_in_a_zip(take: Take, car: Path, tmp_path: Path, draw: Draw, pack: Pack) -> None:
    inner = packed({"1.jpg": draw()})
    done = take(pack({"more/inner.zip": inner, "2.jpg": draw((20, 20))}, tmp_path / "outer.zip"))
    assert done.added == ("outer/more/inner/1.jpg", "outer/2.jpg")
    assert "outer.zip > more/inner.zip" in (car / "photos/arrived/arrivals.csv").read_text("utf-8-sig")


def test_too_deep_a_nest_is_refused_and_what_lies_beside_is_taken(
    take: Take, tmp_path: Path, draw: Draw, pack: Pack
) -> None:
    data = draw()
    for depth in range(5):
        data = packed({f"{depth}.zip" if depth else "deep.jpg": data, f"beside {depth}.jpg": draw((20 + depth, 9))})
    (tmp_path / "nest.zip").write_bytes(data)
    done = take(tmp_path / "nest.zip")
    assert [name.rsplit("/", 1)[1] for name in done.added] == ["beside 2.jpg", "beside 3.jpg", "beside 4.jpg"]
    assert [bad.why for bad in done.refused] == ["is packed more than 3 times"]


def test_what_systems_strew_into_a_zip_is_passed_over(take: Take, tmp_path: Path, draw: Draw, pack: Pack) -> None:
    members = {"a/1.jpg": draw(), "__MACOSX/a/._1.jpg": b"\0\5\x16\7", "a/.hidden.jpg": draw((9, 9)), "a/": b""}
    done = take(pack(members, tmp_path / "t.zip"))
    assert (done.added, done.refused) == (("t/a/1.jpg",), ())


def test_names_of_other_systems(take: Take, tmp_path: Path, draw: Draw, pack: Pack) -> None:
    done = take(pack({"Piso\\Piñón .jpg": draw(), "n\u0303.jpg": draw((9, 9))}, tmp_path / "t.zip"))
    assert done.added == ("t/Piso/Piñón .jpg", "t/ñ.jpg")


def test_utf_8_that_is_not_declared_is_read_as_such_and_code_page_437_as_well() -> None:
    assert name_of("piñón.jpg".encode().decode("cp437"), 0) == "piñón.jpg"
    assert name_of("pi±¢n.jpg", 0) == "pi±¢n.jpg"
    assert name_of("piñón.jpg", 0x800) == "piñón.jpg"


def test_a_log_inside_gives_captions(take: Take, car: Path, tmp_path: Path, draw: Draw, pack: Pack) -> None:
    log = b"\xef\xbb\xbf18/11/26, 9:05 - Ana: IMG_1.jpg\nthe left rocker\n18/11/26, 9:06 - Ana: hello\n"
    take(pack({"chat.txt": log, "IMG_1.jpg": draw(), "IMG_2.jpg": draw((9, 9))}, tmp_path / "chat.zip"))
    assert [photo.caption for photo in everything(car).photos] == ["18/11/26, 9:05 - Ana: the left rocker", ""]


def test_a_zip_without_pictures_says_so(take: Take, tmp_path: Path, pack: Pack) -> None:
    for name, members in (("empty.zip", {}), ("texts.zip", {"a.txt": b"x"})):
        (bad,) = take(pack(members, tmp_path / name)).refused
        assert (bad.name, bad.why) == (name, "holds no photograph")


def test_an_archive_of_another_kind_is_named_even_in_a_folder(take: Take, phone: Path, draw: Draw) -> None:
    (phone / "1.jpg").write_bytes(draw())
    (phone / "more.rar").write_bytes(b"Rar!\x1a\x07\x01\0" + b"\0" * 40)
    (phone / "more.tgz").write_bytes(b"\x1f\x8b\x08\0" + b"\0" * 40)
    done = take(phone)
    assert done.added == ("phone/1.jpg",)
    assert [(bad.name, bad.todo) for bad in done.refused] == [
        (f"phone/more.{suffix}", "Unpack it on your computer and add the folder.") for suffix in ("rar", "tgz")
    ]


@pytest.mark.parametrize("method", [zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED])
def test_a_zip_that_is_cut_off_gives_what_is_whole(
    take: Take, tmp_path: Path, draw: Draw, pack: Pack, method: int
) -> None:
    pictures = {f"{number}.jpg": draw((100 + number, 80)) for number in range(4)}
    whole = pack(pictures, tmp_path / "w.zip", compression=method).read_bytes()
    directory = whole.index(b"PK\x01\x02")
    (tmp_path / "cut.zip").write_bytes(whole[: directory - 10])
    done = take(tmp_path / "cut.zip")
    assert done.added == ("cut/0.jpg", "cut/1.jpg", "cut/2.jpg")
    assert [bad.name for bad in done.refused] == ["cut.zip > 3.jpg", "cut.zip"]
    assert done.refused[1].todo == "Ask for it again; what could be read was taken."


def test_a_streamed_zip_without_its_directory_gives_all(take: Take, car: Path, tmp_path: Path, draw: Draw) -> None:
    pictures = {"1.jpg": draw(), "notes.txt": b"x" * 3000, "a/2.png": draw((9, 9), "PNG")}
    (tmp_path / "s.zip").write_bytes(streamed(pictures))
    done = take(tmp_path / "s.zip")
    assert done.added == ("s/1.jpg", "s/a/2.png")
    kept = {photo.sha256 for photo in everything(car).photos}
    assert kept == {hashlib.sha256(pictures[name]).hexdigest() for name in ("1.jpg", "a/2.png")}


def test_a_streamed_member_that_is_stored_has_no_end_that_can_be_told(take: Take, tmp_path: Path, draw: Draw) -> None:
    (tmp_path / "s.zip").write_bytes(streamed({"1.jpg": draw()}, method=0))
    assert take(tmp_path / "s.zip").refused[0].why == "its size is not known"


def test_one_file_of_many_names(take: Take, car: Path, tmp_path: Path, draw: Draw, pack: Pack) -> None:
    """The same photograph comes by phone and again in a ZIP: one file, a row for each name."""
    (tmp_path / "a.jpg").write_bytes(draw())
    done = take(tmp_path / "a.jpg", pack({"b.jpg": draw()}, tmp_path / "z.zip"))
    assert done.added == ("a.jpg", "z/b.jpg")
    assert len(list((car / "photos/arrived").glob("*.jpg"))) == 1
