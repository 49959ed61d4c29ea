"""Roark's Formulas, Table 11.4 case 1a: simply supported plate, uniform load, nu 0.3 (published-read), against the
exact series. Printed tables differ from the series by up to 0.5 %, so that is the tolerance.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.calc.plate import plate_alpha, plate_deflection_mm

INCH = 25.4
PSI = 0.006894757293168361  # MPa

PRINTED = [
    pytest.param(1.0, 0.04436, 0.0444, 0.00406, id="PLT-01"),
    pytest.param(1.2, 0.06170, 0.0616, 0.00565, id="PLT-02"),
    pytest.param(1.4, 0.07737, 0.0770, 0.00708, id="PLT-03"),
    pytest.param(1.6, 0.09072, 0.0906, 0.00831, id="PLT-04"),
    pytest.param(1.8, 0.10173, 0.1017, 0.00932, id="PLT-05"),
    pytest.param(2.0, 0.11061, 0.1110, 0.01013, id="PLT-06"),
    pytest.param(3.0, 0.13358, 0.1335, 0.01223, id="PLT-07"),
]


@pytest.mark.parametrize(("ratio", "series", "printed", "timoshenko"), PRINTED)
def test_alpha(ratio: float, series: float, printed: float, timoshenko: float) -> None:
    alpha = plate_alpha(ratio)
    assert alpha == pytest.approx(printed, rel=0.005)  # published-read
    assert alpha == pytest.approx(series, abs=0.000006)  # computed elsewhere (double Navier series)
    assert alpha / (12 * (1 - 0.3**2)) == pytest.approx(timoshenko, rel=0.005)


def test_a_very_long_plate_is_a_strip() -> None:
    """Printed .1421 for an endless plate (published-read); a strip deflects 5/384 q b^4 / D, textbook."""
    assert plate_alpha(1000) == pytest.approx(0.1421, rel=0.005)
    assert plate_alpha(1000) == pytest.approx(12 * 0.91 * 5 / 384, rel=1e-6)


def test_plt_08_18_gauge_square() -> None:
    deflection = plate_deflection_mm(18 * INCH, 18 * INCH, 0.0478 * INCH, 0.01 * PSI, 29e6 * PSI) / INCH
    assert deflection == pytest.approx(0.01472, rel=0.005)  # computed
    assert deflection < 0.02390  # half the thickness: the formula still holds


def test_past_half_the_thickness_there_is_no_answer() -> None:
    with pytest.raises(ValueError, match="over half its thickness"):
        plate_deflection_mm(18 * INCH, 18 * INCH, 0.0478 * INCH, 0.02 * PSI, 29e6 * PSI)


@given(st.floats(1, 50), st.floats(1, 50))
def test_a_longer_plate_is_softer(one: float, other: float) -> None:
    assert plate_alpha(min(one, other)) <= plate_alpha(max(one, other)) + 1e-9


def test_the_ratio_is_long_over_short() -> None:
    with pytest.raises(ValueError, match="long side over the short"):
        plate_alpha(0.8)
