"""Jobs that an owner has answered: one of which more was found since, one that is closed."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from typing import Any

from soundmetal.record.offer import Offer
from soundmetal.report.before import Before
from soundmetal.report.job import Job

DAY, ANSWERED = dt.date(2026, 11, 20), dt.date(2026, 11, 23)
#: What a record says of a car whose first place was put right and whose second was declined.
CLOSED: dict[str, Any] = {
    "answers": {"F01": {"reply": "yes"}, "F02": {"reply": "no"}},
    "progress": [{"stage": "closed", "date": dt.date(2027, 2, 3)}],
}


def amended(job: Job, finding: str = "F01") -> Job:
    """Give a job whose owner was told something else of one finding."""
    then = job.offer.findings[finding].model_copy(update={"mark": "0" * 16})
    offer = job.offer.model_copy(update={"findings": {**job.offer.findings, finding: then}})
    graded = {one.finding.id: one for one in job.grades.findings}
    return dataclasses.replace(job, before=Before(1, DAY, ANSWERED, offer, graded))


def answers(*names: str, reply: str = "yes") -> dict[str, dict[str, object]]:
    return {name: {"reply": reply, "date": ANSWERED, "state": 1} for name in names}


def offer_with(offer: Offer, **findings: dict[str, str]) -> Offer:
    """The offer with findings that were told otherwise then."""
    told = {name: one.model_copy(update=findings.get(name, {})) for name, one in offer.findings.items()}
    return offer.model_copy(update={"findings": told})


def without(offer: Offer, name: str) -> Offer:
    """The offer before a finding was found."""
    told = {one: found for one, found in offer.findings.items() if one != name}
    aims = {}
    for aim, whole in offer.aims.items():
        panels = {key: panel for key, panel in whole.panels.items() if name not in panel.findings}
        aims[aim] = whole.model_copy(update={"panels": panels})
    return offer.model_copy(update={"findings": told, "aims": aims})


def priced(offer: Offer, name: str, factor: str) -> Offer:
    """The offer with the job on a finding at a factor of its price, in every aim."""
    aims = {}
    for aim, whole in offer.aims.items():
        panels = dict(whole.panels)
        panel = offer.panel_of(name, aim)
        price = panels[panel].price
        fields = {end: getattr(price, end) * Decimal(factor) for end in ("low", "likely", "high")}
        panels[panel] = panels[panel].model_copy(update={"price": price.model_copy(update=fields)})
        aims[aim] = whole.model_copy(update={"panels": panels})
    return offer.model_copy(update={"aims": aims})
