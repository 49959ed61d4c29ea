"""Every zone of the car: the worst of its findings, or what its checks allow to be said. Never sound unseen."""

from __future__ import annotations

from soundmetal.car.models import Construction, Zone
from soundmetal.grade.models import SEVERITY, Graded, Level, Step, ZoneState
from soundmetal.grade.rules import rules
from soundmetal.record.models import Inspection, NotSeen, ZoneCheck
from soundmetal.record.terms import Basis, Check, CheckResult

UNCHECKED = ZoneCheck()


def is_filled(check: ZoneCheck | None) -> bool:
    """Tell whether a coating reading is so thick that filler must lie under it (M4)."""
    limit_mm = rules().filler.coating_over_um / 1000
    return any(reading.thickness > limit_mm for reading in check.coating) if check else False


def done(check: ZoneCheck) -> tuple[Check, ...]:
    """Give the questions that were put to a zone, whatever they gave."""
    return tuple(one for one in Check if check.result(one) is not CheckResult.NOT_DONE)


def noted(check: ZoneCheck) -> bool:
    """Tell whether a check of the zone gave rust or a doubt."""
    return any(check.result(one) in (CheckResult.RUST, CheckResult.DOUBT) for one in Check)


def _reason(zone: Zone, check: ZoneCheck, basis: Basis) -> str:
    """Name the sentence (of the rules' `zones`) for a zone without findings that nobody marked as not seen."""
    rule, asked = rules().zones, done(check)
    inside = zone.construction is not Construction.CLOSED_BOX or any(c in asked for c in rule.closed_box_needs_one_of)
    in_order = {
        "noted": noted(check),
        "filled": is_filled(check),
        "unchecked": not asked,
        "photos": basis is Basis.PHOTOS,
        "not looked": not all(one in asked for one in rule.sound_needs),
        "inside": not inside,
    }
    return next((name for name, holds in in_order.items() if holds), "clear")


def _own_state(zone: Zone, check: ZoneCheck, not_seen: NotSeen | None, basis: Basis) -> ZoneState:
    says = rules().zones.says[not_seen.why.value if not_seen else _reason(zone, check, basis)]
    level = next(rule.level for rule in rules().levels if rule.id == says.rule)
    asked = done(check)
    missing = tuple(one.value for one in zone.checks if one not in asked)
    return ZoneState(zone.id, level, says.rule, Step(says.text, {}, says.rule), missing=missing)


def zone_state(zone: Zone, inspection: Inspection, graded: tuple[Graded, ...]) -> ZoneState:
    """Say how a zone stands. `graded` are its findings, worst first; a sound one never makes an unseen zone sound."""
    not_seen = next((one for one in inspection.not_seen if one.zone == zone.id), None)
    check = inspection.zones.get(zone.id, UNCHECKED)
    own = _own_state(zone, check, not_seen, inspection.basis)
    if not graded:
        return own
    ids, worst = tuple(one.finding.id for one in graded), graded[0]
    leads = SEVERITY[worst.level] >= SEVERITY[own.level]
    level, rule, why = (worst.level, worst.rule, worst.why[0]) if leads else (own.level, own.rule, own.why)
    return ZoneState(zone.id, level, rule, why, ids, own.missing)


def worst_level(states: tuple[ZoneState, ...]) -> Level:
    """Give the worst level of some zones; not seen if there are none."""
    return max((state.level for state in states), key=lambda level: SEVERITY[level], default=Level.NOT_SEEN)
