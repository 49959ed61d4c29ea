"""Speed of taking photographs in: 200 twelve-megapixel JPEGs added, their copies made, and added again.

Run by hand: `./run bench`. The photographs are made up (few pictures, each file with its own tail, so that contents
differ). Goals: copies at 25 photographs a second or better on two cores; the second add of the same 200 under 1 s;
memory that does not grow with their number.
"""

from __future__ import annotations

import datetime as dt
import resource
import runpy
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2] / "inspect"))

from soundmetal.photos.arrivals import everything
from soundmetal.photos.copies import prepare
from soundmetal.photos.intake import take_in

COUNT, DIFFERENT, ROUNDS = 200, 12, 3
GOAL_PER_SECOND, GOAL_AGAIN_S = 25.0, 1.0
NOON = dt.datetime(2026, 11, 18, 12, 0, tzinfo=dt.UTC)
made_up = runpy.run_path(str(Path(__file__).with_name("bench_photos.py")), run_name="photos")["made_up"]


def peak_mb() -> float:
    """Give the largest memory of this process until now."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000


def draw(folder: Path) -> float:
    """Write the photographs; give all their megabytes."""
    folder.mkdir()
    pictures = [made_up(seed) for seed in range(DIFFERENT)]
    for number in range(COUNT):
        (folder / f"IMG_{number:04}.jpg").write_bytes(pictures[number % DIFFERENT] + f"{number}".encode())
    return sum(path.stat().st_size for path in folder.iterdir()) / 1e6


def timed_add(car: Path, phone: Path) -> tuple[float, int, int]:
    """Add all; give the seconds, how many were new, how many were there."""
    start = time.perf_counter()
    done = take_in(car, [phone], arrived=NOON)
    assert not done.refused, done.refused
    return time.perf_counter() - start, len(done.added), len(done.already)


def timed_copies(car: Path, cache: Path) -> tuple[float, float]:
    """Make all copies with an empty cache; give the seconds by the clock and of the processor."""
    clock, processor = time.perf_counter(), time.process_time()
    made = prepare(everything(car).photos, cache)
    assert len(made.copies) == COUNT, made.refused
    return time.perf_counter() - clock, time.process_time() - processor


def main() -> int:
    """Print all figures, and say whether the goals are met."""
    with tempfile.TemporaryDirectory() as name:
        phone, car = Path(name) / "phone", Path(name) / "car"
        with ProcessPoolExecutor(1) as drawing:  # its memory is not ours
            size = drawing.submit(draw, phone).result()
        print(f"{COUNT} JPEGs of 12 megapixels, {size:.0f} MB; {peak_mb():.0f} MB of memory before the work")
        first, added, _ = timed_add(car, phone)
        assert added == COUNT
        print(f"  add        {first:6.2f} s ({COUNT / first:.0f} a second); peak {peak_mb():.0f} MB")
        again = min(timed_add(car, phone)[0] for _ in range(ROUNDS))
        assert timed_add(car, phone)[1:] == (0, COUNT)
        print(f"  add again  {again:6.2f} s (goal {GOAL_AGAIN_S:g} s; best of {ROUNDS})")
        laps = [timed_copies(car, Path(name) / f"copies {number}") for number in range(ROUNDS)]
        clock, processor = min(laps)
        rate, each = COUNT / clock, processor / COUNT * 1000
        print(f"  copies     {clock:6.2f} s ({rate:.1f} a second, goal {GOAL_PER_SECOND:g}; best of {ROUNDS}),")
        print(f"             {each:.0f} ms of processor time each; peak {peak_mb():.0f} MB")
    return 0 if rate >= GOAL_PER_SECOND and again <= GOAL_AGAIN_S else 1


if __name__ == "__main__":
    sys.exit(main())
