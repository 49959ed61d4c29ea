"""How close nesting comes, beside the open-source rectangle packer in the same run. Run by hand: `./run bench`.

The published strip instances (sources in tests/validation/test_nesting_instances.py) are packed by both; rectpack
takes the best of all its algorithms and sort orders, rotation on, one bin of ample height. Goals: the mean within 5 %
of the optimum, none over 10 %, no worse than rectpack's mean; 60 blanks on the shop's sheets in under 2 seconds.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import fmean
from typing import Any

try:
    import rectpack
except ImportError:
    rectpack = None

sys.path.insert(0, str(Path(__file__).parents[2] / "inspect"))
sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from strips import INSTANCES, sizes

from soundmetal.data import read_yaml
from soundmetal.record.shopbook import ShopBook
from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.nest import nest
from soundmetal.scope.sheets.search import Effort, strip
from soundmetal.scope.sheets.settings import cutting
from soundmetal.scope.sheets.skyline import Part

GOAL_MEAN, GOAL_WORST, GOAL_S = 1.05, 1.10, 2.0
COUNT, ROUNDS = 60, 3


def ours(name: str) -> int:
    """Give our height, with the settings that a shop has."""
    width, optimum, _ = INSTANCES[name]
    parts = [Part(n, *size) for n, size in enumerate(sizes(name))]
    return strip(parts, width, Effort(cutting().effort, cutting().starts), optimum).height


def packers() -> Iterator[tuple[Any, Any]]:
    """Give every algorithm of rectpack with every sort order."""
    families = ("MaxRects", "Skyline", "Guillotine")
    names = [name for name in dir(rectpack) if name.startswith(families) and name not in families]
    sorts = [getattr(rectpack, name) for name in dir(rectpack) if name.startswith("SORT_")]
    yield from ((getattr(rectpack, name), sort) for name in names for sort in sorts)


def theirs(name: str) -> int:
    """Give the least height of all that rectpack finds."""
    width, optimum, _ = INSTANCES[name]
    heights = []
    for algorithm, sort in packers():
        packer = rectpack.newPacker(rectpack.PackingMode.Offline, rectpack.PackingBin.BFF, algorithm, sort, True)
        packer.add_bin(width, 5 * optimum)
        for number, size in enumerate(sizes(name)):
            packer.add_rect(*size, number)
        packer.pack()
        if len(packer.rect_list()) == len(sizes(name)):
            heights.append(max(y + height for _, _, y, _, height, _ in packer.rect_list()))
    return min(heights)


def sixty() -> tuple[float, int, float]:
    """Give the best time for 60 made-up blanks, the sheets they take, and how full all but the last are."""
    chance = random.Random(3)
    shop = ShopBook.model_validate(read_yaml("shop_book.yaml"))
    blanks = [
        Blank(
            f"floor/{n}", "floor", (f"F{n}",), round(chance.uniform(60, 900), 1), round(chance.uniform(60, 500), 1),
            20.0, 0.912, 20, "flat", 0, 0.0, 1.0, sheet="20 ga",
        )
        for n in range(COUNT)
    ]  # fmt: skip
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        found = nest(blanks, shop)
        times.append(time.perf_counter() - start)
    return min(times), len(found.sheets), fmean(sheet.used_share for sheet in found.sheets[:-1])


def told(label: str, ratios: list[float], seconds: float) -> None:
    """Print one line of the result."""
    mean, worst = fmean(ratios) * 100 - 100, max(ratios) * 100 - 100
    print(f"  {label:9} {mean:4.1f} % over the optimum, at worst {worst:.1f} %, {seconds:.2f} s")


def main() -> int:
    """Print both, and say whether the goals are met."""
    start = time.perf_counter()
    heights = {name: ours(name) for name in INSTANCES}
    between = time.perf_counter()
    peers = {name: theirs(name) for name in INSTANCES} if rectpack else {}
    end = time.perf_counter()
    print(f"{'instance':10} {'optimum':>7} {'ours':>5} {'rectpack':>8}   (height; least is best)")
    for name, (_, optimum, _) in INSTANCES.items():
        print(f"{name:10} {optimum:7} {heights[name]:5} {peers.get(name, '-'):>8}")
    own = [heights[name] / INSTANCES[name][1] for name in INSTANCES]
    other = [peers[name] / INSTANCES[name][1] for name in peers]
    told("ours", own, between - start)
    if other:
        told("rectpack", other, end - between)
    else:
        print("  rectpack  is not installed here: no comparison (install the bench group)")
    seconds, sheets, full = sixty()
    print(f"  {COUNT} blanks on {sheets} sheets, all but the last {full * 100:.0f} % full")
    print(f"  in {seconds:.2f} s, best of {ROUNDS} (goal {GOAL_S:.0f} s)")
    met = fmean(own) <= GOAL_MEAN and max(own) <= GOAL_WORST and seconds < GOAL_S
    return 0 if met and (not other or fmean(own) <= fmean(other)) else 1


if __name__ == "__main__":
    sys.exit(main())
