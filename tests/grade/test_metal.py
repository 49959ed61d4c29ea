from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from soundmetal.grade.metal import NOT_PROOF, NOT_REFERENCE, loss_of, metal_left, metal_steps, past_limit
from soundmetal.grade.models import Spread

# Metal left by eye: the project's own rule (common practice, from memory), table of rule M1.
BY_EYE = {
    "surface": (0.92, 0.97, 1.00),
    "scale": (0.65, 0.80, 0.92),
    "pitted": (0.40, 0.60, 0.80),
    "holed": (0.00, 0.15, 0.40),
    "gone": (0.00, 0.00, 0.00),
}


@pytest.mark.parametrize("seen", BY_EYE)
def test_without_a_reading_the_eye_judges(seen, make_zone, make_finding):
    metal = metal_left(make_finding(seen=seen), make_zone())
    assert (metal.share.low, metal.share.likely, metal.share.high) == BY_EYE[seen]
    assert metal.by == "judged by eye"
    assert metal.least_mm is None
    assert not metal.provable


def test_the_mean_counts_for_a_floor_and_the_least_for_what_carries_load(make_zone, make_finding, reading):
    finding = make_finding(seen="scale", readings=[reading("0.9 mm"), reading("0.7 mm")], reference=reading("1.0 mm"))
    floor, rail = make_zone(role="floor"), make_zone(role="load-bearing")
    assert metal_left(finding, floor).share.likely == pytest.approx(0.8)
    assert metal_left(finding, rail).share.likely == pytest.approx(0.7)
    for zone in (floor, rail):
        metal = metal_left(finding, zone)
        assert (metal.least_mm, metal.mean_mm) == (0.7, pytest.approx(0.8))
        assert (metal.share.low, metal.share.high) == (pytest.approx(0.7), pytest.approx(0.9))
        assert (metal.by, metal.original_from, metal.provable) == ("measured", "reference reading", True)


def test_against_nominal_the_mill_tolerance_widens_the_range(make_zone, make_finding, reading):
    metal = metal_left(make_finding(readings=[reading("0.8 mm")]), make_zone())
    assert metal.original_from == "nominal"
    assert metal.share.low == pytest.approx(0.8 / 1.1)
    assert metal.share.high == pytest.approx(0.8 / 0.9)


@pytest.mark.parametrize(("thickness", "provable"), [("0.91 mm", False), ("0.90 mm", True), ("0.80 mm", True)])
def test_less_than_a_tenth_is_not_provable_against_nominal(thickness, provable, make_zone, make_finding, reading):
    assert metal_left(make_finding(readings=[reading(thickness)]), make_zone()).provable is provable
    with_reference = make_finding(readings=[reading(thickness)], reference=reading("1.0 mm"))
    assert metal_left(with_reference, make_zone()).provable


@pytest.mark.parametrize("method", ["ultrasonic", "echo-to-echo"])
@pytest.mark.parametrize("surface", ["paint", "rust"])
def test_ultrasonic_over_paint_or_rust_never_proves_sound(method, surface, make_zone, make_finding, reading):
    """Such readings were measured 0.6 to 2.2 mm high (facts on measuring, read)."""
    metal = metal_left(make_finding(seen="pitted", readings=[reading("1.0 mm", method, surface)]), make_zone())
    assert metal.by == "judged by eye"
    assert metal.share == Spread(0.40, 0.60, 0.80)
    assert metal.ignored == (NOT_PROOF,)
    assert metal.least_mm is None


def test_ultrasonic_over_rust_counts_when_it_says_thin(make_zone, make_finding, reading):
    finding = make_finding(seen="surface", readings=[reading("0.7 mm", "ultrasonic", "rust")])
    metal = metal_left(finding, make_zone(role="floor"))
    assert (metal.by, metal.share.likely, metal.ignored) == ("measured", pytest.approx(0.7), ())
    assert metal.share.low == 0  # the reading may be too high by more than the sheet is thick
    assert past_limit(metal, 0.30)


def test_a_thin_ultrasonic_reading_never_makes_a_place_better(make_zone, make_finding, reading):
    both = [reading("0.5 mm"), reading("0.69 mm", "ultrasonic", "paint")]
    metal = metal_left(make_finding(seen="scale", readings=both), make_zone(role="floor"))
    assert metal.share.likely == pytest.approx(0.5)
    by_eye = metal_left(make_finding(seen="pitted", readings=both[1:]), make_zone(role="floor"))
    assert (by_eye.by, by_eye.share.likely) == ("judged by eye", 0.60)
    assert by_eye.share.high == pytest.approx(0.69 / 0.9)


@pytest.mark.parametrize("surface", ["bare", "cleaned"])
def test_ultrasonic_on_clean_steel_counts_both_ways(surface, make_zone, make_finding, reading):
    metal = metal_left(make_finding(readings=[reading("0.95 mm", "ultrasonic", surface)]), make_zone())
    assert (metal.by, metal.share.likely) == ("measured", pytest.approx(0.95))


RAIL = {"role": "load-bearing", "thickness": {"mm": 4.0, "source": "x", "confidence": "x"}}


