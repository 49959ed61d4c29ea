"""The tack plan's laws: every tack once, none too far from its neighbours, the next one always well away."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.seam import rounded_rectangle_perimeter_mm
from soundmetal.calc.tacks import coolness_mm, tack_order, tack_places_mm, tack_stages

Point = tuple[float, float]


def ring(count: int, spacing: float = 24.0) -> list[Point]:
    radius = count * spacing / (2 * math.pi)
    turns = [2 * math.pi * n / count for n in range(count)]
    return [(radius * math.cos(turn), radius * math.sin(turn)) for turn in turns]


def line(count: int, spacing: float = 24.0) -> list[Point]:
    return [(n * spacing, 0.0) for n in range(count)]


@given(st.floats(1, 5000), st.floats(8, 60), st.booleans())
def test_no_two_neighbours_stand_further_apart_than_the_spacing(seam: float, spacing: float, closed: bool) -> None:
    places = tack_places_mm(seam, spacing, closed)
    ends = [*places, seam] if closed else list(places)
    assert places[0] == 0
    assert ends[-1] == pytest.approx(seam)
    assert all(0 < far - near <= spacing * (1 + 1e-9) for near, far in pairwise(ends))


def test_pch_03_the_published_seam() -> None:
    # PCH-03 (geometry, computed): 170 x 130 mm, corners 19 mm, tacks 25 mm or closer -> 23.
    places = tack_places_mm(rounded_rectangle_perimeter_mm(170, 130, 19), 25)
    assert len(places) == 23


@given(st.integers(1, 120), st.floats(8, 25), st.booleans())
def test_every_tack_is_made_once_and_the_first_round_is_coarse(count: int, spacing: float, closed: bool) -> None:
    rounds = tack_stages(count, spacing, closed)
    points = ring(count, spacing) if closed else line(count, spacing)
    assert sorted(n for one in rounds for n in one) == list(range(count))
    assert sorted(tack_order(points, rounds)) == list(range(count))
    # Start 50 to 75 mm apart and halve (common practice, from memory).
    assert all((far - near) * spacing <= 75 for near, far in pairwise(rounds[0]))
    if count > 8:
        assert rounds[0][1] * spacing > 37.5


@pytest.mark.parametrize("closed", [True, False])
@pytest.mark.parametrize("count", [12, 16, 17, 23, 24, 29, 40, 61, 100])
def test_consecutive_tacks_lie_far_apart(count: int, closed: bool) -> None:
    points = ring(count) if closed else line(count)
    order = tack_order(points, tack_stages(count, 24.0, closed))
    nearest = min(math.dist(points[one], points[next_]) for one, next_ in pairwise(order))
    assert nearest > 2.5 * 24
    longest = max(math.dist(points[0], point) for point in points)
    assert count < 40 or nearest > 0.25 * longest


@pytest.mark.parametrize("count", [8, 12, 23, 40, 80])
def test_no_tack_falls_beside_one_that_is_still_warm(count: int) -> None:
    points = ring(count)
    order = tack_order(points, tack_stages(count, 24.0))
    in_turn = coolness_mm(points[1], [points[0]])
    cool = [coolness_mm(points[n], [points[m] for m in order[:k]]) for k, n in enumerate(order) if k]
    assert min(cool) > 1.5 * in_turn


def test_rounds_that_miss_a_tack_are_refused() -> None:
    with pytest.raises(ValueError, match="every tack once"):
        tack_order(line(4), [(0, 2), (1,)])
    with pytest.raises(ValueError, match="at least one"):
        tack_stages(0, 25)


def test_same_seam_same_order() -> None:
    orders = {tack_order(ring(37), tack_stages(37, 24.0)) for _ in range(3)}
    assert len(orders) == 1
