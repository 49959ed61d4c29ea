"""Taking photographs in: 200 twelve-megapixel JPEGs added, their copies made, added again; and the memory it takes.

Part of `./run bench`. The photographs are made up (few pictures, each file with its own tail, so that contents
differ). Every count of photographs gets a process of its own, so that its peak of memory is its own.
Goals: copies at 25 photographs a second or better on two cores; the second add of the same 200 under 1 s; a peak of
memory under 400 MB that does not grow with their number.
"""

from __future__ import annotations

import datetime as dt
import multiprocessing
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2] / "inspect"))

from photo_sets import Lap, draw, lap, load, peak_mb, told

from soundmetal.photos.arrivals import everything
from soundmetal.photos.copies import prepare
from soundmetal.photos.intake import take_in

COUNTS, ROUNDS = (50, 100, 200), 3
GOAL_PER_SECOND, GOAL_AGAIN_S, GOAL_MB, GOAL_GROWTH = 25.0, 1.0, 400.0, 1.1
NOON = dt.datetime(2026, 11, 18, 12, 0, tzinfo=dt.UTC)


@dataclass(frozen=True)
class Peaks:
    """The largest memory in MB: before the work, after adding, after making the copies."""

    before: float
    added: float
    copied: float


def timed_add(car: Path, phone: Path) -> tuple[float, int, int]:
    """Add all; give the seconds, how many were new, how many were there."""
    start = time.perf_counter()
    done = take_in(car, [phone], arrived=NOON)
    assert not done.refused, done.refused
    return time.perf_counter() - start, len(done.added), len(done.already)


def add_and_copy(phone: Path, car: Path, count: int) -> tuple[Peaks, float]:
    """Add all and make their copies once; give the peaks of memory and the seconds of adding."""
    before = peak_mb()
    seconds, added, _ = timed_add(car, phone)
    assert added == count
    after = peak_mb()
    made = prepare(everything(car).photos, car / "copies")
    assert len(made.copies) == count, made.refused
    return Peaks(before, after, peak_mb()), seconds


def copy_again(car: Path, count: int) -> list[Lap]:
    """Make all copies with an empty cache, round after round."""
    laps: list[Lap] = []
    for number in range(ROUNDS):
        with lap(laps):
            made = prepare(everything(car).photos, car / f"copies {number}")
        assert len(made.copies) == count, made.refused
    return laps


def add_again(car: Path, phone: Path, count: int) -> list[float]:
    """Add the same once more, round after round; give the seconds."""
    rounds = [timed_add(car, phone) for _ in range(ROUNDS)]
    assert {done[1:] for done in rounds} == {(0, count)}
    return [done[0] for done in rounds]


def alone(work: Callable[..., Any], *arguments: object) -> Any:
    """Do a piece of work in a fresh process."""
    with ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("spawn")) as pool:
        return pool.submit(work, *arguments).result()


def main() -> int:
    """Print all figures, and say whether the goals are met."""
    peaks: list[Peaks] = []
    with tempfile.TemporaryDirectory() as name:
        drawn = Path(name) / "drawn"
        size = alone(draw, drawn, COUNTS[-1])
        for count in COUNTS:
            phone, car = Path(name) / f"phone {count}", Path(name) / f"car {count}"
            phone.mkdir()
            for path in sorted(drawn.iterdir())[:count]:
                (phone / path.name).hardlink_to(path)
            peak, first = alone(add_and_copy, phone, car, count)
            peaks.append(peak)
            print(f"{count} JPEGs of 12 megapixels, {size:.1f} MB each; memory before {peak.before:.0f} MB")
            print(f"  add        {first:6.2f} s ({count / first:.0f} a second); peak {peak.added:.0f} MB")
            print(f"  copies     peak {peak.copied:.0f} MB (goal {GOAL_MB:.0f})")
        again = alone(add_again, car, phone, count)
        laps = alone(copy_again, car, count)
    growth, middle = peaks[-1].copied / peaks[0].copied, statistics.median(again)
    print(
        f"  add again  {min(again):6.2f} s at best of {ROUNDS}, {middle:.2f} s in the middle (goal {GOAL_AGAIN_S:g})"
    )
    print(f"  copies     {told(laps, count)} (goal {GOAL_PER_SECOND:g})")
    print(f"  memory     {growth:.2f} x from {COUNTS[0]} to {COUNTS[-1]} photographs (goal {GOAL_GROWTH}); {load()}")
    fast = count / min(one.clock for one in laps) >= GOAL_PER_SECOND and min(again) <= GOAL_AGAIN_S
    return 0 if fast and peaks[-1].copied <= GOAL_MB and growth <= GOAL_GROWTH else 1


if __name__ == "__main__":
    sys.exit(main())
