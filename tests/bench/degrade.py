"""Real photographs spoilt by known amounts, and how often `quality` and `doubles` are right about them.

Used by bench_quality.py, which prints it all, and by tests/validation/test_quality_limits.py. Two sets: photographs
that the package index carries (tests/fetch_photos.py), which every clone can have, and more beside the checkout. Each
scene is in the list once. What is wrong with a photograph as it was taken was judged by eye before anything was
measured. Amounts of blur are in pixels of a picture 400 pixels long, whatever its size.
"""

from __future__ import annotations

import io
import math
import runpy
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from PIL import Image, ImageFilter

from soundmetal.photos.pixels import Grey, grey
from soundmetal.photos.quality import Kind, Quality, assess
from soundmetal.photos.shrink import sketch

TOOLS = runpy.run_path(str(Path(__file__).parents[1] / "fetch_photos.py"))
SEED = 20261125
COPY_PX, UNIT_PX = 1600, 400
SOFT, BLURRED, COVERED = (0.25, 0.5, 0.75), (1.0, 1.5, 2.0, 3.0), 20.0
MOVED_LITTLE, MOVED = (1.0, 2.0), (4.0, 6.0, 10.0)
STOPS = (-3.0, -2.0, -1.0, 1.0, 2.0, 3.0)
CAP_STOPS, CAP_GRAIN = -7.0, 2.0

INDEX = (
    "pillow/images/flower.jpg", "pillow/images/frozenpond.mpo", "pillow/images/fujifilm.mpo",
    "pillow/images/iptc.jpg", "pillow/images/sugarshack.mpo", "pillow/images/xmp_test.jpg",
    "pillow_heif/heif_special/aux_YCbCr.heic", "pillow_heif/heif_special/guitar_cw90.hif",
    "pillow_heif/heif_special/xiaomi.heic",
    "pillow_heif/heif_other/arrow.heic", "pillow_heif/heif_other/cat.hif", "pillow_heif/heif_other/empty_icc.heic",
    "pillow_heif/heif_other/pug.heic", "piexif/images/02.jpg", "piexif/images/L01.jpg", "piexif/images/L02.jpg",
    "piexif/images/large.jpg",
)  # fmt: skip
BESIDE = (
    "photos/camera/Canon PowerShot S40 (2).jpg", "photos/camera/Kodak DX4330.jpg",
    "photos/camera/Nikon E995 (iptc).jpg", "photos/camera/Olympus C720UZ.jpg",
    "photos/camera/Reconyx HF2 Pro Covert.jpg", "photos/corrupt/exif_gps_typeerror.jpg",
    "photos/heic/bird_burst.heic", "photos/keywords/FujiFilm FinePixS1Pro (5).jpg", "photos/keywords/IMG_5910.jpg",
    "photos/keywords/Olympus FE230-X790.jpg", "photos/orientation/Blackberry Z10.jpg",
    "photos/orientation/Portrait_1.jpg", "photos/phone/Apple iPhone 5.jpg",
    "photos/phone/IMG_20180725_163423-tiny.jpg", "photos/phone/Issue 177.jpg", "photos/phone/Issue 308.jpg",
    "photos/phone/Samsung GT-I9000 (Galaxy S).jpg", "photos/phone/gps.jpg",
)  # fmt: skip
#: Rusted steel, and what might be taken for it: every picture of these folders.
BESIDE_FOLDERS = ("rust/segmentation/*.jpg", "rust/negatives/*.*")
#: Photographs that are not as they should be, by eye: a casino at night.
AS_TAKEN = {"photos/camera/Canon PowerShot S40 (2).jpg": Kind.DARK}
#: Parts of photographs with nothing in them, by eye: sky, wall, table, unsharp window; left, top, right, bottom.
EMPTY_PARTS = {
    "pillow/images/iptc.jpg": (0.75, 0.02, 0.98, 0.33),
    "pillow_heif/heif_other/pug.heic": (0.5, 0.02, 0.98, 0.4),
    "pillow_heif/heif_other/cat.hif": (0.0, 0.0, 0.2, 0.3),
    "pillow_heif/heif_special/aux_YCbCr.heic": (0.66, 0.05, 0.98, 0.45),
    "piexif/images/L01.jpg": (0.02, 0.02, 0.35, 0.3),
    "piexif/images/L02.jpg": (0.02, 0.02, 0.15, 0.2),
    "piexif/images/02.jpg": (0.02, 0.02, 0.98, 0.22),
    "photos/corrupt/exif_gps_typeerror.jpg": (0.02, 0.02, 0.98, 0.2),
}


