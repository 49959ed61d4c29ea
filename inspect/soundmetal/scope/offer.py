"""The offer of one state: what an owner is asked, taken from the grades and the scopes of the three aims."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping

from soundmetal.car.models import Body, Role, Zone
from soundmetal.grade.models import Graded, Grades, Level, Spread
from soundmetal.record.models import Inspection
from soundmetal.record.offer import Ends, MoneyEnds, Offer, OfferedAim, OfferedFinding, OfferedPanel
from soundmetal.record.substance import mark_of
from soundmetal.record.terms import Aim
from soundmetal.scope.models import MoneyRange, PanelWork, Scope

#: Digits behind the point that are kept of hours and days: far finer than anything is told.
_DIGITS = 4


def offer_of(inspection: Inspection, body: Body, grades: Grades, scopes: Mapping[Aim, Scope]) -> Offer:
    """Make the offer. `scopes` must be those of all the work, as if every answer were still open."""
    return Offer(
        inspection=identity(inspection),
        date=inspection.date,
        basis=inspection.basis,
        aim=inspection.aim,
        currency=inspection.currency,
        findings={graded.finding.id: _finding(graded, body) for graded in grades.findings},
        aims={aim: _aim(scopes[aim]) for aim in Aim},
    )


def identity(inspection: Inspection) -> str:
    """Give the id that is written in the record, or one made of the car and the day where none is."""
    if inspection.id:
        return inspection.id
    told = f"{inspection.vehicle.model_dump_json()} {inspection.date.isoformat()}"
    return hashlib.sha256(told.encode()).hexdigest()[:12]


def touches_safety(graded: Graded, zone: Zone) -> bool:
    """Tell whether a finding touches safety: unsafe, or spent steel that carries load or holds a mounting."""
    if graded.level is Level.UNSAFE:
        return True
    carries = zone.role is Role.LOAD_BEARING or graded.near_mounting
    return graded.level is Level.SPENT and carries


def _finding(graded: Graded, body: Body) -> OfferedFinding:
    return OfferedFinding(
        zone=graded.zone_id,
        level=graded.level.value,
        safety=touches_safety(graded, body.by_id[graded.zone_id]),
        mark=mark_of(graded.finding),
    )


def _aim(scope: Scope) -> OfferedAim:
    return OfferedAim(
        hours=_ends(scope.total.hours),
        price=_money(scope.total.price),
        days=_ends(scope.days),
        panels={work.panel: _panel(work) for work in scope.panels},
    )


def _panel(work: PanelWork) -> OfferedPanel:
    taken = work.choice.taken
    return OfferedPanel(
        findings=taken.findings, method=taken.method.value, hours=_ends(work.hours), price=_money(work.price)
    )


def _ends(spread: Spread) -> Ends:
    return Ends(
        low=round(spread.low, _DIGITS) + 0.0,
        likely=round(spread.likely, _DIGITS) + 0.0,
        high=round(spread.high, _DIGITS) + 0.0,
    )


def _money(price: MoneyRange) -> MoneyEnds:
    return MoneyEnds(low=price.low, likely=price.likely, high=price.high)
