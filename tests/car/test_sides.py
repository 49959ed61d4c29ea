"""Left and right."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from soundmetal.car import sides

POINTS = st.lists(st.tuples(st.integers(-9999, 9999), st.integers(-9999, 9999)), max_size=9).map(tuple)


@given(POINTS)
def test_mirroring_twice_gives_the_shape_back(points: tuple[tuple[float, float], ...]) -> None:
    assert sides.mirrored(sides.mirrored(points)) == points


def test_zero_stays_a_plain_zero() -> None:
    assert str(sides.mirrored(((1.0, 0.0),))[0][1]) == "0.0"


def test_only_a_whole_part_of_an_id_is_a_side() -> None:
    assert sides.other_side("left.leftover") == "right.leftover"
    assert not sides.has_side("leftover.front")


def test_only_whole_words_are_replaced() -> None:
    assert sides.reworded("Left leftover, left", {"Left": "Right", "left": "right"}) == "Right leftover, right"
    assert sides.reworded("Left", {}) == "Left"
