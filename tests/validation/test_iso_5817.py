"""EN ISO 5817:2007, Table 1, rows 1.7, 1.9 and 1.11, thickness 0.5 to 3 mm (published-read in an excerpt)."""

from __future__ import annotations

import pytest

from soundmetal.handbook.welding import Level, butt_limits


@pytest.mark.parametrize(
    ("level", "excess", "penetration", "undercut"),
    [
        pytest.param("B", 1.40, 1.40, 0.00, id="ISO-B"),
        pytest.param("C", 1.60, 2.20, 0.10, id="ISO-C"),
        pytest.param("D", 2.00, 3.40, 0.20, id="ISO-D"),
    ],
)
def test_butt_weld_of_1_mm_with_a_bead_of_4(level: Level, excess: float, penetration: float, undercut: float) -> None:
    limits = butt_limits(level, thickness_mm=1.0, bead_width_mm=4.0)
    assert limits.excess_weld_metal_mm == pytest.approx(excess, abs=0.001)
    assert limits.excess_penetration_mm == pytest.approx(penetration, abs=0.001)
    assert limits.undercut_mm == pytest.approx(undercut, abs=0.001)


@pytest.mark.parametrize(("level", "most"), [("B", 5), ("C", 7), ("D", 10)])
def test_excess_has_a_printed_maximum(level: Level, most: float) -> None:
    assert butt_limits(level, 3.0, 200).excess_weld_metal_mm == most  # published-read


@pytest.mark.parametrize("thickness", [0.4, 3.1, float("nan")])
def test_only_the_thickness_that_was_read(thickness: float) -> None:
    with pytest.raises(ValueError, match="outside the rows"):
        butt_limits("C", thickness, 4)
