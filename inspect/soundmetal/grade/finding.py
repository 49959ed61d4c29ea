"""One finding graded: metal left, area, level, score and urgency put together."""

from __future__ import annotations

import math
from dataclasses import replace

from soundmetal.car.models import Zone
from soundmetal.grade.area import area_grade, rusted_mm2
from soundmetal.grade.books import RuleBook
from soundmetal.grade.level import verdict
from soundmetal.grade.metal import UNKNOWN, loss_of, metal_left, metal_steps, past_limit
from soundmetal.grade.models import AreaGrade, Graded, Level, Step
from soundmetal.grade.nearness import counts, nearness
from soundmetal.grade.rules import rules
from soundmetal.grade.score import score_parts
from soundmetal.grade.urgency import urgency
from soundmetal.grade.when import Case
from soundmetal.record.models import Finding
from soundmetal.record.terms import Basis


def case_of(finding: Finding, zone: Zone, book: RuleBook, basis: Basis | None = None, filled: bool = False) -> Case:
    """Gather all that a rule may ask about a finding."""
    metal = metal_left(finding, zone)
    limit = rules().limits.loss[zone.role]
    return Case(
        finding=finding,
        zone=zone,
        metal=metal,
        loss=loss_of(metal.share.likely),
        limit=limit,
        past_limit=past_limit(metal, limit),
        nearness=nearness(finding, zone, book.mounting_distance_mm),
        not_accepted=book.not_accepted_on_structure,
        basis=basis,
        filled=filled,
    )


def _suspect(case: Case, level: Level) -> bool:
    share = round(case.loss / case.limit, 9)
    return level is Level.THINNED and case.metal.by != UNKNOWN and share >= rules().suspect.share_of_limit


def _suspect_steps(case: Case, suspect: bool) -> tuple[Step, ...]:
    """Why a thinned place is suspect, and that it may be worse where the eye alone judged it past its limit."""
    if not suspect:
        return ()
    rule = rules().suspect
    steps = (Step(rule.reason, {}, rule.id),)
    if case.loss < case.limit:
        return steps
    text = "It may already be past its limit of {limit_share}; only a reading can tell."
    return (*steps, Step(text, {"limit_share": case.limit}, rule.id))


def _area_step(area: AreaGrade | None) -> tuple[Step, ...]:
    if area is None:
        return ()
    text = "{rusted_pct} of the part has rusted: degree Ri {ri_count} of ISO 4628-3, grade {d610_count} of ASTM D610."
    return (Step(text, {"rusted_pct": area.percent, "ri_count": area.ri, "d610_count": area.d610}, "ISO 4628-3"),)


def _distance_step(case: Case, distance_mm: float | None) -> tuple[Step, ...]:
    """The warning that a spent place may be near a mounting after all, because nobody measured how far it is."""
    near = case.nearness
    open_ = case.level is Level.SPENT and not near.near and not near.distance_known
    if not open_ or near.mounting is None or distance_mm is None or not counts(case.zone):
        return ()
    text = (
        "Nobody measured how far this is from the mounting ({mounting_word}); within {within_mm} it would be unsafe."
    )
    return (Step(text, {"mounting_word": near.mounting.value, "within_mm": distance_mm}, rules().nearness.id),)


def grade_finding(finding: Finding, zone: Zone, book: RuleBook, basis: Basis, filled: bool = False) -> Graded:
    """Grade one finding. `filled` says that the zone's coating is so thick that filler lies under it."""
    case = case_of(finding, zone, book, basis, filled)
    found = verdict(case)
    case = replace(case, level=found.level, held=(found.rule, *found.also))
    suspect = _suspect(case, found.level)
    area = area_grade(finding, zone)
    near = case.nearness.near
    parts = score_parts(found.level, case.loss, case.limit, area, zone.role, near)
    return Graded(
        finding=finding,
        zone_id=zone.id,
        level=found.level,
        rule=found.rule,
        also=found.also,
        suspect=suspect,
        metal_left=case.metal,
        loss=case.loss,
        limit=case.limit,
        area=area,
        rusted_mm2=rusted_mm2(finding),
        score=math.fsum(part.points for part in parts),
        parts=parts,
        urgency=urgency(found.level, zone.role, suspect),
        why=(
            *found.why,
            *_distance_step(case, book.mounting_distance_mm),
            *_suspect_steps(case, suspect),
            *metal_steps(case.metal),
            *_area_step(area),
        ),
        near_mounting=near,
        book_notes=book.applying(case),
    )
