"""Made-up photographs for the benches, and how time and memory are measured."""

from __future__ import annotations

import io
import os
import resource
import statistics
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image

WIDTH, HEIGHT, DIFFERENT = 4000, 3000, 12


def pixels(seed: int) -> Image.Image:
    """Draw a gradient with coarse noise and noise in every pixel: hard on decoders and on shrinkers."""
    chance = np.random.default_rng(seed)
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    slope = (x / WIDTH * 120 + y / HEIGHT * 90)[..., None] * np.array([1.0, 0.8, 0.6])
    coarse = chance.normal(0, 20, (HEIGHT // 8, WIDTH // 8, 3)).repeat(8, 0).repeat(8, 1)
    noisy = slope + coarse + chance.normal(0, 8, (HEIGHT, WIDTH, 1))
    return Image.fromarray(noisy.clip(0, 255).astype("uint8"))


def made_up(seed: int) -> bytes:
    """Store such a picture as a camera would: 3 to 5 MB, turned by EXIF."""
    exif = Image.Exif()
    exif[0x0112] = (1, 6, 3, 8)[seed % 4]
    buffer = io.BytesIO()
    pixels(seed).save(buffer, "JPEG", quality=90, exif=exif)
    return buffer.getvalue()


def draw(folder: Path, count: int, different: int = DIFFERENT, make: Callable[[int], bytes] = made_up) -> float:
    """Write photographs (few pictures, each file with its own tail, so that contents differ); give the mean MB."""
    folder.mkdir(parents=True, exist_ok=True)
    pictures = [make(seed) for seed in range(min(different, count))]
    for number in range(count):
        tail = b"" if number < len(pictures) else b"%d" % number
        (folder / f"IMG_{number:04}").with_suffix(_suffix(pictures[0])).write_bytes(
            pictures[number % len(pictures)] + tail
        )
    return sum(map(len, pictures)) / len(pictures) / 1e6


def _suffix(picture: bytes) -> str:
    return ".jpg" if picture.startswith(b"\xff\xd8") else ".heic"


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


def told(laps: Sequence[Lap], count: int) -> str:
    """Say how fast it went: by the clock at best and in the middle round, and in processor time the same."""
    clocks = [one.clock for one in laps]
    efforts = [one.processor / count * 1000 for one in laps]
    return (
        f"{count / min(clocks):5.1f} a second at best, {count / statistics.median(clocks):5.1f} in the middle round; "
        f"{min(efforts):.0f} and {statistics.median(efforts):.0f} ms of processor time each"
    )


def ratio(own: Sequence[Lap], other: Sequence[Lap]) -> float:
    """Give our best time by the clock as a multiple of theirs."""
    return min(one.clock for one in own) / min(one.clock for one in other)


def ratios(own: Sequence[Lap], other: Sequence[Lap]) -> str:
    """Say our time as a multiple of theirs: best and middle round by the clock, middle round of processor time."""
    middle = [statistics.median(one.clock for one in laps) for laps in (own, other)]
    effort = [statistics.median(one.processor for one in laps) for laps in (own, other)]
    return (
        f"{ratio(own, other):.2f} x by the clock at best, {middle[0] / middle[1]:.2f} x in the middle round, "
        f"{effort[0] / effort[1]:.2f} x in processor time"
    )


def peak_mb() -> float:
    """Give the largest memory of this process until now, without that of the process which started it."""
    status = Path("/proc/self/status")
    if status.exists():
        lines = dict(line.split(":", 1) for line in status.read_text(encoding="ascii").splitlines() if ":" in line)
        return int(lines["VmHWM"].split()[0]) / 1000
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1e6 if sys.platform == "darwin" else 1e3)


def load() -> str:
    """Say how busy the machine is: where more want to work than there are processors, trust processor time alone."""
    return f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors"
