"""Metal left, ultrasonic readings and the borrowed limits: ASTM E797 (published-read), IMO code (published-read)."""

from __future__ import annotations

import pytest

from soundmetal.calc.thickness import (
    loss_share,
    metal_left,
    share_of_allowable,
    ultrasonic_excess_um,
    ultrasonic_thickness_mm,
)
from soundmetal.handbook.precedents import precedent
from soundmetal.handbook.sources import Confidence


@pytest.mark.parametrize(
    ("loss", "used", "substantial"),
    [pytest.param(0.24, 0.80, True, id="V62"), pytest.param(0.22, 0.733, False, id="V63")],
)
def test_substantial_corrosion(loss: float, used: float, substantial: bool) -> None:
    """Allowable 30 %: more than 75 % of it is substantial (IMO, published-read)."""
    assert share_of_allowable(loss, 0.30) == pytest.approx(used, abs=0.0005)
    assert (share_of_allowable(loss, 0.30) > precedent("substantial").value) is substantial


def test_v67_pits_are_gauged_over_15_percent_of_a_face() -> None:
    assert precedent("pitted-area").value < 0.16  # published-read


def test_v68_v69_coating() -> None:
    good, poor = precedent("coating-good").value, precedent("coating-poor").value
    assert 0.02 < good <= 0.15 <= poor  # published-read: 2 % good, 15 % fair


def test_v72_loss() -> None:
    assert loss_share(0.90, 1.214) == pytest.approx(0.259, abs=0.0005)  # computed


def test_v73_no_loss() -> None:
    assert loss_share(0.912, 0.912) == 0


def test_v75_transit_time() -> None:
    assert ultrasonic_thickness_mm(1.00, 5900) == pytest.approx(2.95, abs=0.005)  # published-read


def test_paint_reads_as_236_per_cent_steel() -> None:
    """One um of paint reads as 2.36 um of steel (velocities published-read, ratio computed)."""
    assert ultrasonic_excess_um(1) == pytest.approx(2.36, abs=0.005)


def test_thickness_far_over_the_original_is_a_wrong_figure() -> None:
    assert metal_left(0.98, 0.90) > 1  # rolled thick, within the mill's 10 %
    with pytest.raises(ValueError, match="one of them is wrong"):
        metal_left(1.10, 0.90)


def test_what_was_only_remembered_says_so() -> None:
    assert precedent("bridge-severe").source.confidence is Confidence.MEMORY
    assert precedent("renew-stiffener").value == 0.30  # second-hand
