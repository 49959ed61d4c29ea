"""The whole car graded: findings worst first, every zone in the order of the walk."""

from __future__ import annotations

from soundmetal.car.models import Body
from soundmetal.errors import LinkError
from soundmetal.grade.books import RuleBook
from soundmetal.grade.finding import grade_finding
from soundmetal.grade.models import SEVERITY, Graded, Grades
from soundmetal.grade.zones import is_filled, zone_state
from soundmetal.record.models import Finding, Inspection
from soundmetal.words import did_you_mean


def _graded(finding: Finding, inspection: Inspection, body: Body, book: RuleBook) -> Graded:
    zone = body.by_id.get(finding.zone)
    if zone is None:
        hint = did_you_mean(finding.zone, body.by_id)
        raise LinkError(f'finding {finding.id}: the {body.id} has no zone "{finding.zone}"', todo=hint)
    filled = is_filled(inspection.zones.get(zone.id))
    return grade_finding(finding, zone, book, inspection.basis, filled)


def grade_car(inspection: Inspection, body: Body, book: RuleBook) -> Grades:
    """Grade every finding and every zone. Findings come worst first: by level, then score, then the walk.

    Raises LinkError for a finding in a zone that the body does not have.
    """
    walk = {zone.id: place for place, zone in enumerate(body.zones)}
    graded = sorted(
        (_graded(finding, inspection, body, book) for finding in inspection.findings),
        key=lambda one: (-SEVERITY[one.level], -one.score, walk[one.zone_id]),
    )
    zones = tuple(
        zone_state(zone, inspection, tuple(one for one in graded if one.zone_id == zone.id)) for zone in body.zones
    )
    return Grades(tuple(graded), zones)
