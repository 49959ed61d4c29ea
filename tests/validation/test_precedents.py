"""Limits on lost steel borrowed from ships, bridges and pipelines; body sheet has no published limit of its own.

Confidence marks: R read in text, R2 second-hand, M from memory, C plain arithmetic on those.
"""

from __future__ import annotations

import pytest

from soundmetal.car import catalogue
from soundmetal.grade.books import rule_book
from soundmetal.grade.finding import grade_finding
from soundmetal.grade.models import Graded, Level
from soundmetal.grade.rules import rules
from soundmetal.handbook.precedents import precedent
from soundmetal.record.models import Finding
from soundmetal.record.terms import Basis, Structure

PICKUP = catalogue.body("pickup", Structure.FRAME)
FLOOR, RAIL, SKIN = "floor.left.front", "frame_rail.left.centre", "door.left.skin"


def measured(zone_id: str, loss: float) -> Graded:
    """Grade a place that was 1 mm thick and has lost a share, measured by caliper against a reference reading."""
    reference = {"thickness": "1 mm", "method": "caliper", "surface": "cleaned"}
    reading = reference | {"thickness": f"{1 - loss:.4f} mm"}
    far = {"kind": "belt", "distance": "2 m"}
    plain = {"id": "F1", "zone": zone_id, "seen": "surface", "size": "20 x 20 mm", "mounting": far}
    finding = Finding.model_validate(plain | {"readings": [reading], "reference": reference})
    return grade_finding(finding, PICKUP.by_id[zone_id], rule_book("shop"), Basis.LIFT)


@pytest.mark.parametrize(("loss", "suspect"), [(0.24, True), (0.22, False)])
def test_v62_v63_substantial_is_over_75_percent_of_an_allowable_30(loss: float, suspect: bool) -> None:
    """V62: 24 / 30 = 80 % of the allowable, yes. V63: 22 / 30 = 73.3 %, no. IMO ESP Code. R and C."""
    found = measured(FLOOR, loss)
    assert found.limit == 0.30
    assert (found.level, found.suspect) == (Level.THINNED, suspect)


def test_suspect_begins_at_the_imo_share() -> None:
    """IMO ESP Code, 75 % of the allowable margin. R."""
    assert rules().suspect.share_of_limit == precedent("substantial").value


def test_suspect_columns_of_the_ship_rules() -> None:
    """Suspect from 15 % of an allowable 20 %, 22.5 % of 30 %. R2, columns recomputed C."""
    assert not measured(RAIL, 0.149).suspect
    assert measured(RAIL, 0.15).suspect
    assert not measured(SKIN, 0.224).suspect
    assert measured(SKIN, 0.225).suspect


def test_the_limits_are_those_of_the_ship_and_bridge_rules() -> None:
    """Shell and strength deck 20 %, stiffeners and frames 30 % (classification society). R2."""
    limits = rules().limits.loss
    assert limits["load-bearing"] == precedent("renew-shell").value
    assert limits["floor"] == limits["inner"] == limits["skin"] == precedent("renew-stiffener").value


@pytest.mark.parametrize(("zone_id", "limit"), [(RAIL, 0.20), (FLOOR, 0.30), (SKIN, 0.30)])
def test_renewal_at_the_limit(zone_id: str, limit: float) -> None:
    """Renewal zone of the ship rules, 20 and 30 %. R2."""
    assert measured(zone_id, limit).level is Level.SPENT
    assert measured(zone_id, limit - 0.001).level is Level.THINNED


def test_what_is_left_must_exceed_70_percent() -> None:
    """IMO side structure: remaining thickness in pits must exceed 70 % of as-built. R. So 70 % itself fails."""
    assert measured(FLOOR, 1 - precedent("pit-remaining").value).level is Level.SPENT


def test_a_loss_up_to_a_tenth_is_ignored() -> None:
    """B31G ignores up to 10 % (M); OSIM medium up to 10 % (M). The tool calls a tenth thinned, less surface."""
    tenth = precedent("pipe-ignore").value
    assert rules().mill.provable_loss == tenth
    assert measured(FLOOR, tenth - 0.001).level is Level.SURFACE
    assert measured(FLOOR, tenth).level is Level.THINNED


def test_severe_bridge_corrosion_of_20_percent_is_past_the_limit_of_what_carries_load() -> None:
    """OSIM: very severe over 20 % or holed. M."""
    assert measured(RAIL, precedent("bridge-severe").value + 0.001).level is Level.SPENT


def test_over_80_percent_or_a_hole_is_cut_out() -> None:
    """B31G: over 80 % repair or cut out. R."""
    assert measured(SKIN, precedent("pipe-cut-out").value).level is Level.SPENT


def test_filler_band() -> None:
    """Coating over 1000 um: body work (R2), filler (M). Over structure it means "not inspected"."""
    assert rules().filler.coating_over_um == 1000


def test_mill_tolerance_of_18_and_20_gauge_sheet() -> None:
    """18 ga 0.044 to 0.052 in., 20 ga 0.033 to 0.039 in., about +-10 %. R2."""
    for low, high in ((0.044, 0.052), (0.033, 0.039)):
        assert (high - low) / (high + low) == pytest.approx(rules().mill.provable_loss, abs=0.02)
