"""Speed of HEIC beside pillow-heif alone: decode, resize, store. Part of `./run bench`.

6 made-up HEICs of 12 megapixels, each also as bare as can be: opened by pillow-heif, resized by Pillow with the same
filter, stored at the same quality, with the same two threads. Both take turns; each one's best round counts. Then the
large HEICs of others that are here.
Goal: at most 1.1 times the bare time.
"""

from __future__ import annotations

import io
import runpy
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from pathlib import Path

import pillow_heif
from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[2] / "inspect"))

from photo_sets import HEIGHT, WIDTH, Lap, draw, lap, load, pixels, ratio, ratios, told

from soundmetal.photos.copies import prepare
from soundmetal.photos.scan import Found, scan
from soundmetal.photos.settings import settings
from soundmetal.photos.shrink import fitted

COUNT, DIFFERENT, ROUNDS, WORKERS = 6, 3, 3, 2
LONG_SIDE_PX, QUALITY, GAP = 1600, 85, 1.1
GOAL_RATIO = 1.1
#: Of others: those with so many pixels.
LEAST_PX = 6_000_000


def made_up(seed: int) -> bytes:
    """Store a made-up picture as HEIC."""
    buffer = io.BytesIO()
    pillow_heif.from_pillow(pixels(seed)).save(buffer, quality=80)
    return buffer.getvalue()


def ours(founds: tuple[Found, ...], laps: list[Lap]) -> None:
    """Make all copies our way, cache cold."""
    with tempfile.TemporaryDirectory() as cache:
        with lap(laps):
            made = prepare(founds, Path(cache), long_side_px=LONG_SIDE_PX, quality=QUALITY, workers=WORKERS)
        assert len(made.copies) == len(founds), made.refused


def bare(founds: tuple[Found, ...], laps: list[Lap]) -> None:
    """Decode, resize, store, and nothing else."""
    with tempfile.TemporaryDirectory() as cache:

        def one(found: Found) -> None:
            picture = pillow_heif.open_heif(found.path, convert_hdr_to_8bit=True).to_pillow()
            size = fitted(picture.size, LONG_SIDE_PX)
            small = picture.resize(size, Image.Resampling.BICUBIC, reducing_gap=GAP)
            small.convert("RGB").save(Path(cache) / f"{found.sha256[:32]}.jpg", "JPEG", quality=QUALITY)

        with lap(laps), ThreadPoolExecutor(WORKERS) as pool:
            list(pool.map(one, founds))


def of_others() -> tuple[Found, ...]:
    """Give the large HEICs of others that are here and within our limits, each content once."""
    tools = runpy.run_path(str(Path(__file__).parents[1] / "fetch_photos.py"))
    folders = [folder for folder in (tools["shared"](), tools["FETCHED"]) if folder and folder.is_dir()]
    founds = {found.sha256: found for folder in folders for found in scan(folder).photos if found.kind == "HEIC"}
    return tuple(found for found in founds.values() if LEAST_PX <= _pixels(found.path) <= settings().scan.max_pixels)


def _pixels(path: Path) -> int:
    try:
        width, height = pillow_heif.open_heif(path).size
    except (ValueError, RuntimeError, EOFError, SyntaxError):  # broken ones lie among them
        return 0
    return int(width * height)


def measured(founds: tuple[Found, ...]) -> float:
    """Print both and their ratio; give it."""
    own: list[Lap] = []
    other: list[Lap] = []
    for _ in range(ROUNDS):
        ours(founds, own)
        bare(founds, other)
    print(f"  ours    {told(own, len(founds))}")
    print(f"  bare    {told(other, len(founds))}")
    print(f"  ours is {ratios(own, other)} (goal {GOAL_RATIO})")
    return ratio(own, other)


def main() -> int:
    """Print both sets, and say whether the goal is met."""
    with tempfile.TemporaryDirectory() as name:
        with ProcessPoolExecutor(1) as drawing:
            size = drawing.submit(draw, Path(name), COUNT, DIFFERENT, made_up).result()
        print(
            f"{COUNT} HEICs of {WIDTH} x {HEIGHT}, {size:.1f} MB each, {WORKERS} workers, {ROUNDS} rounds, {load()}"
        )
        reached = measured(scan(Path(name)).photos)
    if others := of_others():
        print(f"{len(others)} HEICs of others ({', '.join(sorted(found.path.name for found in others))})")
        reached = max(reached, measured(others))
    return 0 if reached <= GOAL_RATIO else 1


if __name__ == "__main__":
    sys.exit(main())
