"""ISO 9223:2012, Table 2, carbon steel, and its dose-response function (both second-hand)."""

from __future__ import annotations

import pytest

from soundmetal.calc.corrosion import Air, dose_response_um
from soundmetal.calc.units import STEEL_KG_M3
from soundmetal.handbook import corrosivity


@pytest.mark.parametrize(
    ("loss_um", "category"),
    [
        pytest.param(1.3, "C1", id="V26"),
        pytest.param(25, "C2", id="V27"),
        pytest.param(25.1, "C3", id="V28"),
        pytest.param(80, "C4", id="V29"),
        pytest.param(250, "CX", id="V30"),
    ],
)
def test_category(loss_um: float, category: str) -> None:
    assert corrosivity.category(loss_um) == category


#: Both columns read again from the printed table: name, um, g/m2.
PRINTED = [
    ("C1", (0, 1.3), (0, 10)),
    ("C2", (1.3, 25), (10, 200)),
    ("C3", (25, 50), (200, 400)),
    ("C4", (50, 80), (400, 650)),
    ("C5", (80, 200), (650, 1500)),
    ("CX", (200, 700), (1500, 5500)),
]


@pytest.mark.parametrize(("name", "um", "g_m2"), PRINTED)
def test_both_columns(name: str, um: tuple[float, float], g_m2: tuple[float, float]) -> None:
    assert corrosivity.first_year_um(name) == um
    assert corrosivity.first_year_g_m2(name) == g_m2
    assert corrosivity.category(um[1]) == corrosivity.category_by_mass(g_m2[1]) == name


@pytest.mark.parametrize("name", [row[0] for row in PRINTED])
def test_columns_agree_within_their_rounding(name: str) -> None:
    """The um are rounded from the g/m2, not computed: 1500 g/m2 is 191 um, printed 200. None is further off."""
    derived_um = corrosivity.first_year_g_m2(name)[1] / STEEL_KG_M3 * 1000
    assert derived_um == pytest.approx(corrosivity.first_year_um(name)[1], rel=0.05)


def test_v45_dose_response() -> None:
    loss = dose_response_um(Air(temperature_c=10, humidity_percent=75, so2_mg_m2_d=10, chloride_mg_m2_d=10))
    assert loss == pytest.approx(33.80, abs=0.005)  # computed on second-hand inputs
    assert corrosivity.category(loss) == "C3"


def test_dose_response_has_its_peak_of_sulphur_at_ten_degrees() -> None:
    """f is 0 at 10 C and falls on both sides (second-hand, Formula (1)); salt alone rises with warmth."""
    at = {t: dose_response_um(Air(t, 75, 100, 0.4)) for t in (5.0, 10.0, 15.0)}
    assert at[5.0] < at[10.0] > at[15.0]


@pytest.mark.parametrize(
    "air", [Air(-18, 75, 10, 10), Air(10, 95, 10, 10), Air(10, 75, 0.5, 10), Air(10, 75, 10, 800)]
)
def test_dose_response_ends_where_its_data_ended(air: Air) -> None:
    with pytest.raises(ValueError, match="must lie between"):
        dose_response_um(air)


@pytest.mark.parametrize("loss", [-0.1, 700.1])
def test_no_category_outside_the_table(loss: float) -> None:
    with pytest.raises(ValueError, match="outside ISO 9223"):
        corrosivity.category(loss)