@dataclass(frozen=True)
class Case:
    """One spoilt photograph: what was done, the copy made of it, and what is known to be right or wrong with it.

    Of a kind that is not in `known` nothing is asked: a slight blur is neither a fault nor none.
    """

    picture: str
    done: str
    copy: bytes
    known: dict[Kind, bool]


@dataclass
class Score:
    """Right and wrong answers of one signal, with what was missed and what was false by what had been done."""

    hits: int = 0
    missed: list[str] = field(default_factory=list)
    false: list[str] = field(default_factory=list)
    good: int = 0

    @property
    def bad(self) -> int:
        return self.hits + len(self.missed)

    @property
    def recall(self) -> float:
        return self.hits / self.bad if self.bad else math.nan

    @property
    def precision(self) -> float:
        told = self.hits + len(self.false)
        return self.hits / told if told else math.nan


def index_pictures() -> dict[str, Path]:
    """Give the photographs of the package index that are here."""
    here = TOOLS["fetched"]()
    return {name: here[name] for name in INDEX if name in here}


def pictures_beside() -> dict[str, Path]:
    """Give the photographs that may lie beside the checkout."""
    shared: Path | None = TOOLS["shared"]()
    if shared is None:
        return {}
    root = shared.parent
    named = [root / name for name in BESIDE]
    found = [path for pattern in BESIDE_FOLDERS for path in sorted(root.glob(pattern)) if "_mask" not in path.stem]
    return {path.relative_to(root).as_posix(): path for path in (*named, *found) if path.is_file()}


def read(pictures: dict[str, Path]) -> dict[str, Image.Image]:
    """Decode the photographs to the size of a copy for the pages, once for all that is done with them.

    The limits were chosen on pictures shrunk like this; a copy is a little sharper (shrink.for_page).
    """
    return {name: sketch(path, COPY_PX) for name, path in pictures.items()}


def cases(name: str, taken: Image.Image) -> Iterator[Case]:
    """Spoil one photograph in every way."""
    rng = np.random.default_rng([SEED, zlib.crc32(name.encode())])
    wrong = AS_TAKEN.get(name)
    luma = taken.convert("L")
    fine = {Kind.BLUR: False, Kind.BACKGROUND: False}
    light = {kind: kind is wrong for kind in (Kind.DARK, Kind.WASHED_OUT)}
    yield Case(name, "as taken", jpeg(taken), {**fine, **light})
    for sigma in (*SOFT, *BLURRED):
        known = {Kind.BACKGROUND: False} | ({Kind.BLUR: sigma >= 1} if sigma not in SOFT[1:] else {})
        yield Case(name, f"blur {sigma:g}", jpeg(blurred(luma, sigma)), known)
    for length in (*MOVED_LITTLE, *MOVED):
        angle = rng.uniform(0, math.pi)
        yield Case(
            name, f"move {length:g}", jpeg(moved(luma, length, angle)), {Kind.BLUR: True} if length in MOVED else {}
        )
    for stops in STOPS:
        known = {Kind.DARK: stops <= -2, Kind.WASHED_OUT: stops >= 2} if wrong is None else {}
        clear = fine if abs(stops) <= 2 else {}
        yield Case(name, f"light {stops:+g}", jpeg(exposed(taken, stops)), known | clear)
    yield Case(name, "covered", jpeg(blurred(luma, COVERED)), {Kind.BACKGROUND: True})
    yield Case(name, "lens cap", jpeg(capped(luma, rng)), {Kind.BACKGROUND: True})
    if name in EMPTY_PARTS:
        yield Case(name, "empty part", jpeg(part(taken, EMPTY_PARTS[name])), {Kind.BACKGROUND: True})


def jpeg(picture: Image.Image, quality: int = 85) -> bytes:
    """Encode a copy as it is kept for the pages."""
    buffer = io.BytesIO()
    picture.save(buffer, "JPEG", quality=quality)
    return buffer.getvalue()


def blurred(picture: Image.Image, sigma: float) -> Image.Image:
    """Blur by a normal curve of this standard deviation."""
    return picture.filter(ImageFilter.GaussianBlur(sigma * max(picture.size) / UNIT_PX))


def moved(luma: Image.Image, length: float, angle_rad: float) -> Image.Image:
    """Smear evenly along a straight line; the border, which would show both edges, is cut off."""
    pixels = length * max(luma.size) / UNIT_PX
    numbers = np.asarray(luma, dtype=np.float32)
    places = np.linspace(-pixels / 2, pixels / 2, max(2, math.ceil(pixels)))
    total = np.zeros_like(numbers)
    for at in places:
        total += np.roll(numbers, (round(at * math.sin(angle_rad)), round(at * math.cos(angle_rad))), (0, 1))
    edge = math.ceil(pixels / 2)
    return Image.fromarray(np.uint8(total / len(places) + 0.5)[edge:-edge, edge:-edge])


