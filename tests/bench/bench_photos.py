"""Speed and quality of the copies for the pages, beside pyvips doing the same in the same run. Part of `./run bench`.

200 made-up 12-megapixel JPEGs of 3 to 5 MB become copies of 1600 pixels, quality 85, with two workers. The machine
may be busy, so the two take turns and each one's least disturbed round counts (the same rule for both); the middle
round and the processor time are printed beside it. pyvips gets the same two threads: one in each worker.
Quality: how much structural similarity (tests/support/likeness.py) is lost against the whole picture decoded, shrunk
by Lanczos and stored at the same quality; on two of the made-up pictures and on the photographs of others that are
here, shrunk 2.5 times as the 12 megapixels are.
Goals: 25 photographs a second or better, at most 1.05 times the time of pyvips, at most 0.005 of similarity lost.
"""

from __future__ import annotations

import math
import os
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from pathlib import Path

from PIL import Image

os.environ.setdefault("VIPS_CONCURRENCY", "1")  # before it is imported
try:
    import pyvips
except ImportError:
    pyvips = None

sys.path.insert(0, str(Path(__file__).parents[2] / "inspect"))
sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

import degrade
from likeness import at_leisure, lost, stored
from photo_sets import HEIGHT, WIDTH, Lap, draw, lap, load, ratio, ratios, told

from soundmetal.photos.copies import prepare
from soundmetal.photos.scan import Found, scan
from soundmetal.photos.shrink import for_page

COUNT, ROUNDS, WORKERS = 200, 3, 2
LONG_SIDE_PX, QUALITY, TIMES = 1600, 85, 2.5
GOAL_PER_SECOND, GOAL_RATIO, GOAL_LOST = 25.0, 1.05, 0.005
#: Smaller photographs of others are left out: their copies would be too small to tell.
LEAST_PX = 1900
PROFILE = "icc_profile"


def ours(founds: tuple[Found, ...], laps: list[Lap]) -> None:
    """Make all copies our way, cache cold."""
    with tempfile.TemporaryDirectory() as cache:
        with lap(laps):
            made = prepare(founds, Path(cache), long_side_px=LONG_SIDE_PX, quality=QUALITY, workers=WORKERS)
        assert len(made.copies) == len(founds), made.refused


def theirs(founds: tuple[Found, ...], laps: list[Lap]) -> None:
    """Make the same with pyvips, each picture on its own."""
    with tempfile.TemporaryDirectory() as cache, lap(laps), ThreadPoolExecutor(WORKERS) as pool:
        list(pool.map(lambda found: by_vips(found.path, Path(cache) / found.sha256[:32], LONG_SIDE_PX), founds))


def by_vips(path: Path, copy: Path, long_side_px: int) -> None:
    """Make one copy as pyvips' own handbook advises: thumbnail."""
    picture = pyvips.Image.thumbnail(str(path), long_side_px, height=long_side_px)
    picture.jpegsave(str(copy), Q=QUALITY, keep="none")


def of_others() -> list[Path]:
    """Give the large JPEGs of other people's cameras that are here, but for those whose colours have to be turned."""
    chosen = []
    for path in (*degrade.index_pictures().values(), *degrade.pictures_beside().values()):
        with Image.open(path) as picture:
            if picture.format in ("JPEG", "MPO") and max(picture.size) >= LEAST_PX and not picture.info.get(PROFILE):
                chosen.append(path)
    return chosen


def quality(what: str, paths: list[Path]) -> float:
    """Print what is lost on these pictures by us and by pyvips; give our worst."""
    here, there = [], []
    for path in paths:
        with Image.open(path) as picture:
            wanted = round(max(picture.size) / TIMES)
        page = for_page(path, wanted)
        best = at_leisure(path, page.size)
        here.append((lost(stored(page, QUALITY), best, QUALITY), path.name))
        there.append(lost(vips_copy(path, wanted), best, QUALITY) if pyvips else math.nan)
    if not here:
        return 0.0
    losses = [loss for loss, _ in here]
    print(f"  similarity lost, {len(paths)} {what}: ours {sum(losses) / len(losses):.4f} in the mean,")
    print(f"          {max(losses):.4f} at worst ({max(here)[1]}; goal {GOAL_LOST})", end="; ")
    print(f"pyvips {sum(there) / len(there):.4f} and {max(there):.4f}")
    return max(losses)


def vips_copy(path: Path, wanted: int) -> Image.Image:
    """Give a copy by pyvips as it comes back from the file."""
    with tempfile.TemporaryDirectory() as folder:
        by_vips(path, Path(folder) / "copy.jpg", wanted)
        with Image.open(Path(folder) / "copy.jpg") as copy:
            return copy.convert("RGB")


def main() -> int:
    """Print both, and say whether the goals are met."""
    own: list[Lap] = []
    other: list[Lap] = []
    with tempfile.TemporaryDirectory() as name:
        with ProcessPoolExecutor(1) as drawing:
            size = drawing.submit(draw, Path(name), COUNT).result()
        founds = scan(Path(name)).photos
        for _ in range(ROUNDS):
            ours(founds, own)
            if pyvips:
                theirs(founds, other)
        print(
            f"{COUNT} JPEGs of {WIDTH} x {HEIGHT}, {size:.1f} MB each, {WORKERS} workers, {ROUNDS} rounds, {load()}"
        )
        print(f"  ours    {told(own, COUNT)} (goal {GOAL_PER_SECOND:.0f} a second)")
        if other:
            print(f"  pyvips  {told(other, COUNT)}")
            print(f"  ours is {ratios(own, other)} (goal {GOAL_RATIO})")
        else:
            print("  pyvips  is not installed here: no comparison (install the bench group)")
        worst = max(quality("made-up", [found.path for found in founds[:2]]), quality("of others", of_others()))
    fast = COUNT / min(one.clock for one in own) >= GOAL_PER_SECOND and (not other or ratio(own, other) <= GOAL_RATIO)
    return 0 if fast and worst <= GOAL_LOST else 1


if __name__ == "__main__":
    sys.exit(main())
