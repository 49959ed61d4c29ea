"""Machinery's Handbook, 31st ed., p. 1421, bending sheet metal: the worked example (published-read)."""

from __future__ import annotations

import math

import pytest

from soundmetal.calc.bend import AnsiK, bend_allowance_mm
from soundmetal.calc.bend_rules import Stock, handbook_stock_mm, y_to_k

INCH = 25.4


def stock_inch(thickness: float, radius: float, bent_deg: float, stock: Stock = Stock.SOFT_STEEL) -> float:
    return handbook_stock_mm(bent_deg, radius * INCH, thickness * INCH, stock) / INCH


def test_bnd_01_half_turn() -> None:
    assert stock_inch(0.125, 0.375, 180) == pytest.approx(1.338, abs=0.001)


def test_bnd_02_sixty_degrees() -> None:
    assert stock_inch(0.125, 0.625, 60) == pytest.approx(0.707, abs=0.001)


def test_bnd_03_blank() -> None:
    assert 3.5 + stock_inch(0.125, 0.375, 180) + stock_inch(0.125, 0.625, 60) == pytest.approx(5.545, abs=0.001)


@pytest.mark.parametrize(
    ("stock", "published"), [(Stock.SOFT_BRASS, 0.35), (Stock.SOFT_STEEL, 0.41), (Stock.COLD_ROLLED, 0.45)]
)
def test_bnd_04_y_to_k(stock: Stock, published: float) -> None:
    """28th ed. as a help page quotes it (second-hand), printed to two digits."""
    assert y_to_k(stock.value).value == pytest.approx(published, abs=0.005)


@pytest.mark.parametrize("stock", Stock)
def test_the_two_forms_are_one_rule(stock: Stock) -> None:
    """1.57 is pi/2 rounded: with K = 2 y / pi the general formula gives the stock within its 0.06 %."""
    general = bend_allowance_mm(90, 2.0, 1.0, y_to_k(stock.value))
    assert handbook_stock_mm(90, 2.0, 1.0, stock) == pytest.approx(general, rel=0.0006)


def test_a_full_turn_back_takes_twice_the_stock_of_90() -> None:
    """The handbook's 180 degrees is a full turn-back and takes twice the stock of 90; flat takes none."""
    assert stock_inch(0.125, 0.375, 180) == pytest.approx(2 * stock_inch(0.125, 0.375, 90), abs=1e-12)
    assert bend_allowance_mm(0, 3, 1, AnsiK(0.45)) == 0
    assert bend_allowance_mm(180, 3, 1, AnsiK(0.5)) == pytest.approx(math.pi * 3.5, abs=1e-12)
