"""Two readers of EXIF, one result: exifread for most files, Pillow for HEIC and wherever exifread finds nothing.

Tag numbers: CIPA DC-008 (Exif 2.32) and TIFF 6.0, from memory; the tests compare with an independent reader.
"""

from __future__ import annotations

import io
import logging
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import exifread
from PIL import Image

# It reports every odd tag through the log; what matters here becomes a problem of the photograph instead.
logging.getLogger("exifread").setLevel(logging.CRITICAL + 1)

_MAKE, _MODEL, _ORIENTATION, _EXIF_IFD, _GPS_IFD = 271, 272, 274, 0x8769, 0x8825
_DESCRIPTION = 270
_TAKEN, _OFFSET = 0x9003, 0x9011
#: Degrees, minutes and seconds to degrees.
_SEXAGESIMAL: Final = (1.0, 1 / 60, 1 / 3600)


@dataclass(frozen=True)
class RawExif:
    """What stands in the file, as text and numbers, not yet judged. Angles in degrees, south and west negative."""

    taken: str = ""
    offset: str = ""
    orientation: int | None = None
    make: str = ""
    model: str = ""
    has_gps: bool = False
    latitude: float | None = None
    longitude: float | None = None
    description: str = ""


def by_exifread(source: Path | bytes) -> RawExif | None:
    """Read with exifread; None where it finds no EXIF. May raise anything on a broken file."""
    with io.BytesIO(source) if isinstance(source, bytes) else source.open("rb") as stream:
        tags: Mapping[str, Any] = exifread.process_file(stream, details=False)
    values = {name: tag.values for name, tag in tags.items() if hasattr(tag, "values")}
    if not any(name.startswith(("Image ", "EXIF ", "GPS ")) for name in values):
        return None
    return _raw(
        values.get,
        {
            "taken": "EXIF DateTimeOriginal",
            "offset": "EXIF OffsetTimeOriginal",
            "orientation": "Image Orientation",
            "make": "Image Make",
            "model": "Image Model",
            "description": "Image ImageDescription",
            "latitude": "GPS GPSLatitude",
            "south": "GPS GPSLatitudeRef",
            "longitude": "GPS GPSLongitude",
            "west": "GPS GPSLongitudeRef",
        },
    )


def by_pillow(exif: Image.Exif) -> RawExif:
    """Read with Pillow. May raise anything on a broken block."""
    inner, gps = exif.get_ifd(_EXIF_IFD), exif.get_ifd(_GPS_IFD)
    flat: dict[Any, Any] = {**exif, **inner, **{("gps", tag): value for tag, value in gps.items()}}
    return _raw(
        flat.get,
        {
            "taken": _TAKEN,
            "offset": _OFFSET,
            "orientation": _ORIENTATION,
            "make": _MAKE,
            "model": _MODEL,
            "description": _DESCRIPTION,
            "latitude": ("gps", 2),
            "south": ("gps", 1),
            "longitude": ("gps", 4),
            "west": ("gps", 3),
        },
    )


def _raw(get: Callable[[Any], Any], tags: Mapping[str, Any]) -> RawExif:
    latitude = _degrees(get(tags["latitude"]), text(get(tags["south"])), "NS")
    longitude = _degrees(get(tags["longitude"]), text(get(tags["west"])), "EW")
    return RawExif(
        taken=text(get(tags["taken"])),
        offset=text(get(tags["offset"])),
        orientation=_whole(get(tags["orientation"])),
        make=text(get(tags["make"])),
        model=text(get(tags["model"])),
        has_gps=get(tags["latitude"]) is not None or get(tags["longitude"]) is not None,
        latitude=latitude,
        longitude=longitude,
        description=_joined(get(tags["description"])),
    )


def text(value: object) -> str:
    r"""Make plain text of a tag: up to the first NUL, no control characters, no blanks round it.

    >>> text("SAMSUNG   \0"), text(b"Caf\xe9"), text(None)
    ('SAMSUNG', 'Café', '')
    """
    if value is None:
        return ""
    until_nul = (_decoded(value) if isinstance(value, bytes) else str(value)).split("\0", 1)[0]
    return "".join(c for c in until_nul if c.isprintable()).strip()


def _joined(value: object) -> str:
    """Make plain text of a tag that may hold several lines."""
    lines = value.splitlines() if isinstance(value, (str, bytes)) else (value,)
    return " ".join(text(line) for line in lines).strip()


def _decoded(value: bytes) -> str:
    try:
        return value.decode("utf-8")
    except UnicodeDecodeError:
        return value.decode("latin-1")


def _whole(value: object) -> int | None:
    if isinstance(value, (list, tuple)):
        value = value[0] if value else None
    return value if isinstance(value, int) and not isinstance(value, bool) else None


def _degrees(value: object, reference: str, both: str) -> float | None:
    """Join degrees, minutes, seconds; None where a part is missing, no number, or the hemisphere is not told."""
    if not isinstance(value, Sequence) or isinstance(value, (str, bytes)) or not 1 <= len(value) <= 3:
        return None
    if reference[:1].upper() not in both or not reference:
        return None
    try:
        parts = [float(part) for part in value]
    except (ZeroDivisionError, TypeError, ValueError, OverflowError):
        return None
    angle = sum(part * weight for part, weight in zip(parts, _SEXAGESIMAL, strict=False))
    if not math.isfinite(angle):
        return None
    return -angle if reference[:1].upper() == both[1] else angle
