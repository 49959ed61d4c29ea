"""The simulation against the moments worked out on paper, and its laws."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import numpy as np
import pytest

from soundmetal.calc.three_point import pert_mean, pert_variance
from soundmetal.grade.models import Spread
from soundmetal.scope.growth import Hidden
from soundmetal.scope.items import Estimate, Material, WorkItem
from soundmetal.scope.models import Operation
from soundmetal.scope.moments import moments
from soundmetal.scope.simulate import seed_of, simulate

RATES = {"metal": Decimal(100)}
FIXED = Spread(1.0, 1.0, 1.0)
BOX = Spread(1.1, 1.6, 3.0)


def item(likely: float, low: float, high: float, *, variable: bool = False, power: float = 0.0) -> WorkItem:
    operation = Operation("x", "x", "p", (), "x", 1, "h", Spread(low * likely, likely, high * likely), "invented")
    return WorkItem(operation, "metal", 0.0 if variable else likely, likely if variable else 0.0, power, low, high)


def panel(*work: WorkItem, growth: Spread = FIXED, chance: float = 0.0, inner: tuple[WorkItem, ...] = ()) -> Estimate:
    return Estimate("p", (), Hidden(growth, chance), work, (), inner_work=inner, rates=RATES)


#: 5/8/14 and its relatives, as factors on the likely value: EST-02 (beta-PERT mean 8.5, variance 2.75; S76 read).
PERT = item(8.0, 5 / 8, 14 / 8)


def many() -> list[Estimate]:
    return [
        panel(
            *(item(1.0 + n, 0.75, 1.6) for n in range(6)),
            item(3.0, 0.75, 1.6, variable=True, power=0.5),
            item(2.0, 0.75, 2.0, variable=True, power=1.0),
            growth=BOX,
            chance=0.3,
            inner=(item(2.0, 0.75, 1.6), item(1.5, 0.75, 1.6)),
        )
        for _ in range(8)
    ]


def test_one_operation_has_the_published_moments() -> None:
    found = moments([panel(PERT)], 0.4)
    assert found.mean == pytest.approx(8.5, abs=0.0005)
    assert found.sd == pytest.approx(1.6583, abs=0.0005)
    hours = simulate([panel(PERT)], 0.4, 10_000, seed=1).hours.sum(axis=0)
    assert np.mean(hours) == pytest.approx(8.5, rel=0.001)
    assert np.std(hours) == pytest.approx(1.6583, rel=0.01)


@pytest.mark.parametrize(("rho", "sigma"), [(0.0, 3.0), (1.0, 6.0)])
def test_est_12_four_alike(rho: float, sigma: float) -> None:
    # EST-12 (computed): four items of sigma 1.5 at rho 0 and 1 -> 3.0000, 6.0000; here scaled from 1.6583.
    found = moments([panel(PERT, PERT), panel(PERT, PERT)], rho)
    assert found.sd / 1.65831 * 1.5 == pytest.approx(sigma, abs=0.001)


def test_est_12_four_alike_in_part() -> None:
    # EST-12 (computed): rho 0.3 -> 4.1352 for the product-moment correlation; ours is of the scores, a little lower.
    found = moments([panel(PERT, PERT), panel(PERT, PERT)], 0.3).sd / 1.65831 * 1.5
    assert found == pytest.approx(4.1352, rel=0.01)
    assert found <= 4.1352


@pytest.mark.parametrize("rho", [0.0, 0.4, 1.0])
def test_mean_and_variance_agree_with_paper(rho: float) -> None:
    parts = many()
    hours = simulate(parts, rho, 100_000, seed=7).hours.sum(axis=0)
    paper = moments(parts, rho)
    assert np.mean(hours) == pytest.approx(paper.mean, rel=0.001)
    assert np.var(hours) == pytest.approx(paper.sd**2, rel=0.01)


@pytest.mark.parametrize("rho", [0.0, 1.0])
def test_every_seed_agrees_with_paper(rho: float) -> None:
    """The draws that the shop book asks for, work and its growth: 1 % for each seed.

    Spent inner layers come by chance as a whole, and so scatter more (1.8 % at most in 40 seeds): see above.
    """
    parts = [replace(one, inner_work=(), hidden=Hidden(BOX, 0.0)) for one in many()]
    paper = moments(parts, rho)
    for seed in range(8):
        hours = simulate(parts, rho, 10_000, seed=seed).hours.sum(axis=0)
        assert np.mean(hours) == pytest.approx(paper.mean, rel=0.001), seed
        assert np.var(hours) == pytest.approx(paper.sd**2, rel=0.01), seed


def test_an_independent_sum_is_the_sum_of_the_variances() -> None:
    work = [item(1.0 + n, 0.75, 1.6) for n in range(5)]
    total = sum(pert_variance(0.75 * (1 + n), 1 + n, 1.6 * (1 + n)) for n in range(5))
    assert moments([panel(*work)], 0.0).sd ** 2 == pytest.approx(total)
    mean = sum(pert_mean(0.75 * (1 + n), 1 + n, 1.6 * (1 + n)) for n in range(5))
    assert moments([panel(*work)], 0.0).mean == pytest.approx(mean)


def test_a_certain_inner_layer_is_plain_work() -> None:
    extra = item(4.0, 0.75, 1.6)
    certain = panel(PERT, chance=1.0, inner=(extra,))
    assert moments([certain], 0.4).mean == pytest.approx(moments([panel(PERT, extra)], 0.4).mean)
    assert moments([certain], 0.4).sd == pytest.approx(moments([panel(PERT, extra)], 0.4).sd)


def test_the_inner_layer_shows_as_often_as_its_chance() -> None:
    inner = panel(item(0.0, 1.0, 1.0), chance=0.3, inner=(item(1.0, 1.0, 1.0),))
    hours = simulate([inner], 0.4, 10_000, seed=3).hours[0]
    assert np.mean(hours) == pytest.approx(0.3)
    assert set(np.unique(hours)) == {0.0, 1.0}


def test_money_is_hours_at_the_rate_and_what_is_bought() -> None:
    bought = replace(panel(PERT), materials=(Material("sheet", Decimal("40.00")),))
    draws = simulate([bought], 0.4, 1000, seed=1)
    assert draws.money[0] == pytest.approx(draws.hours[0] * 100 + 40)


def test_seed_comes_from_the_findings_only(bench: Any) -> None:
    found = bench.finding()
    one, later = bench.inspection(found), bench.inspection(found, date="2027-01-01", inspector="somebody else")
    other = bench.inspection(bench.finding(size="121 x 80 mm"))
    assert seed_of(one) == seed_of(later) != seed_of(other)


def test_same_seed_same_draws() -> None:
    one, other = (simulate(many(), 0.4, 500, seed=11) for _ in range(2))
    assert np.array_equal(one.money, other.money)
    assert not np.array_equal(one.money, simulate(many(), 0.4, 500, seed=12).money)


def test_nothing_to_simulate() -> None:
    assert moments([], 0.4).sd == 0
    assert simulate([], 0.4, 100, seed=1).hours.shape == (0, 100)
