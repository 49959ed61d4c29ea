"""How well a call-out fits, on made-up masks whose answer is plain."""

from __future__ import annotations

import numpy as np
import pytest

from render import pointing
from render.pointing import area, pointed

SHAPE = (300, 400)


def _mask(*boxes: tuple[int, int, int, int]) -> np.ndarray:
    """Pixels of boxes given as left, top, right, low."""
    out = np.zeros(SHAPE, bool)
    for left, top, right, low in boxes:
        out[top:low, left:right] = True
    return out


def _box(left: float, top: float, right: float, low: float) -> np.ndarray:
    return area("box", [(left / 400, top / 300), (right / 400, low / 300)], 0, SHAPE)


def test_shapes_have_their_area() -> None:
    """The drawing takes the edges in: half a pixel all round."""
    corners = [(0.1, 0.2), (0.3, 0.2), (0.3, 0.5)]
    assert area("box", [(0.3, 0.5), (0.1, 0.2)], 0, SHAPE).sum() == 81 * 91
    assert area("circle", [(0.5, 0.5)], 0.1, SHAPE).sum() == pytest.approx(np.pi * 40.5**2, rel=0.01)
    assert area("polygon", corners, 0, SHAPE).sum() == pytest.approx(80 * 90 / 2 + (80 + 90 + 120) / 2, rel=0.01)


def test_a_call_out_that_fits_has_everything() -> None:
    told = pointed(_box(100, 80, 199, 139), _mask((100, 80, 200, 140)))
    assert (told.share, told.cover) == (pytest.approx(1, abs=0.02), pytest.approx(1, abs=0.02))
    assert told.worst == pytest.approx(1, abs=0.02)


@pytest.mark.parametrize("shift", [(33, 0), (-33, 0), (0, 20), (0, -20)])
def test_one_shifted_by_a_third_of_itself_does_not_fit(shift: tuple[int, int]) -> None:
    right, down = shift
    told = pointed(_box(100 + right, 80 + down, 199 + right, 139 + down), _mask((100, 80, 200, 140)))
    assert told.worst == pytest.approx(0.67, abs=0.03)


def test_a_row_of_small_things_is_one_place() -> None:
    row = _mask(*((x, 100, x + 8, 108) for x in range(100, 300, 40)))
    assert pointed(_box(98, 100, 269, 107), row).worst > 0.9
    assert pointed(_box(98 + 57, 100, 269 + 57, 107), row).worst < 0.75


def test_what_lies_elsewhere_and_specks_change_nothing() -> None:
    named = _mask((100, 80, 200, 140), (300, 200, 380, 280), (210, 90, 214, 94))
    assert pointed(_box(100, 80, 199, 139), named).worst == pytest.approx(1, abs=0.02)


def test_nothing_held_is_nothing() -> None:
    assert pointed(_box(10, 10, 40, 40), _mask((100, 80, 200, 140))).worst == 0
    assert pointed(np.zeros(SHAPE, bool), _mask((100, 80, 200, 140))).share == 0
    assert pointed(_box(120, 90, 130, 100), _mask((100, 80, 300, 240))).worst == 0


def test_the_way_between_two_points_on_a_plate_seen_straight() -> None:
    half = [[0.5, 0, 20], [0, 0.5, -7], [0, 0, 1]]
    assert pointing.apart_mm(half, [(0.25, 0.5), (0.5, 0.5)], (400, 300)) == pytest.approx(50)
    assert pointing.apart_mm(half, [(0.25, 0.5), (0.25, 0.1)], (400, 300)) == pytest.approx(60)
