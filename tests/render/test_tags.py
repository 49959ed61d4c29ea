"""The tags of a picture, read by readers that did not write them."""

from __future__ import annotations

import datetime as dt
import io

import exifread
import pytest
from defusedxml import ElementTree
from PIL import Image, IptcImagePlugin

from render import tags

TAKEN = dt.datetime(2026, 11, 18, 9, 12, 7, tzinfo=dt.timezone(dt.timedelta(hours=-7)))
WORDS = ("estribo izquierdo interior", "rust")


def _jpeg(**more: bytes) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (64, 48), (90, 60, 40)).save(out, "JPEG", **more)
    return out.getvalue()


def _read(place: tuple[float, float] | None, orientation: int = 6) -> dict[str, object]:
    written = tags.exif(TAKEN, orientation, (64, 48), place).tobytes()
    return exifread.process_file(io.BytesIO(_jpeg(exif=written)), details=False)


def test_a_second_reader_finds_telephone_time_and_turn() -> None:
    read = _read(None)
    assert (str(read["Image Make"]), str(read["Image Model"])) == ("Tindertown", "T4 Field")
    assert str(read["EXIF DateTimeOriginal"]) == "2026:11:18 09:12:07"
    assert str(read["EXIF OffsetTimeOriginal"]) == "-07:00"
    assert read["Image Orientation"].values == [6]
    assert (read["EXIF ExifImageWidth"].values, read["EXIF ExifImageLength"].values) == ([64], [48])
    assert not [name for name in read if name.startswith("GPS")]


@pytest.mark.parametrize("place", [(28.5, -145.25), (-31.75, 118.5)])
def test_a_second_reader_finds_the_place(place: tuple[float, float]) -> None:
    found = exifread.utils.get_gps_coords(_read(place))
    assert found == pytest.approx(place, abs=1e-5)


def test_iptc_goes_behind_the_leading_segments() -> None:
    jpeg = b"\xff\xd8" + b"\xff\xe0\x00\x04ab" + b"\xff\xe1\x00\x03c" + b"\xff\xdb\x00\x02"
    tagged = tags.with_iptc(jpeg, ("rust",))
    assert tagged.startswith(jpeg[:13] + b"\xff\xed")
    assert tagged.endswith(b"\xff\xdb\x00\x02")


@pytest.mark.parametrize("words", [WORDS, WORDS[:1]])
def test_iptc_keywords_are_read_back(words: tuple[str, ...]) -> None:
    with Image.open(io.BytesIO(tags.with_iptc(_jpeg(), words))) as image:
        found = IptcImagePlugin.getiptcinfo(image)
        image.load()
    assert found is not None
    read = found[(2, 25)]
    assert tuple(word.decode() for word in (read if isinstance(read, list) else [read])) == words


def test_xmp_is_whole_and_holds_the_keywords_as_they_are() -> None:
    words = ("portón trasero", "hinge & seal < rust")
    with Image.open(io.BytesIO(_jpeg(xmp=tags.xmp(words)))) as image:
        packet = image.info["xmp"]
    items = ElementTree.fromstring(packet).iter("{http://www.w3.org/1999/02/22-rdf-syntax-ns#}li")
    assert tuple(item.text for item in items) == words
