"""Containers, pictures and tags cut and changed at random: they end in photographs and names, never in a crash."""

from __future__ import annotations

import io
import runpy
import struct
import time
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import settings as pace
from hypothesis import strategies as st

from soundmetal.errors import PhotoError
from soundmetal.photos.exif import PhotoFacts, read
from soundmetal.photos.keywords import from_iptc, from_xmp
from soundmetal.photos.scan import Refused
from soundmetal.photos.sources import packed
from soundmetal.photos.sources.models import Budget, Within

MAKE = runpy.run_path(str(Path(__file__).with_name("packing.py")))
HEAD = MAKE["HEAD"]
GOOD = MAKE["GOOD"]
OTHER = MAKE["OTHER"]
picture = MAKE["picture"]
zipped = MAKE["zipped"]
mailed = MAKE["mailed"]
work = MAKE["work"]


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
