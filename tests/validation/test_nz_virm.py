"""New Zealand: NZTA vehicle inspection requirements manual, entry and repair certification.

Confidence marks: R read in text. No distance from mountings was found in any page read, so none is coded.
"""

from __future__ import annotations

import pytest

from soundmetal.car import catalogue
from soundmetal.grade.books import RuleBook, rule_book
from soundmetal.grade.finding import grade_finding
from soundmetal.grade.models import Graded, Level
from soundmetal.record.models import Finding
from soundmetal.record.terms import Basis, Structure

NZ = rule_book("nz")
SEDAN = catalogue.body("sedan", Structure.UNIBODY)
WING = "fender.left.front"
RAIL = next(zone.id for zone in SEDAN.zones if zone.frame_part and zone.role.value == "load-bearing")
STRUCTURAL = sorted({zone.id for zone in SEDAN.zones if zone.role.value == "load-bearing"})


def graded(zone_id: str, seen: str, book: RuleBook = NZ, **more: object) -> Graded:
    plain = {"id": "F1", "zone": zone_id, "seen": seen, "size": "20 x 20 mm", **more}
    return grade_finding(Finding.model_validate(plain), SEDAN.by_id[zone_id], book, Basis.LIFT)


def referred(found: Graded) -> list[str]:
    return [note.id for note in NZ.refer if note.id in found.book_notes]


def test_v55_a_sill_dented_more_than_25_mm_is_referred() -> None:
    """V55, Repair VIRM 3-3. R; the stored sentence is garbled just before the figure."""
    dent = NZ.limits[0]
    assert dent.id == "nz-sill-dent"
    assert dent.reached(26)
    assert not dent.reached(25)


def test_v56_a_corrosion_hole_in_a_non_structural_wing_is_referred() -> None:
    """V56, Repair VIRM 3-3. R."""
    assert referred(graded(WING, "holed")) == ["nz-hole"]


@pytest.mark.parametrize("seen", ["surface", "scale", "pitted"])
def test_a_non_structural_panel_without_a_hole_is_not_referred(seen: str) -> None:
    """The other side of V56. R."""
    assert referred(graded(WING, seen)) == []


@pytest.mark.parametrize("zone_id", STRUCTURAL)
def test_any_corrosion_in_a_structural_part_is_referred(zone_id: str) -> None:
    """Repair VIRM 3-3, rust bleed included. R."""
    assert "nz-structural" in referred(graded(zone_id, "surface"))
    assert NZ.refer_structural == "any corrosion"


@pytest.mark.parametrize("seen", ["pitted", "holed"])
def test_a_hole_or_significant_pitting_in_a_member_or_its_mount_is_referred(seen: str) -> None:
    """Repair VIRM 3-3. R."""
    assert "nz-member-pitting" in referred(graded(RAIL, seen))


def test_no_distance_is_coded_so_all_of_a_part_that_carries_a_mounting_counts() -> None:
    """4.2, last row: 150 mm or 300 mm not found in any page read."""
    assert NZ.mounting_distance_mm is None
    near = graded(RAIL, "holed", mounting={"kind": "suspension", "distance": "30 mm"})
    far = graded(RAIL, "holed", mounting={"kind": "suspension", "distance": "900 mm"})
    assert (near.level, near.rule) == (far.level, far.rule) == (Level.UNSAFE, "G1")
    assert "names no distance" in far.why[0].text


def test_other_books_refer_no_surface_rust() -> None:
    """The difference between the books: only this one refers any corrosion in structure."""
    for book in (rule_book("shop"), rule_book("uk"), rule_book("us")):
        found = graded(RAIL, "surface", book)
        assert not [note for note in book.refer if note.id in found.book_notes]
        assert book.refer_structural == "unsafe only"


def test_brazing_and_overlaps_on_structure_are_not_accepted() -> None:
    """9-2: no brazing unless the maker allows it, sound welds to standard. R; overlaps by our own choice."""
    assert not NZ.overlap_allowed_on_structure
    assert "brazed" in NZ.not_accepted_on_structure
