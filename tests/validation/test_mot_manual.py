"""United Kingdom: DVSA MOT inspection manual (classes 3, 4, 5, 7), as far as its text could be read.

Confidence marks: R read in text, R2 second-hand. The tool names the manual's rules beside a finding and never decides
major or dangerous itself; what is checked is that the right sentence comes, and that the level is never milder.
"""

from __future__ import annotations

import pytest

from soundmetal.car import catalogue
from soundmetal.grade.books import rule_book
from soundmetal.grade.finding import grade_finding
from soundmetal.grade.models import Graded, Level
from soundmetal.record.models import Finding
from soundmetal.record.terms import Basis, RepairKind, Structure

UK = rule_book("uk")
SEDAN = catalogue.body("sedan", Structure.UNIBODY)
SILL = next(zone.id for zone in SEDAN.zones if zone.id.startswith("rocker.left.inner"))
FLOOR = "floor.left.front"
RAIL = next(zone.id for zone in SEDAN.zones if zone.frame_part and zone.role.value == "load-bearing")


def graded(zone_id: str, seen: str, **more: object) -> Graded:
    plain = {"id": "F1", "zone": zone_id, "seen": seen, **more}
    if seen != "sound":
        plain["size"] = "60 x 40 mm"
    return grade_finding(Finding.model_validate(plain), SEDAN.by_id[zone_id], UK, Basis.LIFT)


def at(kind: str, distance: str) -> dict[str, str]:
    return {"kind": kind, "distance": distance}


def verdicts(found: Graded) -> dict[str, str | None]:
    return {note_id: UK.note(note_id).verdict for note_id in found.book_notes}


def test_the_distance_is_30_cm() -> None:
    """Appendix A section 2: within 30 cm of the mounting. R."""
    assert UK.mounting_distance_mm == 300


def test_v47_a_hole_290_mm_from_a_suspension_mount_is_in_a_prescribed_area() -> None:
    """V47, Appendix A section 2. R."""
    found = graded(SILL, "holed", mounting=at("suspension", "290 mm"))
    assert (found.near_mounting, found.level, found.rule) == (True, Level.UNSAFE, "G1")
    assert "uk-prescribed" in found.book_notes


def test_v48_a_hole_310_mm_from_it_is_not_and_the_whole_car_s_rigidity_is_the_test() -> None:
    """V48, Appendix A section 2 and 6.1.1. R."""
    found = graded(SILL, "holed", mounting=at("suspension", "310 mm"))
    assert (found.near_mounting, found.level, found.rule) == (False, Level.SPENT, "G3")
    assert "uk-prescribed" not in found.book_notes
    assert "uk-6.1.1-c-i" in found.book_notes


@pytest.mark.parametrize("zone_id", [SILL, FLOOR])
def test_v49_weakened_structure_250_mm_from_a_belt_anchorage_is_major(zone_id: str) -> None:
    """V49, 7.1.1(a)(i). R. The neighbouring sill or floor counts (Appendix A section 2, R)."""
    found = graded(zone_id, "holed", mounting=at("belt", "250 mm"))
    assert found.level is Level.UNSAFE
    assert verdicts(found)["uk-7.1.1-a-i"] == "major"


def test_v49_badly_repaired_structure_counts_as_well() -> None:
    """V49, 7.1.1(a)(i), "badly repaired". R."""
    found = graded(
        SILL, "sound", mounting=at("belt", "250 mm"), repair={"kind": "lapped patch", "state": "hides rust"}
    )
    assert (found.level, found.rule) == (Level.UNSAFE, "G1")


def test_v50_an_anchorage_likely_to_pull_out_is_dangerous() -> None:
    """V50, 7.1.1(a)(ii). R. Only a tester decides; the sentence stands beside every unsafe place at a belt."""
    found = graded(FLOOR, "gone", mounting=at("belt", "20 mm"))
    assert found.level is Level.UNSAFE
    assert verdicts(found)["uk-7.1.1-a-ii"] == "dangerous"
    assert "only a tester" in UK.note("uk-7.1.1-a-ii").text


def test_seat_mounts_count_where_the_belt_hangs_on_the_seat() -> None:
    """7.1.1(a), seat mountings. R."""
    assert "uk-7.1.1-a-i" in graded(FLOOR, "holed", mounting=at("seat", "100 mm")).book_notes


@pytest.mark.parametrize("kind", ["suspension", "steering", "brake"])
def test_v51_corrosion_likely_to_affect_steering_or_braking_is_dangerous(kind: str) -> None:
    """V51, 6.1.1(c)(ii). R."""
    found = graded(RAIL, "holed", mounting=at(kind, "100 mm"))
    assert found.level is Level.UNSAFE
    assert verdicts(found)["uk-6.1.1-c-ii"] == "dangerous"


def test_v52_a_patch_on_a_sill_over_rust_left_in_place_is_not_acceptable() -> None:
    """V52. R2."""
    found = graded(
        SILL, "scale", repair={"kind": "lapped patch", "state": "hides rust"}, mounting=at("jacking", "1 m")
    )
    assert (found.level, found.rule) == (Level.SPENT, "G5")
    assert UK.patch_seam == "continuous"
    assert "uk-patch" in found.book_notes


def test_v53_a_section_cut_out_and_plug_welded_where_factory_spots_were_is_acceptable() -> None:
    """V53. R2, quoting the manual of 2018."""
    found = graded(SILL, "sound", repair={"kind": "full panel", "state": "sound"})
    assert (found.level, found.rule) == (Level.SOUND, "G9")
    assert UK.plug_allowed == "where factory spot welds were"


@pytest.mark.parametrize("kind", ["fibreglass", "filler"])
def test_v54_glass_fibre_and_filler_over_a_chassis_leg_hole_is_not_acceptable(kind: str) -> None:
    """V54. R2, quoting the manual."""
    repair = {"kind": kind, "state": "sound", "over_hole": True}
    found = graded(RAIL, "sound", repair=repair)
    assert found.level is Level.UNSAFE
    assert "uk-not-strong" in found.book_notes


@pytest.mark.parametrize("kind", ["brazed", "filler", "fibreglass"])
def test_brazing_filler_and_fibre_are_not_strong_enough_on_load_bearing_members(kind: str) -> None:
    """The list of 4.1, "not strong enough on load-bearing members". R2."""
    assert RepairKind(kind) in UK.not_accepted_on_structure
    assert graded(SILL, "sound", repair={"kind": kind, "state": "sound"}).level in (Level.SPENT, Level.UNSAFE)


def test_excessive_corrosion_is_a_hole_or_steel_not_sound_under_the_thumb() -> None:
    """Older Appendix C. R2."""
    assert graded(SILL, "holed", mounting=at("jacking", "1 m")).rule == "G3"
    assert graded(SILL, "surface", probe="gives", mounting=at("jacking", "1 m")).rule == "G3"
    assert graded(SILL, "surface", probe="firm", mounting=at("jacking", "1 m")).level is Level.SURFACE


def test_one_hole_can_lie_in_the_areas_of_belt_and_suspension_and_is_one_repair() -> None:
    """Two prescribed areas, one repair. R. The record writes the nearest; the level is the same for either."""
    levels = {graded(SILL, "holed", mounting=at(kind, "100 mm")).level for kind in ("belt", "suspension")}
    assert levels == {Level.UNSAFE}
