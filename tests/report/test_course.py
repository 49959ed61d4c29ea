"""How the work goes, as the owner reads it: numbers of working days, or dates once the start is known."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable

from soundmetal.report.job import Job
from soundmetal.report.pages.course import course
from soundmetal.report.telling import telling
from soundmetal.scope.work import all_aims


def worked_out(job: Job) -> Job:
    return dataclasses.replace(job, scopes=all_aims(job.inspection, job.body, job.shop, job.book, job.grades))


def test_without_a_start_days_are_counted(job: Job) -> None:
    told = course(telling(worked_out(job), "en"))
    assert not told.dated
    assert all(str(row.days).startswith("day") for row in told.rows)


def test_with_a_start_days_are_dates(job_with: Callable[..., Job]) -> None:
    """Work begins on Friday, 27 November 2026; the next working day is Monday."""
    job = worked_out(job_with(starts=dt.date(2026, 11, 27)))
    told = course(telling(job, "en"))
    assert told.dated
    assert "November 27, 2026" in told.lead
    assert [str(day) for day in job.scope.dates[:2]] == ["2026-11-27", "2026-11-30"]
    assert all(str(row.days).startswith(("Nov", "Dec", "Jan")) for row in told.rows)
    spanish = course(telling(job, "es"))
    assert "27 de noviembre de 2026" in spanish.lead
