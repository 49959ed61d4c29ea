"""Speed of preparing photographs, beside pyvips doing the same in the same run. Run by hand: `./run bench`.

60 made-up 12-megapixel JPEGs of 3 to 5 MB become copies of 1600 pixels, quality 85, with two workers. The machine may
be busy, so the two take turns and each one's least disturbed round counts (the same rule for both); the middle round
and the processor time are printed beside it. pyvips gets the same two threads: one in each worker.
Goals: 20 photographs a second or better, and at most 1.2 times the time of pyvips.
"""

from __future__ import annotations

import io
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image

os.environ.setdefault("VIPS_CONCURRENCY", "1")  # before it is imported
try:
    import pyvips
except ImportError:
    pyvips = None

sys.path.insert(0, str(Path(__file__).parents[2] / "inspect"))

from soundmetal.photos.copies import prepare
from soundmetal.photos.scan import Found, scan

COUNT, DIFFERENT, ROUNDS, WORKERS = 60, 12, 7, 2
WIDTH, HEIGHT = 4000, 3000
LONG_SIDE_PX, QUALITY = 1600, 85
GOAL_PER_SECOND, GOAL_RATIO = 20.0, 1.2


def made_up(seed: int) -> bytes:
    """Draw a gradient with coarse and fine noise, and store it as a camera would (3 to 5 MB, turned by EXIF)."""
    chance = np.random.default_rng(seed)
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    slope = (x / WIDTH * 120 + y / HEIGHT * 90)[..., None] * np.array([1.0, 0.8, 0.6])
    coarse = chance.normal(0, 20, (HEIGHT // 8, WIDTH // 8, 3)).repeat(8, 0).repeat(8, 1)
    pixels = slope + coarse + chance.normal(0, 8, (HEIGHT, WIDTH, 1))
    exif = Image.Exif()
    exif[0x0112] = (1, 6, 3, 8)[seed % 4]
    buffer = io.BytesIO()
    Image.fromarray(pixels.clip(0, 255).astype("uint8")).save(buffer, "JPEG", quality=90, exif=exif)
    return buffer.getvalue()


def draw(folder: Path) -> float:
    """Write the photographs (few pictures, each with its own tail, so that contents differ); give the mean MB."""
    pictures = [made_up(seed) for seed in range(DIFFERENT)]
    for number in range(COUNT):
        (folder / f"{number:02d}.jpg").write_bytes(pictures[number % DIFFERENT] + b"%d" % number)
    return sum(map(len, pictures)) / DIFFERENT / 1e6


@dataclass(frozen=True)
class Lap:
    """Seconds by the clock and seconds of processor time for all photographs."""

    clock: float
    processor: float


@contextmanager
def lap(laps: list[Lap]) -> Iterator[None]:
    """Measure what is done inside."""
    clock, processor = time.perf_counter(), time.process_time()
    yield
    laps.append(Lap(time.perf_counter() - clock, time.process_time() - processor))


def ours(founds: tuple[Found, ...], laps: list[Lap]) -> None:
    """Make all copies our way, cache cold."""
    with tempfile.TemporaryDirectory() as cache:
        with lap(laps):
            made = prepare(founds, Path(cache), long_side_px=LONG_SIDE_PX, quality=QUALITY, workers=WORKERS)
        assert len(made.copies) == COUNT, made.refused


def theirs(founds: tuple[Found, ...], laps: list[Lap]) -> None:
    """Make the same with pyvips, each picture on its own."""
    with tempfile.TemporaryDirectory() as cache:

        def one(found: Found) -> None:
            picture = pyvips.Image.thumbnail(str(found.path), LONG_SIDE_PX, height=LONG_SIDE_PX)
            picture.jpegsave(str(Path(cache) / f"{found.sha256[:32]}.jpg"), Q=QUALITY, keep="none")

        with lap(laps), ThreadPoolExecutor(WORKERS) as pool:
            list(pool.map(one, founds))


def middle(values: Iterable[float]) -> float:
    """Give the median."""
    return statistics.median(values)


def main() -> int:
    """Print both, and say whether the goals are met."""
    own: list[Lap] = []
    other: list[Lap] = []
    with tempfile.TemporaryDirectory() as name:
        size = draw(Path(name))
        founds = scan(Path(name)).photos
        for _ in range(ROUNDS):
            ours(founds, own)
            if pyvips:
                theirs(founds, other)
    rate = COUNT / min(one.clock for one in own)
    print(f"{COUNT} JPEGs of {WIDTH} x {HEIGHT}, {size:.1f} MB each, {WORKERS} workers, best of {ROUNDS} rounds")
    print(f"  ours    {rate:5.1f} photographs a second (goal {GOAL_PER_SECOND:.0f}){_beside(own)}")
    if not other:
        print("  pyvips  is not installed here: no comparison (install the bench group)")
        return 0 if rate >= GOAL_PER_SECOND else 1
    ratio = min(one.clock for one in own) / min(one.clock for one in other)
    effort = middle(one.processor for one in own) / middle(one.processor for one in other)
    print(f"  pyvips  {COUNT / min(one.clock for one in other):5.1f} photographs a second{_beside(other)}")
    print(f"  time    {ratio:5.2f} x pyvips by the clock (goal {GOAL_RATIO}), {effort:.2f} x in processor time")
    return 0 if rate >= GOAL_PER_SECOND and ratio <= GOAL_RATIO else 1


def _beside(laps: list[Lap]) -> str:
    rate, effort = COUNT / middle(one.clock for one in laps), middle(one.processor for one in laps) / COUNT * 1000
    return f"; middle round {rate:.1f}, {effort:.0f} ms of processor time each"


if __name__ == "__main__":
    sys.exit(main())
