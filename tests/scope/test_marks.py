"""Marks round a cut: where they can stand, and the diagonals that the packet tells of them."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.record.terms import Aim
from soundmetal.scope.marks import marks_round
from soundmetal.scope.models import Blank, Scope

OFF = 25.0


def blank(x0: float, y0: float, x1: float, y1: float, *bent: str) -> Blank:
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))
    return Blank(
        "a/1", "a", ("F1",), x1 - x0, y1 - y0, 20.0, 0.9, 20, "flat", 0, 0.0, 1.0, outline_mm=corners, bent=bent
    )


@pytest.mark.parametrize(
    ("cut", "marks"),
    [  # on a panel of 1000 x 500 mm, marks 25 mm off, worked out by hand
        (blank(300, 200, 470, 330), (220, 180)),
        (blank(300, 0, 470, 130, "lower"), (220, 130)),  # from 25 mm over the lower edge to 25 mm over the cut
        (blank(300, 0, 470, 500, "lower", "upper"), (220, 450)),
        (blank(0, 200, 170, 330, "front"), (170, 180)),
        (blank(0, 0, 170, 130, "front", "lower"), None),  # no steel where the fourth mark would be
        (blank(0, 0, 1000, 500, "lower", "upper", "front", "rear"), None),
        (blank(300, 380, 470, 490), None),  # 10 mm from the panel's upper edge
    ],
)
def test_marks_by_hand(bench: Any, cut: Blank, marks: tuple[float, float] | None) -> None:
    found = marks_round([cut], bench.zone(), OFF)
    assert found == (None if marks is None else pytest.approx(marks))


def test_one_rectangle_stands_round_all_cuts_of_a_panel(bench: Any) -> None:
    both = [blank(300, 200, 400, 300), blank(600, 250, 700, 350)]
    assert marks_round(both, bench.zone(), OFF) == pytest.approx((450, 200))


def test_no_tape_lies_straight_on_a_compound_shape_and_nothing_is_marked_for_nothing(bench: Any) -> None:
    cut = blank(300, 200, 470, 330)
    assert marks_round([cut], bench.zone(shape="single curve"), OFF) is not None
    assert marks_round([cut], bench.zone(shape="compound"), OFF) is None
    assert marks_round([], bench.zone(), OFF) is None


@given(st.floats(0, 900), st.floats(0, 400), st.floats(10, 1000), st.floats(10, 500))
def test_every_mark_stands_on_the_panel_and_off_the_cut(bench: Any, x: float, y: float, w: float, h: float) -> None:
    x1, y1 = min(x + w, 1000.0), min(y + h, 500.0)
    found = marks_round([blank(x, y, x1, y1)], bench.zone(), OFF)
    fits = x >= OFF and y >= OFF and x1 <= 1000 - OFF and y1 <= 500 - OFF
    assert (found is not None) == fits
    if found is not None:
        assert found == pytest.approx((x1 - x + 2 * OFF, y1 - y + 2 * OFF))


def test_the_order_tells_the_diagonals_of_a_braced_opening(scopes: dict[Aim, Scope], car: Any) -> None:
    told = [t.text.values for s in scopes.values() for t in s.order if "diagonal_mm" in t.text.values]
    assert told
    for values in told:
        assert values["diagonal_mm"] == pytest.approx(math.hypot(values["marks_long_mm"], values["marks_high_mm"]))
        assert values["change_mm"] == car.shop.policies.diagonal_change
    plain = [t for s in scopes.values() for t in s.order if t.stage == "brace" and "diagonal_mm" not in t.text.values]
    assert all(set(task.text.values) == {"panel_zone"} for task in plain)
