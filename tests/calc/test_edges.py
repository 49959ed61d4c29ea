"""The very edges of each formula's range: the last value inside is answered, the next one is refused."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from soundmetal.calc.bead import beaded_section
from soundmetal.calc.bend import AnsiK, Bend, Face, Leg, bend_allowance_mm, flat_length_mm, setback_mm
from soundmetal.calc.bend_din import din_k, din_v_mm
from soundmetal.calc.corrosion import Air, dose_response_um
from soundmetal.calc.plate import plate_deflection_mm
from soundmetal.calc.plug import more_than_factory, nugget_mm
from soundmetal.calc.seam import butt_area_mm2, rounded_rectangle_area_mm2
from soundmetal.calc.thickness import metal_left, ultrasonic_thickness_mm
from soundmetal.calc.three_point import pert_variance

HALF = 0.5


def refused(call: Callable[[], object]) -> bool:
    try:
        call()
    except ValueError:
        return True
    return False


#: Range of the data behind the dose-response function (ISO 9223:2012 Table 3, second-hand).
RANGES = {
    "temperature_c": (-17.1, 28.7),
    "humidity_percent": (34, 93),
    "so2_mg_m2_d": (0.7, 150.4),
    "chloride_mg_m2_d": (0.4, 760.5),
}


@pytest.mark.parametrize(("name", "least", "most"), [(name, *ends) for name, ends in RANGES.items()])
def test_dose_response(name: str, least: float, most: float) -> None:
    middle = Air(10, 75, 10, 10)
    for end, beyond in ((least, -math.inf), (most, math.inf)):
        assert dose_response_um(middle._replace(**{name: end})) > 0
        assert refused(
            lambda end=end, beyond=beyond: dose_response_um(middle._replace(**{name: math.nextafter(end, beyond)}))
        )


@pytest.mark.parametrize(("warmth", "f"), [(-5, -0.75), (0, 0), (0.5, -0.027), (5, -0.27)])
def test_dose_response_changes_its_slope_at_ten_degrees(warmth: float, f: float) -> None:
    """f = 0.150 (T - 10) up to 10 C, else -0.054 (T - 10) (ISO 9223:2012, second-hand), with the rest by hand."""
    by_hand = 1.77 * 20**0.52 * math.exp(0.020 * 80 + f) + 0.102 * 5**0.62 * math.exp(
        0.033 * 80 + 0.040 * (10 + warmth)
    )
    assert dose_response_um(Air(10 + warmth, 80, 20, 5)) == pytest.approx(by_hand, rel=1e-12)


def test_angles() -> None:
    assert setback_mm(0, 1, 1) == 0
    assert setback_mm(HALF, 1, 1) == pytest.approx(2 * math.tan(math.radians(HALF) / 2), rel=1e-12)
    assert refused(lambda: setback_mm(180.5, 1, 1, Face.FLAT))
    assert refused(lambda: bend_allowance_mm(180.5, 1, 1, AnsiK(0.4)))
    assert refused(lambda: din_v_mm(180.5, 1, 1))
    assert din_v_mm(165, 3, 1) != 0


def test_a_leg_may_be_all_bend_but_no_shorter() -> None:
    def flat(leg_mm: float) -> float:
        return flat_length_mm([Leg(50, Face.OUTER_APEX), Leg(leg_mm, Face.OUTER_APEX)], [Bend(90, 5)], 1, AnsiK(0.4))

    assert flat(6.5) - flat(6.0) == pytest.approx(0.5, abs=1e-9)
    assert refused(lambda: flat(5.99))


@pytest.mark.parametrize(("ratio", "k"), [(5, 0.65 + 0.5 * math.log10(5)), (5.01, 1.0), (5.5, 1.0), (100, 1.0)])
def test_din_factor_stays_at_one_over_a_ratio_of_five(ratio: float, k: float) -> None:
    assert din_k(ratio, 1).value == pytest.approx(k, abs=1e-12)


def test_nuggets() -> None:
    assert nugget_mm(0.4) == pytest.approx(5 * math.sqrt(0.4))
    assert nugget_mm(3.0) == pytest.approx(5 * math.sqrt(3))
    assert refused(lambda: nugget_mm(0.399))
    assert refused(lambda: nugget_mm(3.001))


def test_counts_strictly_more_than_a_multiple() -> None:
    assert [more_than_factory(spots) for spots in (1, 3, 100, 1000)] == [2, 4, 131, 1301]


def test_a_butt_without_caps_is_its_gap() -> None:
    assert butt_area_mm2(0.9, 0.8) == pytest.approx(0.72, abs=1e-12)
    assert butt_area_mm2(0.9, 0.8, 3.0, 0.6) == pytest.approx(0.72 + 1.2, abs=1e-12)
    assert rounded_rectangle_area_mm2(30, 20, 0) == 600


def test_the_mills_tolerance() -> None:
    assert metal_left(0.99, 0.9) == pytest.approx(1.1)
    assert refused(lambda: metal_left(0.991, 0.9))


def test_half_of_the_way_that_sound_runs() -> None:
    assert ultrasonic_thickness_mm(2.0, 5900) == pytest.approx(5.9, abs=1e-12)
    assert ultrasonic_thickness_mm(2.0) == pytest.approx(5.9, abs=1e-12)


@pytest.mark.parametrize("size", [1e-6, 1e-3, 1.0, 1e6])
def test_variance_of_any_size(size: float) -> None:
    """Low and likely the same: mean is a sixth of the way, variance 1/6 x 5/6 / 7 of the span squared (textbook)."""
    assert pert_variance(0, 0, size) == pytest.approx(5 / 36 / 7 * size**2, rel=1e-12)
    assert pert_variance(0, size, size) == pytest.approx(5 / 36 / 7 * size**2, rel=1e-9)


def test_a_tiny_bead_and_one_as_wide_as_the_pitch() -> None:
    assert beaded_section(76.2, 0.5, 0.2, 0.1).area_mm2 > 7.6
    assert beaded_section(12.7, 12.7, 6.35, 1.0).area_mm2 == pytest.approx(math.pi * 6.35, rel=1e-9)


def test_a_plate_without_load_stays_flat() -> None:
    assert plate_deflection_mm(500, 400, 1, 0) == 0
