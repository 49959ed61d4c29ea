"""Packing, the search for an order, which sheets to take, and the tidy lay: laws that hold for any parts."""

from __future__ import annotations

from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from soundmetal.scope.sheets.search import Effort, fill, largest_free, strip
from soundmetal.scope.sheets.settle import largest_empty, settle
from soundmetal.scope.sheets.skyline import Part, Placed, pack
from soundmetal.scope.sheets.stock import Slab, plan

SIZES = st.lists(st.tuples(st.integers(1, 60), st.integers(1, 60), st.booleans()), min_size=1, max_size=14)
SHORT = Effort(200, 2)


def parts_of(sizes: list[tuple[int, int, bool]]) -> list[Part]:
    return [Part(n, *size) for n, size in enumerate(sizes)]


def sound(placed: tuple[Placed, ...], parts: list[Part], length: int, width: int) -> None:
    """Check that nothing overlaps or sticks out, and that sizes are the parts' own, turned only where allowed."""
    by_number = {part.number: part for part in parts}
    for one in placed:
        part = by_number[one.number]
        as_is = (one.width, one.height) == (part.width, part.height)
        assert as_is or (part.turns and (one.height, one.width) == (part.width, part.height))
        assert min(one.x, one.y) >= 0
        assert one.x + one.width <= length
        assert one.y + one.height <= width
    shapes = [box(one.x, one.y, one.x + one.width, one.y + one.height) for one in placed]
    assert all(one.intersection(other).area == 0 for one, other in combinations(shapes, 2))


@given(sizes=SIZES, width=st.integers(1, 120), height=st.integers(1, 120), scored=st.booleans())
def test_a_packing_is_sound_and_loses_nothing(
    sizes: list[tuple[int, int, bool]], width: int, height: int, scored: bool
) -> None:
    parts = parts_of(sizes)
    found = pack(parts, width, height, scored=scored)
    sound(found.placed, parts, width, height)
    assert sorted([*found.left, *(one.number for one in found.placed)]) == list(range(len(parts)))
    assert sum(step[2] for step in found.skyline) == width
    for x, y, wide in found.skyline:
        assert not [p for p in found.placed if p.x < x + wide and x < p.x + p.width and p.y + p.height > y]


@given(sizes=SIZES, length=st.integers(60, 150), width=st.integers(60, 120))
@settings(max_examples=40, deadline=None)
def test_a_sheet_is_sound_and_what_it_keeps_is_empty(
    sizes: list[tuple[int, int, bool]], length: int, width: int
) -> None:
    parts = parts_of(sizes)
    layout = fill(parts, length, width, SHORT)
    tidy = settle(layout, length, width)
    for one in (layout, tidy):
        sound(one.placed, parts, length, width)
        if one.offcut:
            sound((*one.placed, one.offcut), [*parts, Part(-1, one.offcut.width, one.offcut.height)], length, width)
    assert tidy.offcut_area >= layout.offcut_area
    assert sum(p.x + p.y for p in tidy.placed) <= sum(p.x + p.y for p in layout.placed)


@given(sizes=SIZES)
@settings(max_examples=30, deadline=None)
def test_a_strip_is_never_lower_than_its_area(sizes: list[tuple[int, int, bool]]) -> None:
    parts = parts_of(sizes)
    found = strip(parts, 60, SHORT)
    sound(found.placed, parts, 60, found.height)
    assert found.height * 60 >= sum(part.width * part.height for part in parts)


def test_more_effort_is_never_worse() -> None:
    parts = parts_of([(7 + 3 * n % 11, 5 + 7 * n % 13, True) for n in range(20)])
    heights = [strip(parts, 40, Effort(tries, 4)).height for tries in (0, 2_000, 20_000)]
    assert heights == sorted(heights, reverse=True)


def test_a_part_wider_than_the_strip() -> None:
    with pytest.raises(ValueError, match="wider than the strip"):
        strip([Part(0, 50, 60)], 40, SHORT)


def test_a_part_may_stand_to_fit() -> None:
    assert strip([Part(0, 50, 30)], 40, SHORT).height == 50
    with pytest.raises(ValueError, match="wider"):
        strip([Part(0, 50, 30, turns=False)], 40, SHORT)


def brute_empty(placed: list[Placed], length: int, width: int) -> int:
    """Area of the largest empty rectangle, by trying every rectangle of whole cells."""
    taken = {(x, y) for p in placed for x in range(p.x, p.x + p.width) for y in range(p.y, p.y + p.height)}
    best = 0
    for x0 in range(length):
        for y0 in range(width):
            high = width
            for x1 in range(x0, length):
                top = next((y for y in range(y0, high) if (x1, y) in taken), high)
                high = min(high, top)
                best = max(best, (x1 - x0 + 1) * (high - y0))
    return best


@given(sizes=st.lists(st.tuples(st.integers(1, 6), st.integers(1, 5), st.booleans()), min_size=1, max_size=6))
def test_largest_empty_rectangle_as_by_trying_all(sizes: list[tuple[int, int, bool]]) -> None:
    found = pack(parts_of(sizes), 9, 8)
    free = largest_empty(found.placed, 9, 8)
    assert (free.width * free.height if free else 0) == brute_empty(list(found.placed), 9, 8)


def test_nothing_is_free_on_a_full_sheet() -> None:
    assert largest_empty([Placed(0, 0, 0, 10, 8)], 10, 8) is None
    assert largest_free([(0, 8, 10)], 8) is None


def slab(name: str, length: int, width: int, price: str, *, offcut: bool = False) -> Slab:
    return Slab(name, length, width, Decimal(price), offcut)


def test_a_plan_takes_the_cheapest_set_of_sheets() -> None:
    """Worked by hand: four halves of B need two B (8) or, with A holding one half each, four A (12): 8 is least."""
    slabs = [slab("A", 60, 60, "3"), slab("B", 120, 60, "4")]
    parts = [Part(n, 60, 60) for n in range(4)]
    assert [one.sheet for one, _ in plan(parts, slabs, [], SHORT)] == ["B", "B"]
    assert [one.sheet for one, _ in plan(parts[:3], slabs, [], SHORT)] == ["B", "A"]
    assert [one.sheet for one, _ in plan(parts[:1], slabs, [], SHORT)] == ["A"]


def test_of_equal_cost_fewer_sheets() -> None:
    slabs = [slab("half", 60, 60, "2"), slab("whole", 120, 60, "4")]
    assert [one.sheet for one, _ in plan([Part(n, 60, 60) for n in range(2)], slabs, [], SHORT)] == ["whole"]


def test_sheets_for_nothing_end_as_well() -> None:
    laid = plan([Part(n, 50, 50) for n in range(5)], [slab("gift", 60, 60, "0")], [], SHORT)
    assert len(laid) == 5


def test_a_plan_says_what_fits_nowhere() -> None:
    with pytest.raises(ValueError, match=r"\[1\] fit on no sheet"):
        plan([Part(0, 5, 5), Part(1, 70, 70)], [slab("A", 60, 60, "3")], [], SHORT)