def exposed(picture: Image.Image, stops: float) -> Image.Image:
    """Expose more or less, in linear light: IEC 61966-2-1 both ways (its curve from memory)."""
    coded = np.arange(256) / 255
    linear = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4) * 2.0**stops
    linear = np.minimum(linear, 1)
    again = np.where(linear <= 0.0031308, linear * 12.92, 1.055 * linear ** (1 / 2.4) - 0.055)
    return picture.point(np.round(255 * again).astype(int).tolist() * len(picture.getbands()))


def capped(luma: Image.Image, rng: np.random.Generator) -> Image.Image:
    """Take nearly all light away and add the grain of the camera."""
    return grained(exposed(luma, CAP_STOPS), CAP_GRAIN, rng)


def grained(luma: Image.Image, deviation: float, rng: np.random.Generator) -> Image.Image:
    """Add grain: every pixel for itself, by a normal curve of so many grey levels."""
    numbers = np.asarray(luma, dtype=np.float32)
    return Image.fromarray(np.uint8(np.clip(np.round(numbers + rng.normal(0, deviation, numbers.shape)), 0, 255)))


def part(picture: Image.Image, box: tuple[float, float, float, float]) -> Image.Image:
    """Cut a part out; its edges are shares of the picture's sides."""
    sides = (picture.width, picture.height) * 2
    left, top, right, bottom = (int(share * side) for share, side in zip(box, sides, strict=True))
    return picture.crop((left, top, right, bottom))


def judged(pictures: dict[str, Image.Image]) -> list[tuple[Case, Quality]]:
    """Spoil and judge all pictures; the copies themselves are not kept."""
    return [
        (Case(case.picture, case.done, b"", case.known), assess(case.copy))
        for name, picture in pictures.items()
        for case in cases(name, picture)
    ]


def score(kind: Kind, results: Iterable[tuple[Case, bool]]) -> Score:
    """Count how often an answer was right."""
    total = Score()
    for case, told in results:
        if kind not in case.known:
            continue
        if not case.known[kind]:
            total.good += 1
            total.false += [f"{case.done}: {case.picture}"] if told else []
        elif told:
            total.hits += 1
        else:
            total.missed.append(f"{case.done}: {case.picture}")
    return total


def told(kind: Kind, quality: Quality) -> bool:
    """Say whether a photograph was called this."""
    return any(problem.kind is kind for problem in quality.problems)


def alike(picture: Image.Image, rng: np.random.Generator) -> Iterator[tuple[str, Grey]]:
    """Take the same picture again: framed a little otherwise, turned, lighter, darker, smaller, less sharp."""
    for share in (0.02, 0.04):
        across, down = rng.uniform(-share, share, 2)
        box = (share + across, share + down, 1 - share + across, 1 - share + down)
        yield f"frame shifted up to {share:.0%}", _grey(part(picture, box))
    for degrees in (1.0, 2.0):
        turned = picture.rotate(degrees * rng.choice([-1, 1]), Image.Resampling.BILINEAR)
        yield f"turned {degrees:g} degrees", _grey(part(turned, (0.04, 0.04, 0.96, 0.96)))
    for stops in (-1.0, -0.5, 0.5, 1.0):
        yield f"light {stops:+g}", _grey(exposed(picture, stops))
    small = picture.copy()
    small.thumbnail((640, 640))
    yield "640 px", _grey(small)
    yield "blur 2", _grey(blurred(picture, 2))


def framed(picture: Image.Image) -> Iterator[tuple[str, Grey]]:
    """Take the same picture again as it comes by message: cut, lighter, smaller, packed harder, turned."""
    cut = part(picture, (0.02, 0.02, 0.98, 0.98))
    yield "cut by 2% on each side", _grey(cut)
    small = exposed(part(picture, (0.0, 0.03, 0.96, 0.99)), 1.0)
    small.thumbnail((640, 640))
    yield "cut, light +1, 640 px, quality 60", grey(jpeg(small, 60))
    yield "cut by 6% on each side", _grey(part(picture, (0.06, 0.06, 0.94, 0.94)))
    yield "cut by 10% on each side", _grey(part(picture, (0.1, 0.1, 0.9, 0.9)))
    yield "turned by a quarter", _grey(picture.transpose(Image.Transpose.ROTATE_90))
    yield "mirrored", _grey(picture.transpose(Image.Transpose.FLIP_LEFT_RIGHT))


def _grey(picture: Image.Image) -> Grey:
    return grey(jpeg(picture))
