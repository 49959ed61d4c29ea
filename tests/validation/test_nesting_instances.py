"""Strip packing with known optimum: Hopper and Turton (2000), Burke et al. (2004), Jakobs (1996); the NST rows.

Sources: the authors' data sheet (read) for HT, a public collection of data sets (read) for BKW and JK. Each optimum
is the area bound; an exhaustive search proves it reachable here. Goals of the job: the mean within 5 % of the
optimum, none over 10 %.
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
from strips import INSTANCES, ROWS, sizes, without_waste

from soundmetal.scope.models import Blank
from soundmetal.scope.sheets.nest import nest
from soundmetal.scope.sheets.search import Effort, strip
from soundmetal.scope.sheets.settings import cutting
from soundmetal.scope.sheets.skyline import Packing, Part


@cache
def parts_of(name: str) -> tuple[Part, ...]:
    return tuple(Part(n, width, height) for n, (width, height) in enumerate(sizes(name)))


@cache
def packed(name: str) -> Packing:
    width, optimum, _ = INSTANCES[name]
    settings = cutting()
    return strip(parts_of(name), width, Effort(settings.effort, settings.starts), optimum)


#: Every instance, named by its row of the check values where it has one.
NAMED = [pytest.param(name, id=next((row for row, one in ROWS.items() if one == name), name)) for name in INSTANCES]


@pytest.mark.parametrize("name", NAMED)
def test_the_optimum_is_the_area_bound_and_can_be_reached(name: str) -> None:
    """NST-01, 02, 04, 05 and 07 (read, exact): height 20, 20, 15, 40, 15. Nothing turned, nothing left over."""
    width, optimum, _ = INSTANCES[name]
    assert sum(part.width * part.height for part in parts_of(name)) == width * optimum
    found = without_waste(width, optimum, sizes(name))
    assert found is not None
    assert sorted((w, h) for _, _, w, h in found) == sorted(sizes(name))
    boxes = [box(x, y, x + w, y + h) for x, y, w, h in found]
    assert all(box(0, 0, width, optimum).covers(one) for one in boxes)
    assert all(one.intersection(other).area == 0 for one, other in combinations(boxes, 2))


@pytest.mark.parametrize("name", NAMED)
def test_height_within_ten_per_cent_of_the_optimum(name: str) -> None:
    optimum = INSTANCES[name][1]
    assert optimum <= packed(name).height <= optimum * 1.10


def test_mean_within_five_per_cent_of_the_optimum() -> None:
    assert fmean(packed(name).height / INSTANCES[name][1] for name in INSTANCES) <= 1.05


@pytest.mark.parametrize("name", NAMED)
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
