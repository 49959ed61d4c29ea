"""Strip packing with known optimum: Hopper and Turton (2000), Burke et al. (2004), Jakobs (1996); the NST rows.

Sources: the authors' data sheet (read) for HT, a public collection of data sets (read) for BKW and
JK. Each optimum is the area bound, and was proved reachable by an exact solver. Goals of the job: the mean within 5 %
of the optimum, none over 10 %.
"""

from __future__ import annotations

import math
import runpy
from decimal import Decimal
from functools import cache
from itertools import combinations
from pathlib import Path
from statistics import fmean
from typing import Any

import pytest
from shapely.geometry import box

from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.nest import nest
from soundmetal.scope.sheets.search import Effort, strip
from soundmetal.scope.sheets.settings import cutting
from soundmetal.scope.sheets.skyline import Packing, Part

#: Id: strip width, optimal height, rectangles (width along the strip's width x height).
INSTANCES: dict[str, tuple[int, int, str]] = {
    "HT-C1P1": (20, 20, "2x12 7x12 8x6 3x6 3x5 5x5 3x12 3x7 5x7 2x6 3x2 4x2 3x4 4x4 9x2 11x2"),
    "HT-C1P2": (20, 20, "4x1 4x5 9x4 3x5 3x9 1x4 5x3 4x1 5x5 7x2 9x3 3x13 2x8 15x4 5x4 10x6 7x2"),
    "HT-C1P3": (20, 20, "4x14 5x2 2x2 9x7 5x5 2x5 7x7 3x5 6x5 3x2 6x2 4x6 6x3 10x3 6x3 10x3"),
    "HT-C2P3": (
        40, 15,
        "12x7 7x7 7x1 5x1 3x2 6x2 7x2 5x2 3x1 6x1 12x6 9x6 12x2 7x2 10x3 4x1 5x1 16x3 5x3 4x2 5x2 10x3 9x3 16x3 5x3",
    ),
    "BKW-N1": (40, 40, "7x6 7x6 40x16 5x20 24x24 7x4 4x4 7x8 4x20 5x4"),
    "BKW-N2": (
        30, 50,
        "23x9 19x4 12x21 6x4 6x4 7x13 9x4 4x6 4x6 23x6 16x6 4x14 14x6 6x6 5x4 7x6 14x11 4x7 8x4 14x4",
    ),
    "JK-J1": (
        40, 15,
        "12x6 4x7 6x7 10x2 2x5 2x5 6x4 6x4 4x2 4x6 4x6 7x9 4x5 4x5 6x3 6x3 2x4 2x4 8x4 8x6 8x3 2x6 8x2 3x5 3x4",
    ),
}  # fmt: skip


def parts_of(name: str) -> list[Part]:
    sizes = (pair.split("x") for pair in INSTANCES[name][2].split())
    return [Part(n, int(width), int(height)) for n, (width, height) in enumerate(sizes)]


@cache
def packed(name: str) -> Packing:
    width, optimum, _ = INSTANCES[name]
    settings = cutting()
    return strip(parts_of(name), width, Effort(settings.effort, settings.starts), optimum)


@pytest.mark.parametrize("name", INSTANCES)
def test_the_instance_is_the_published_one(name: str) -> None:
    """The optimum is the area bound, so the areas must add up to it exactly (NST-01, 02, 04, 05, 07)."""
    width, optimum, _ = INSTANCES[name]
    assert sum(part.width * part.height for part in parts_of(name)) == width * optimum


@pytest.mark.parametrize("name", INSTANCES)
def test_height_within_ten_per_cent_of_the_optimum(name: str) -> None:
    optimum = INSTANCES[name][1]
    assert optimum <= packed(name).height <= optimum * 1.10


def test_mean_within_five_per_cent_of_the_optimum() -> None:
    assert fmean(packed(name).height / INSTANCES[name][1] for name in INSTANCES) <= 1.05


@pytest.mark.parametrize("name", INSTANCES)
def test_placements_are_whole_apart_and_inside(name: str) -> None:
    parts, found = {part.number: part for part in parts_of(name)}, packed(name)
    assert sorted(one.number for one in found.placed) == sorted(parts)
    boxes = [box(one.x, one.y, one.x + one.width, one.y + one.height) for one in found.placed]
    assert all(box(0, 0, INSTANCES[name][0], found.height).covers(one) for one in boxes)
    assert all(one.intersection(other).area == 0 for one, other in combinations(boxes, 2))
    for one in found.placed:
        assert {one.width, one.height} == {parts[one.number].width, parts[one.number].height}


def sheet_shop(bench_shop: Any, kerf: str, spacing: str, edge: str) -> Any:
    sheet = {"id": "it", "size": "1250 x 2500 mm", "thickness": "1 mm", "price": 60}
    return bench_shop({"sheets": [sheet], "cutting": {"kerf": kerf, "spacing": spacing, "edge": edge}})


def blanks(count: int) -> list[Blank]:
    return [
        Blank(f"floor/{n}", "floor", ("F1",), 300.0, 400.0, 0.0, 1.0, None, "flat", 0, 0.0, 0.942, sheet="it")
        for n in range(count)
    ]


def test_nst_08_yield_of_ten_parts(bench_shop: Any) -> None:
    """NST-08 (computed): ten parts of 300 x 400 mm on one sheet of 1250 x 2500 mm use 0.3840, tolerance 0.0001."""
    (sheet,) = nest(blanks(10), sheet_shop(bench_shop, "1 mm", "4 mm", "9.5 mm")).sheets
    assert sheet.used_share == pytest.approx(0.3840, abs=0.0001)
    assert sheet.mass_kg == pytest.approx(24.531, abs=0.005)  # STK-06 (computed): 1250 x 2500 x 1.0 mm
    assert sheet.price == Decimal(60)


def test_nst_09_parts_on_one_sheet(bench_shop: Any) -> None:
    """NST-09 (computed): a gap of 5 mm and an edge of 10 mm let a plain grid lay 24 parts; not one fewer here.

    The gap between finished parts is 4 mm of steel and a kerf of 1 mm, the edge 9.5 mm and half a kerf.
    """
    grid = math.floor((1250 - 20 + 5) / 305) * math.floor((2500 - 20 + 5) / 405)
    assert grid == 24
    assert len(nest(blanks(24), sheet_shop(bench_shop, "1 mm", "4 mm", "9.5 mm")).sheets) == 1


@pytest.fixture(scope="module")
def bench_shop() -> Any:
    """Give the maker of shop books of the scope's work bench."""
    return runpy.run_path(str(Path(__file__).parents[1] / "repair" / "conftest.py"))["Bench"]().shop
