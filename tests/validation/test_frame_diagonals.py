"""Diagonals of a ladder frame, geometry worked out elsewhere (computed), and the bench's tolerance (from memory)."""

from __future__ import annotations

import pytest

from soundmetal.calc.frame import diagonal_difference_mm, diagonal_mm, stagger_mm
from soundmetal.data import read_yaml
from soundmetal.record.shopbook import ShopBook

LENGTH, WIDTH = 2500.0, 800.0


def test_frm_01_ladder_of_2500_by_800() -> None:
    # FRM-01 (computed), tolerance 0.005 mm: square 2624.881 mm; 3 mm of difference is a stagger of 3.150 mm.
    assert diagonal_mm(LENGTH, WIDTH) == pytest.approx(2624.881, abs=0.005)
    assert stagger_mm(LENGTH, WIDTH, 3.0) == pytest.approx(3.150, abs=0.005)


def test_frm_02_stagger_of_5_mm() -> None:
    # FRM-02 (computed), tolerance 0.005 mm: 2.5 mm each way at one end, the other square: 4.762 mm of difference.
    assert diagonal_difference_mm(LENGTH, WIDTH, 5.0) == pytest.approx(4.762, abs=0.005)


def test_the_rows_hold_for_one_end_out_of_square() -> None:
    """Rails that slid past each other as wholes are staggered at both ends: the same 5 mm differ by 9.524 mm."""
    # By hand, to the first order: 2 s L / D = 2 x 5 x 2500 / 2624.881 = 9.524.
    assert diagonal_difference_mm(LENGTH, WIDTH, 2 * 5.0) == pytest.approx(9.524, abs=0.005)


def test_the_change_that_calls_for_a_halt_is_the_shops_to_set() -> None:
    """3 mm (1/8 in), common acceptance on a ladder frame (from memory): a line of the shop book."""
    book = ShopBook.model_validate(read_yaml("shop_book.yaml"))
    assert book.policies.diagonal_change == 3.0
