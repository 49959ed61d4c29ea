"""Kerf on mild steel of a plasma training course (published-read) and the path rule CUT-01 (published-read)."""

from __future__ import annotations

import pytest

from soundmetal.handbook.shop_tables import kerf_mm

INCH = 25.4


@pytest.mark.parametrize(
    ("amperes", "least_inch", "most_inch"),
    [
        (25, 0.050, 0.060),
        (30, 0.050, 0.060),
        (40, 0.065, 0.080),
        (50, 0.065, 0.080),
        (65, 0.080, 0.110),
        (80, 0.080, 0.110),
    ],
)
def test_bands(amperes: float, least_inch: float, most_inch: float) -> None:
    """The course prints both units, mm to one decimal."""
    low, high = kerf_mm(amperes)
    assert low == pytest.approx(least_inch * INCH, abs=0.051)
    assert high == pytest.approx(most_inch * INCH, abs=0.051)


def test_kerf_of_cut_01_is_in_the_first_band() -> None:
    assert kerf_mm(30)[1] == 1.5


@pytest.mark.parametrize("amperes", [20, 35, 60, 100])
def test_between_the_bands_nothing_is_made_up(amperes: float) -> None:
    with pytest.raises(ValueError, match="measure a test cut"):
        kerf_mm(amperes)
