"""From renders to files as a telephone writes them: developed, turned, tagged, packed; and their truth. No `bpy`."""

from __future__ import annotations

import dataclasses
import datetime as dt
import io
import json
from pathlib import Path
from typing import Any

import numpy as np
import pillow_heif
from PIL import Image

from . import phone, truth
from .album import CARS, Shot
from .tags import PHONES, exif, with_iptc, xmp

START = dt.datetime(2026, 11, 18, 9, 12, 7, tzinfo=dt.timezone(dt.timedelta(hours=-7)))
#: A file is stepped down in quality until it is smaller than this, in bytes.
ROOM = 345_000
CHECKOUT = Path(__file__).resolve().parents[2]
#: Where each car's photographs lie in the checkout.
PHOTOS = {"pickup": CHECKOUT / "sample_inspection" / "photos", "coupe": CHECKOUT / "sample_photos_only" / "photos"}
_STORED = {3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}


def as_stored(image: Image.Image, orientation: int) -> Image.Image:
    """The pixels as the telephone stores them for an orientation tag (1, 3, 6 or 8)."""
    return image.transpose(_STORED[orientation]) if orientation in _STORED else image


def taken_at(shot: Shot) -> dt.datetime:
    """When a shot was taken: its minute, and some seconds that no clockwork has."""
    return START + dt.timedelta(seconds=round(shot.minute * 60) + int(shot.minute) * 17 % 50)


def packed(shot: Shot, image: Image.Image, room: int = ROOM, car: str = "pickup") -> bytes:
    """The bytes of one file: turned as the telephone was held, tagged."""
    stored = as_stored(image, shot.orientation)
    written = exif(taken_at(shot), shot.orientation, stored.size, shot.place, PHONES[car])
    tags: dict[str, Any] = {"exif": written.tobytes()}
    if shot.xmp:
        tags["xmp"] = xmp(shot.xmp)
    heic = shot.file.lower().endswith(".heic")
    for quality in range(48 if heic else 90, 20, -3):
        out = io.BytesIO()
        if heic:
            pillow_heif.from_pillow(stored).save(out, quality=quality, **tags)
        else:
            stored.save(out, "JPEG", quality=quality, optimize=True, progressive=True, subsampling="4:2:0", **tags)
        if out.tell() <= room:
            break
    return with_iptc(out.getvalue(), shot.iptc) if shot.iptc else out.getvalue()


def size_of(light: np.ndarray, pixels: int) -> tuple[int, int]:
    """Height and width of the picture that is made of a render of its own scale, a little larger all round."""
    if not pixels <= max(light.shape) <= 1.3 * pixels:
        raise ValueError(f"a render of {max(light.shape)} pixels makes no picture of {pixels}: give its own --pixels")
    return (pixels, pixels * 3 // 4) if light.shape[0] > light.shape[1] else (pixels * 3 // 4, pixels)


def picture(raw: Path, take: phone.Take, pixels: int) -> Image.Image:
    """Develop a render."""
    light = np.load(raw)["light"].astype(np.float32)
    return Image.fromarray(phone.develop(light, size_of(light, pixels), take))


def seen(raw: Path, pixels: int) -> truth.Seen:
    """The truth on the picture's own pixels."""
    passes = np.load(raw)["truth"]
    return truth.Seen.of(phone.labels_through_lens(passes, size_of(passes, pixels), phone.Take().bend))


def _entry(shot: Shot, shown: dict[str, Any], about: dict[str, Any]) -> dict[str, Any]:
    return {"scene": shot.scene, "zone": shot.zone, "finding": shot.finding, **shown, **about}


def write(car: str, renders: Path, photos: Path, kept: Path, pixels: int) -> None:
    """Write every file of a car's album whose scene has been rendered to `photos`, and its truth to `kept`."""
    known: dict[str, Any] = {}
    scenes: dict[str, dict[str, Any]] = {}
    for shot in CARS[car][1]:
        raw = renders / f"{shot.scene}.npz"
        if not raw.exists():
            continue
        path = photos / shot.file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(packed(shot, picture(raw, shot.take, pixels), car=car))
        if shot.scene not in scenes:
            kept.mkdir(parents=True, exist_ok=True)
            shown = seen(raw, pixels)
            truth.save(shown, kept / f"{shot.scene}.png")
            scenes[shot.scene] = truth.described(shown)
        about = json.loads(raw.with_suffix(".json").read_text(encoding="utf-8"))
        known[shot.file] = _entry(shot, scenes[shot.scene], {**about, "take": dataclasses.asdict(shot.take)})
        print(f"{car}: {shot.file}: {path.stat().st_size // 1000} kB", flush=True)
    if known:
        truth.write_index(known, kept / "truth.json")


def _only(folder: Path, wanted: set[str]) -> None:
    """Take away every file of a folder that is not wanted, and then the folders that hold nothing."""
    for path in sorted(folder.rglob("*"), reverse=True):
        if path.is_file() and path.relative_to(folder).as_posix() not in wanted:
            path.unlink()
        elif path.is_dir() and not any(path.iterdir()):
            path.rmdir()


def put(car: str, renders: Path, pixels: int) -> None:
    """Make the album the sample's photographs and its masks the truth of the tests; nothing else stays there."""
    album = CARS[car][1]
    missing = sorted({shot.scene for shot in album if not (renders / f"{shot.scene}.npz").exists()})
    if missing:
        raise SystemExit(f"{car}: render first: {', '.join(missing)}")
    write(car, renders, PHOTOS[car], truth.FOLDER / car, pixels)
    _only(PHOTOS[car], {shot.file for shot in album})
    _only(truth.FOLDER / car, {"truth.json", *(f"{shot.scene}.png" for shot in album)})
