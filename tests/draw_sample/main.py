"""Draw every photograph of the sample inspection, tag it, write it; and the table of what lies where."""

from __future__ import annotations

import argparse
import datetime as dt
import io
from pathlib import Path

import pillow_heif
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from render import tags

from . import scenes_bed, scenes_cab, scenes_frame, scenes_front, scenes_side
from .album import ALBUM, Shot
from .scene import SCENES, Taken, take

PHOTOS = Path(__file__).resolve().parents[2] / "sample_inspection" / "photos"
START = dt.datetime(2026, 11, 18, 9, 12, 7, tzinfo=dt.timezone(dt.timedelta(hours=-7)))
MODULES = (scenes_side, scenes_cab, scenes_frame, scenes_bed, scenes_front)

#: A JPEG is stepped down in quality until it is smaller than this, in bytes.
ROOM = 240_000
_STORED = {3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}


def as_stored(image: Image.Image, orientation: int) -> Image.Image:
    """The pixels as the telephone stores them for an orientation tag (1, 3, 6 or 8)."""
    return image.transpose(_STORED[orientation]) if orientation in _STORED else image


def _jpeg(image: Image.Image, exif: bytes, shot: Shot) -> bytes:
    for quality in range(86, 40, -3):
        out = io.BytesIO()
        more = {"xmp": tags.xmp(shot.xmp)} if shot.xmp else {}
        image.save(
            out, "JPEG", quality=quality, optimize=True, progressive=True, subsampling="4:2:0", exif=exif, **more
        )
        if out.tell() <= ROOM:
            break
    return tags.with_iptc(out.getvalue(), shot.iptc) if shot.iptc else out.getvalue()


def _heic(image: Image.Image, exif: bytes, shot: Shot) -> bytes:
    out = io.BytesIO()
    more = {"xmp": tags.xmp(shot.xmp)} if shot.xmp else {}
    pillow_heif.from_pillow(image).save(out, quality=52, exif=exif, **more)
    return out.getvalue()


def _png(image: Image.Image, exif: bytes, shot: Shot) -> bytes:
    out, info = io.BytesIO(), PngInfo()
    if shot.xmp:
        info.add_itxt("XML:com.adobe.xmp", tags.xmp(shot.xmp).decode())
    image.quantize(112, dither=Image.Dither.NONE).save(out, "PNG", optimize=True, exif=exif, pnginfo=info)
    return out.getvalue()


def encoded(shot: Shot, image: Image.Image) -> bytes:
    """The file of one shot: turned as it was held, tagged, packed."""
    stored = as_stored(image, shot.orientation)
    when = START + dt.timedelta(minutes=shot.minute, seconds=shot.minute * 17 % 50)
    exif = tags.exif(when, shot.orientation, stored.size, shot.place).tobytes()
    pack = {".jpg": _jpeg, ".heic": _heic, ".png": _png}[Path(shot.file).suffix.lower()]
    return pack(stored, exif, shot)


def described(shot: Shot, taken: Taken) -> str:
    """One row of the table: where the rust, the holes, the mountings and the seams lie."""
    how = [f'I "{w}"' for w in shot.iptc] + [f'X "{w}"' for w in shot.xmp]
    how = how or (["none"] if not shot.zone else ["F"] if "/" in shot.file else ["N"])
    held = "" if shot.orientation == 1 else f", orientation {shot.orientation}"
    places = "; ".join(f"{m.what}: " + " ".join(f"{x:.2f},{y:.2f}" for x, y in m.points) for m in taken.marks)
    size = f"{taken.width_mm:.0f} mm, {taken.image.width}x{taken.image.height}{held}"
    return f"| {shot.file} | {', '.join(how)} | {shot.zone or '(none)'} | {shot.shows} | {size} | {places} |"


def main(arguments: list[str] | None = None) -> None:
    """Draw all, or the scenes named."""
    ask = argparse.ArgumentParser(prog="python tests/draw_sample", description=__doc__)
    ask.add_argument("scenes", nargs="*", help="only these scenes: " + ", ".join(SCENES))
    ask.add_argument("--into", type=Path, default=PHOTOS, help="folder to write into")
    ask.add_argument("--pixels", type=int, default=1600, help="longer side")
    ask.add_argument("--table", type=Path, help="also write the table of places here")
    asked = ask.parse_args(arguments)
    rows = [
        "| file | tag | zone | shows | across, upright pixels | places (upright, 0..1) |",
        "|---|---|---|---|---|---|",
    ]
    for shot in ALBUM:
        if asked.scenes and shot.scene not in asked.scenes:
            continue
        taken = take(shot.scene, asked.pixels)
        path = asked.into / shot.file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(encoded(shot, taken.image))
        rows.append(described(shot, taken))
        print(f"{path.stat().st_size:8d}  {shot.file}", flush=True)
    if asked.table:
        asked.table.write_text("\n".join(rows) + "\n", encoding="utf-8")
