from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.frame import Point, datum_diagonals_mm, diagonal_difference_mm, diagonal_mm, stagger_mm, twist_mm

LENGTHS, WIDTHS = st.floats(200, 6000), st.floats(200, 2500)


def ladder(length: float, width: float, front: float = 0.0, rear: float = 0.0) -> list[Point]:
    """Four points of a ladder frame whose left ones lie ahead of the right ones by `front` and `rear`."""
    return [(-front / 2, 0, 0), (front / 2, width, 0), (length + rear / 2, width, 0), (length - rear / 2, 0, 0)]


@given(LENGTHS, WIDTHS, st.floats(0, 50))
def test_difference_is_that_of_points_measured(length: float, width: float, stagger: float) -> None:
    one, other = datum_diagonals_mm(ladder(length, width, rear=stagger))
    assert diagonal_difference_mm(length, width, stagger) == pytest.approx(abs(one - other), abs=1e-6)


@given(LENGTHS, WIDTHS, st.floats(0, 50))
def test_stagger_is_told_back(length: float, width: float, stagger: float) -> None:
    difference = diagonal_difference_mm(length, width, stagger)
    assert stagger_mm(length, width, difference) == pytest.approx(stagger, abs=1e-6)


@given(LENGTHS, WIDTHS, st.floats(0, 25))
def test_rails_slid_as_wholes_count_twice(length: float, width: float, slide: float) -> None:
    one, other = datum_diagonals_mm(ladder(length, width, front=slide, rear=slide))
    assert one == pytest.approx(math.hypot(length + slide, width), abs=1e-6)
    assert diagonal_difference_mm(length, width, 2 * slide) == pytest.approx(abs(one - other), abs=1e-6)


@given(LENGTHS, WIDTHS)
def test_a_square_frame_has_equal_diagonals_and_no_twist(length: float, width: float) -> None:
    points = ladder(length, width)
    assert datum_diagonals_mm(points) == pytest.approx((diagonal_mm(length, width),) * 2, abs=1e-9)
    assert twist_mm(points) == 0


@pytest.mark.parametrize("up", [-12.0, 4.0])
def test_twist_shows_in_the_fourth_corner_and_hardly_in_the_diagonals(up: float) -> None:
    points = [*ladder(2500, 800)[:2], (2500.0, 800.0, up), (2500.0, 0.0, 0.0)]
    assert twist_mm(points) == pytest.approx(up, abs=1e-9)
    one, other = datum_diagonals_mm(points)
    assert abs(one - other) < 0.03


def test_what_cannot_be_measured_is_refused() -> None:
    with pytest.raises(ValueError, match="more than 0"):
        diagonal_mm(0, 800)
    with pytest.raises(ValueError, match="twice the length"):
        diagonal_difference_mm(100, 800, 200)
    with pytest.raises(ValueError, match="twice the length"):
        stagger_mm(100, 800, 200)
    with pytest.raises(ValueError, match="0 or more"):
        stagger_mm(100, 800, -1)
    with pytest.raises(ValueError, match="3 datum points"):
        datum_diagonals_mm(ladder(2500, 800)[:3])
    with pytest.raises(ValueError, match="one line"):
        twist_mm([(0, 0, 0), (0, 1, 0), (0, 2, 0), (0, 3, 0)])
