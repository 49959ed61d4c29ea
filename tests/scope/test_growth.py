from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from soundmetal.car.models import Construction
from soundmetal.errors import SettingsError
from soundmetal.grade.models import Spread
from soundmetal.record.terms import Basis
from soundmetal.repair.models import Geometry, Method
from soundmetal.scope import growth as module
from soundmetal.scope.growth import growth, hidden, power_mean

PATCH = Geometry(strip_mm2=40_000, blanks=1)


@pytest.mark.parametrize(
    ("construction", "factor"),
    [
        (Construction.OPEN_SKIN, (1.0, 1.1, 1.4)),
        (Construction.LAPPED_SEAM, (1.0, 1.3, 2.0)),
        (Construction.CLOSED_BOX, (1.1, 1.6, 3.0)),
    ],
)
def test_walked_round_is_the_table(construction: Construction, factor: tuple[float, float, float]) -> None:
    # The table of what is still hidden: common practice, no source.
    found = growth().spread(construction, Basis.WALKROUND)
    assert (found.low, found.likely, found.high) == pytest.approx(factor)


@pytest.mark.parametrize("construction", list(Construction))
def test_looking_closer_narrows_and_bare_metal_hides_nothing(construction: Construction) -> None:
    highs = [growth().spread(construction, basis).high for basis in Basis]
    assert highs == sorted(highs, reverse=True)
    assert growth().spread(construction, Basis.BLASTED) == Spread(1, 1, 1)
    assert growth().basis[Basis.BLASTED].inner == 0


def test_a_cut_out_cannot_outgrow_its_panel(bench: Any) -> None:
    zone = bench.zone(size_mm=(250.0, 200.0), construction="closed box")
    found = hidden(zone, Method.PATCH, PATCH, Basis.WALKROUND, inner_known=False)
    assert found.growth == Spread(1.1, 1.25, 1.25)


def test_a_whole_panel_does_not_grow_but_may_hide_its_inner_layer(bench: Any) -> None:
    zone = bench.zone(construction="closed box")
    found = hidden(zone, Method.FULL_PANEL, PATCH, Basis.WALKROUND, inner_known=False)
    assert found.growth == Spread(1, 1, 1)
    assert found.inner_chance == pytest.approx(0.3)


def test_no_chance_where_the_inner_layer_was_seen_or_nothing_is_cut(bench: Any) -> None:
    zone = bench.zone(construction="closed box")
    assert hidden(zone, Method.PATCH, PATCH, Basis.PHOTOS, inner_known=True).inner_chance == 0
    treat = Geometry(strip_mm2=1000)
    assert hidden(zone, Method.TREAT, treat, Basis.PHOTOS, inner_known=False).inner_chance == 0
    leave = hidden(zone, Method.LEAVE, Geometry(), Basis.PHOTOS, inner_known=False)
    assert (leave.growth, leave.inner_chance) == (Spread(1, 1, 1), 0)


def test_the_mean_of_a_power_is_between_its_ends() -> None:
    found = Spread(1.1, 1.6, 3.0)
    assert power_mean(found, 1.0) == pytest.approx((1.1 + 4 * 1.6 + 3.0) / 6, rel=1e-5)
    draws = np.random.default_rng(1).beta(1 + 4 * 0.5 / 1.9, 1 + 4 * 1.4 / 1.9, 400_000) * 1.9 + 1.1
    assert power_mean(found, 0.5) == pytest.approx(float(np.mean(np.sqrt(draws))), rel=0.002)
    assert power_mean(Spread(4.0, 4.0, 4.0), 0.5) == 2.0


def test_wrong_data_names_the_key(monkeypatch: pytest.MonkeyPatch) -> None:
    wrong = {"source": "x", "factor": {"open skin": [0.5, 1, 2]}, "inner": {}, "basis": {}}
    monkeypatch.setattr(module, "read_yaml", lambda _name: wrong)
    growth.cache_clear()
    try:
        with pytest.raises(SettingsError, match=r"growth\.yaml, factor\.open skin"):
            growth()
    finally:
        growth.cache_clear()