@pytest.mark.parametrize(
    ("method", "surface"), [("ultrasonic", "paint"), ("ultrasonic", "rust"), ("echo-to-echo", "rust")]
)
def test_on_thick_steel_too_it_is_only_the_most_that_can_be_left(method, surface, make_zone, make_finding, reading):
    """0.6 to 2.2 mm too high is as much as a 4 mm rail may lose in all (read)."""
    zone, reference = make_zone(**RAIL), reading("4.0 mm")
    for thick in ("3.7 mm", "4.9 mm"):
        metal = metal_left(make_finding(readings=[reading(thick, method, surface)], reference=reference), zone)
        assert (metal.by, metal.share.likely, metal.ignored) == ("judged by eye", 0.97, (NOT_PROOF,))
    metal = metal_left(make_finding(readings=[reading("3.4 mm", method, surface)], reference=reference), zone)
    assert (metal.by, metal.share.likely, metal.ignored) == ("measured", pytest.approx(0.85), ())
    assert metal.share.low == pytest.approx((3.4 - 2.2) / 4 if surface == "rust" else 0.85)


def test_echo_to_echo_over_paint_counts_both_ways_on_thick_steel(make_zone, make_finding, reading):
    finding = make_finding(seen="scale", readings=[reading("3.9 mm", "echo-to-echo", "paint")])
    assert metal_left(finding, make_zone(**RAIL)).by == "measured"
    assert metal_left(finding, make_zone(**RAIL)).share.likely == pytest.approx(0.975)


def test_a_hole_stays_a_hole_whatever_the_rim_reads(make_zone, make_finding, reading):
    metal = metal_left(make_finding(seen="holed", readings=[reading("0.95 mm")]), make_zone())
    assert (metal.by, metal.share) == ("judged by eye", Spread(0.0, 0.15, 0.40))
    assert metal.least_mm == 0.95
    assert any("what was seen counts" in step.text for step in metal_steps(metal))


def test_a_reference_through_paint_is_not_used(make_zone, make_finding, reading):
    finding = make_finding(readings=[reading("0.8 mm")], reference=reading("1.6 mm", "ultrasonic", "paint"))
    metal = metal_left(finding, make_zone())
    assert (metal.original_mm, metal.original_from, metal.ignored) == (1.0, "nominal", (NOT_REFERENCE,))


@pytest.mark.parametrize(("state", "likely"), [("hides rust", 0.7), ("unsure", 1.0)])
def test_what_an_earlier_repair_hides_is_unknown(state, likely, make_zone, make_finding):
    finding = make_finding(seen="sound", repair={"kind": "lapped patch", "state": state})
    metal = metal_left(finding, make_zone())
    assert (metal.by, metal.share) == ("unknown", Spread(0.0, likely, 1.0))
    assert not past_limit(metal, 0.30)


def test_a_reading_over_the_original_says_nothing_lost(make_zone, make_finding, reading):
    assert metal_left(make_finding(readings=[reading("1.05 mm")]), make_zone()).share.likely == 1.0


def test_by_eye_only_the_better_end_calls_a_place_spent(make_zone, make_finding):
    pitted = metal_left(make_finding(seen="pitted"), make_zone())
    assert not past_limit(pitted, 0.30)
    assert past_limit(pitted, 0.20)
    assert not past_limit(metal_left(make_finding(seen="scale"), make_zone()), 0.20)


def test_loss_percent_of_the_fact_sheet():
    """V72, V73 (computed): 1.214 mm worn to 0.90 mm has lost 25.9 %, 0.912 mm still 0.912 mm has lost nothing."""
    assert loss_of(0.90 / 1.214) == pytest.approx(0.259, abs=0.0005)
    assert loss_of(0.912 / 0.912) == 0


METHODS = st.sampled_from(["caliper", "micrometer", "ultrasonic", "echo-to-echo"])
SURFACES = st.sampled_from(["bare", "cleaned", "paint", "rust"])
SEEN = st.sampled_from(list(BY_EYE))
ROLES = st.sampled_from(["skin", "inner", "floor", "load-bearing"])
HUNDREDTHS = st.integers(0, 109)


@given(seen=SEEN, role=ROLES, method=METHODS, surface=SURFACES, readings=st.lists(HUNDREDTHS, min_size=1, max_size=4))
def test_a_range_is_always_in_order_and_a_share(
    seen, role, method, surface, readings, make_zone, make_finding, reading, told
):
    values = [reading(f"{n / 100} mm", method, surface) for n in readings]
    metal = metal_left(make_finding(seen=seen, readings=values), make_zone(role=role))
    assert 0 <= metal.share.low <= metal.share.likely + 1e-12
    assert metal.share.likely <= metal.share.high + 1e-12 <= 1 + 1e-9
    assert told(metal_steps(metal))


@given(
    seen=SEEN,
    role=ROLES,
    sheet_mm=st.sampled_from([1.0, 4.0]),
    method=METHODS,
    surface=SURFACES,
    others=st.lists(st.tuples(HUNDREDTHS, METHODS, SURFACES), max_size=3),
    thin=HUNDREDTHS,
    thicker=st.integers(0, 50),
)
def test_thinner_steel_never_reads_as_more_metal(
    seen, role, sheet_mm, method, surface, others, thin, thicker, make_zone, make_finding, reading
):
    """Lowering one of several readings never raises the metal left, whatever each was read with."""
    zone = make_zone(role=role, thickness={"mm": sheet_mm, "source": "x", "confidence": "x"})

    def share(hundredths):
        rows = [*others, (hundredths, method, surface)]
        readings = [reading(f"{n * sheet_mm / 100:.4f} mm", m, s) for n, m, s in rows]
        return metal_left(make_finding(seen=seen, readings=readings), zone).share.likely

    more = min(109, thin + thicker)
    assert share(thin) <= share(more) + 1e-12
