"""What a photograph says of itself: when it was taken, which way is up, by what, where, its keywords and captions.

Reading never stops the work: what is broken is left unknown and named in `problems`.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

import pillow_heif
from PIL import Image

from soundmetal.errors import PhotoError, one_line
from soundmetal.photos import keywords, pictures, rawexif
from soundmetal.photos.keywords import Keywords
from soundmetal.photos.rawexif import RawExif
from soundmetal.photos.settings import settings

_T = TypeVar("_T")
_Position = tuple[float | None, float | None]
_TIME = re.compile(r"(\d{4})[:/-](\d\d)[:/-](\d\d)[ T](\d\d):(\d\d):(\d\d)(?:\.\d+)?")
_OFFSET = re.compile(r"[+-](0\d|1[0-4]):[0-5]\d")


@dataclass(frozen=True)
class PhotoFacts:
    """Facts from the file alone.

    `taken` is the camera's own clock, without zone; `offset` is what the camera adds to UTC (`-05:00`), where told.
    `orientation` is as written in EXIF, 1 to 8, 1 where nothing is said; `width` and `height` in pixels, upright.
    `latitude` and `longitude` in degrees, None without a fix; `has_gps`: a position is written, even a bad one.
    `iptc_keywords` keeps what IPTC says where XMP says something else (XMP is used). `captions` are what people wrote
    under it, IPTC, XMP, EXIF; `notes` say what of the file is not shown, such as further pages.
    """

    taken: dt.datetime | None = None
    offset: str | None = None
    orientation: int = 1
    make: str = ""
    model: str = ""
    has_gps: bool = False
    latitude: float | None = None
    longitude: float | None = None
    width: int = 0
    height: int = 0
    keywords: tuple[str, ...] = ()
    iptc_keywords: tuple[str, ...] = ()
    captions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()


class _Problems(list[str]):
    """Collects what went wrong; each is one short line."""

    def safely(self, what: str, work: Callable[[], _T], default: _T) -> _T:
        """Do the work; name what it raises. Decoders fail on hostile files in ways nobody can list."""
        try:
            return work()
        except PhotoError as error:
            self.append(f"{what}: {error.what}")
        except Exception as error:
            self.append(f"{what}: {one_line(error) or type(error).__name__}"[:200])
        return default


@dataclass(frozen=True)
class _Opened:
    """What one look at the picture itself gives."""

    width: int = 0
    height: int = 0
    exif: RawExif | None = None
    keywords: Keywords = field(default_factory=Keywords)
    notes: tuple[str, ...] = ()


def read(source: Path | bytes) -> PhotoFacts:
    """Read a photograph's facts. Never raises for what stands in the file; an unreadable file gives only problems."""
    problems = _Problems()
    kind = problems.safely("file", lambda: _kind(source), None)
    with pictures.quiet:
        raw = None
        if kind not in ("HEIC", None):  # exifread 3.5 stops at HEIC with an AssertionError
            raw = problems.safely("EXIF", lambda: rawexif.by_exifread(source), None)
        look = _look_heic if kind == "HEIC" else _look
        opened = problems.safely("picture", lambda: look(source, problems), _Opened()) if kind else _Opened()
    return _judged(raw or opened.exif or RawExif(), opened, problems)


def _kind(source: Path | bytes) -> str:
    head = source[: pictures.HEAD_BYTES] if isinstance(source, bytes) else _head(source)
    kind = pictures.kind_of(head)
    if kind is None:
        raise PhotoError("not a picture that can be used here")
    return kind


def _head(path: Path) -> bytes:
    with path.open("rb") as stream:
        return stream.read(pictures.HEAD_BYTES)


def _look(source: Path | bytes, problems: _Problems) -> _Opened:
    with pictures.open_picture(source) as picture:
        width, height = pictures.upright_size(picture)
        exif = problems.safely("EXIF", lambda: rawexif.by_pillow(picture.getexif()), None)
        found = problems.safely("keywords", lambda: keywords.from_picture(picture), Keywords())
        notes: tuple[str, ...] = problems.safely("pages", lambda: pictures.notes(source, picture), ())
    return _Opened(width, height, exif, found, notes)


def _look_heic(source: Path | bytes, problems: _Problems) -> _Opened:
    """Read HEIC without Pillow's door, which rewrites the orientation to 1 because the decoder turns the picture."""
    heif = pillow_heif.open_heif(source)
    exif = problems.safely("EXIF", lambda: _pillow_exif(heif.info.get("exif")), None)
    found = problems.safely("keywords", lambda: keywords.from_blocks(heif.info.get("xmp") or b""), Keywords())
    return _Opened(heif.size[0], heif.size[1], exif, found, pictures.heic_notes(len(heif)))


def _pillow_exif(block: bytes | None) -> RawExif | None:
    if not block:
        return None
    exif = Image.Exif()
    exif.load(block)
    return rawexif.by_pillow(exif)


def _judged(raw: RawExif, opened: _Opened, problems: _Problems) -> PhotoFacts:
    taken = problems.safely("capture time", lambda: capture_time(raw.taken), None)
    nowhere: _Position = (None, None)
    latitude, longitude = problems.safely("position", lambda: position(raw.latitude, raw.longitude), nowhere)
    orientation = 1 if raw.orientation is None else raw.orientation
    if not 1 <= orientation <= 8:
        problems.append(f"orientation: {orientation} is none of 1 to 8, taken as 1")
        orientation = 1
    return PhotoFacts(
        taken=taken,
        offset=raw.offset if _OFFSET.fullmatch(raw.offset) else None,
        orientation=orientation,
        make=raw.make,
        model=raw.model,
        has_gps=raw.has_gps,
        latitude=latitude,
        longitude=longitude,
        width=opened.width,
        height=opened.height,
        keywords=opened.keywords.words,
        iptc_keywords=opened.keywords.disagree,
        captions=_captions(raw, opened),
        notes=opened.notes,
        problems=tuple(dict.fromkeys(problems)),
    )


def _captions(raw: RawExif, opened: _Opened) -> tuple[str, ...]:
    longest = settings().tags.caption_letters
    texts = (text[:longest].strip() for text in (*opened.keywords.captions, raw.description))
    return tuple(dict.fromkeys(text for text in texts if text))


def capture_time(text: str) -> dt.datetime | None:
    """Read `2019:04:04 10:04:12`; blanks and noughts mean unknown (Exif 2.32, 4.6.5, from memory).

    Raises ValueError for anything else that is no time.

    >>> capture_time("2019:04:04 10:04:12").isoformat(), capture_time("0000:00:00 00:00:00")
    ('2019-04-04T10:04:12', None)
    """
    if not text.strip(" :0-/T"):
        return None
    match = _TIME.fullmatch(text.strip())
    if not match:
        raise ValueError(f'"{text[:40]}" is no date and time')
    return dt.datetime.fromisoformat("{}-{}-{}T{}:{}:{}".format(*match.groups()))


def position(latitude: float | None, longitude: float | None) -> _Position:
    """Keep a position only when both angles can be true; 0, 0 is what a receiver without a fix writes.

    Raises ValueError for an angle that no place has.

    >>> position(47.6, -122.3), position(0.0, 0.0), position(47.6, None)
    ((47.6, -122.3), (None, None), (None, None))
    """
    if latitude is None or longitude is None or (latitude == 0 and longitude == 0):
        return None, None
    if abs(latitude) > 90:
        raise ValueError(f"latitude {latitude:g} is above 90 degrees")
    if abs(longitude) > 180:
        raise ValueError(f"longitude {longitude:g} is above 180 degrees")
    return latitude, longitude
