"""The areas that the rust share is asked for, and the reckoning of its errors, on masks whose answer is plain."""

from __future__ import annotations

import numpy as np
import pytest

from render import sharing
from render.sharing import Row
from render.skin import SCALE, SOUND
from soundmetal.steps import Spread


def _row(likely: float, rusted: float, file: str = "a.jpg") -> Row:
    return Row("pickup", file, "picture", Spread(likely / 2, likely, 2 * likely), rusted, 0.0, likely - rusted)


def test_a_box_is_a_fifth_larger_on_each_side_and_stays_in_the_picture() -> None:
    label = np.full((300, 400), SOUND, np.uint8)
    label[100:200, 0:101] = SCALE
    main = np.ones(label.shape, bool)
    (left, top), _, (right, low), _ = sharing.box(label, main) or ()
    assert (left, right) == (0, pytest.approx(120 / 400, abs=0.003))
    assert (top, low) == (pytest.approx(80 / 300, abs=0.005), pytest.approx(219 / 300, abs=0.005))


def test_nobody_outlines_a_speck_or_what_is_not_the_main_panel() -> None:
    label = np.full((300, 400), SOUND, np.uint8)
    label[100:110, 100:110] = SCALE
    assert sharing.box(label, np.ones(label.shape, bool)) is None
    label[100:200, 100:200] = SCALE
    assert sharing.box(label, np.zeros(label.shape, bool)) is None


def test_errors_have_a_sign_and_ranges_hold_or_not() -> None:
    low, high = _row(10, 14), _row(10, 4, "b.jpg")
    assert (low.error, high.error) == (-4, 6)
    assert (low.inside, high.inside) == (True, False)
    assert sharing.summary([low, high]) == "2 | 5.0 | +6 (b.jpg) | 1 | 5.0 | +6 (b.jpg)"
