"""Rusted area: how much of the zone has rusted, with its ISO 4628-3 degree and ASTM D610 grade."""

from __future__ import annotations

from soundmetal.car.models import Zone
from soundmetal.grade.models import AreaGrade
from soundmetal.handbook import area_grades
from soundmetal.record.models import Finding
from soundmetal.record.terms import Seen

GIVEN = "judged at the car"
COMPUTED = "rusted area over the zone's usual area"
ALL_OF_IT = "rusted area is larger than the zone's usual area"


def rusted_mm2(finding: Finding) -> float:
    """Give the rusted area in mm2: as written, of its outline, or length x width; 0 where the steel is sound."""
    if finding.seen is Seen.SOUND:
        return 0.0
    return finding.rust_area or 0.0


def area_grade(finding: Finding, zone: Zone) -> AreaGrade | None:
    """Grade the rusted share of the zone; None where the steel is sound and no share was written.

    A share written at the car comes first. An area larger than the zone's usual area counts as all of it, and
    `from_` says so. Source: ISO 4628-3 with the ceiling rule, ASTM D610.
    """
    if finding.rusted_share is not None:
        percent, from_ = finding.rusted_share, GIVEN
    elif finding.seen is Seen.SOUND:
        return None
    else:
        share = rusted_mm2(finding) / zone.area_mm2
        percent, from_ = (100 * share, COMPUTED) if share <= 1 else (100.0, ALL_OF_IT)
    return AreaGrade(percent, area_grades.ri(percent), area_grades.d610(percent), from_)
