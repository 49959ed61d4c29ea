"""Jobs that an owner has answered: one of which more was found since, one that is closed."""

from __future__ import annotations

import dataclasses
import datetime as dt
from typing import Any

from soundmetal.report.before import Before
from soundmetal.report.job import Job

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
    return dataclasses.replace(job, before=Before(1, dt.date(2026, 11, 20), dt.date(2026, 11, 23), offer, graded))
