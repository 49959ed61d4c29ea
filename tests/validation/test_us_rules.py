"""United States: 49 CFR 393.201 for commercial vehicles as a reference, and notes from states; Quebec beside them.

Confidence marks: R read in text, R2 second-hand.
"""

from __future__ import annotations

import pytest

from soundmetal.car import catalogue
from soundmetal.grade.books import rule_book, rule_books
from soundmetal.grade.finding import grade_finding
from soundmetal.grade.models import Graded, Level
from soundmetal.record.models import Finding
from soundmetal.record.terms import Basis, Structure

US = rule_book("us")
PICKUP = catalogue.body("pickup", Structure.FRAME)
SEDAN = catalogue.body("sedan", Structure.UNIBODY)
FLOOR, RAIL = "floor.left.front", "frame_rail.left.centre"
INCH_MM = 25.4


def graded(zone_id: str, seen: str, book_id: str = "us", body=PICKUP, **more: object) -> Graded:
    plain = {"id": "F1", "zone": zone_id, "seen": seen, **more}
    if seen != "sound":
        plain["size"] = "60 x 40 mm"
    return grade_finding(Finding.model_validate(plain), body.by_id[zone_id], rule_book(book_id), Basis.LIFT)


@pytest.mark.parametrize("zone_id", [z.id for z in SEDAN.zones if z.frame_part])
def test_v57_a_structural_member_perforated_by_rust_does_not_comply(zone_id: str) -> None:
    """V57, Quebec C-24.2 r.32 s.98. R. Every book calls it unsafe, whatever the distance."""
    far = {"kind": "suspension", "distance": "2 m"}
    for book in rule_books():
        assert graded(zone_id, "holed", book.id, SEDAN, mounting=far).level is Level.UNSAFE


def test_v57_cracked_does_not_comply_either() -> None:
    """V57, Quebec s.98, "not cracked, broken". R."""
    found = graded(RAIL, "surface", cracked=True, mounting={"kind": "brake", "distance": "2 m"})
    assert (found.level, found.rule) == (Level.UNSAFE, "G2")


def test_v58_a_floor_hole_patched_with_riveted_steel_is_allowed_in_virginia() -> None:
    """V58, 19VAC30-70-640. R."""
    found = graded(FLOOR, "sound", repair={"kind": "riveted patch", "state": "sound", "over_hole": True})
    assert (found.level, found.rule) == (Level.SOUND, "G9")
    assert set(US.floor_patch_fixings) == {"riveted", "screwed", "welded"}
    assert "us-va-floor" in found.book_notes


def test_a_riveted_patch_on_structure_would_not_meet_the_british_rule() -> None:
    """4.3, where the rules differ: riveted patches pass on a floor in Virginia, not on structure in the UK."""
    riveted = {"kind": "riveted patch", "state": "sound"}
    rocker = next(z.id for z in SEDAN.zones if z.role.value == "load-bearing" and not z.frame_part)
    assert graded(rocker, "sound", "uk", SEDAN, repair=riveted).level in (Level.SPENT, Level.UNSAFE)
    assert graded(rocker, "sound", "us", SEDAN, repair=riveted).level is Level.SOUND


@pytest.mark.parametrize("kind", ["foam", "tape"])
def test_v59_a_floor_hole_closed_with_foam_or_tape_is_not_allowed_in_pennsylvania(kind: str) -> None:
    """V59, bulletin BI 11-1 as reported. R2."""
    found = graded(FLOOR, "sound", repair={"kind": kind, "state": "sound", "over_hole": True})
    assert (found.level, found.rule) == (Level.SPENT, "G5")
    assert "us-pa-floor" in found.book_notes


def test_v60_welding_on_a_frame_waits_for_the_maker_s_advice() -> None:
    """V60, 49 CFR 393.201(d), commercial vehicles. R. The book refers every spent frame part for that advice."""
    found = graded(RAIL, "holed")
    assert "us-393.201-d" in found.book_notes
    assert "us-393.201-d" in [note.id for note in US.refer]
    assert "us-393.201-d" not in graded(FLOOR, "holed").book_notes


def test_v61_a_crack_of_1_6_inches_in_a_side_rail_web_is_out_of_service() -> None:
    """V61, out-of-service criteria: 1.5 in. or more in the web, 1 in. or more in the bottom flange. R2."""
    web, flange = (US.by_id[name] for name in ("us-crack-web", "us-crack-flange"))
    assert web.reached(1.6 * INCH_MM)
    assert web.reached(1.5 * INCH_MM)
    assert not web.reached(1.4 * INCH_MM)
    assert flange.reached(1.0 * INCH_MM)
    assert not flange.reached(0.9 * INCH_MM)


def test_a_rusted_through_cabin_floor_is_rejected_in_maryland() -> None:
    """COMAR 11.14.02.18. R."""
    found = graded(FLOOR, "holed")
    assert found.level in (Level.SPENT, Level.UNSAFE)
    assert "us-md-floor" in found.book_notes


def test_a_frame_that_is_cracked_or_broken_is_told_by_the_federal_rule() -> None:
    """49 CFR 393.201(a). R."""
    assert "us-393.201-a" in graded(RAIL, "scale", cracked=True).book_notes


def test_the_borrowed_distance_says_that_it_is_borrowed() -> None:
    """No United States rule names a distance; 30 cm come from the MOT manual."""
    assert "borrowed" in US.mounting_distance_source
    assert "us-distance" in graded(FLOOR, "holed", mounting={"kind": "belt", "distance": "1 in"}).book_notes
