"""The sample's pages as the commands write them, and one browser to look at them with."""

from __future__ import annotations

import dataclasses
import datetime as dt
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from headless import Browser

from soundmetal import pipeline
from soundmetal.record.models import Answer, Progress
from soundmetal.record.terms import Reply, Stage
from soundmetal.report import publish
from soundmetal.report.before import Before
from soundmetal.report.job import Job

SENT, ANSWERED, CLOSED = dt.date(2026, 11, 20), dt.date(2026, 11, 24), dt.date(2027, 2, 3)
#: Findings of the sample that the owner of the later pages has said yes to.
AGREED = ("F1", "F3", "F5", "F7")


@pytest.fixture(scope="session")
def sample_job(sample_inspection: Path, tmp_path_factory: pytest.TempPathFactory) -> Job:
    folder = tmp_path_factory.mktemp("pages") / "sample"
    shutil.copytree(sample_inspection, folder, ignore=shutil.ignore_patterns(".soundmetal", "*.pdf", "*.html"))
    loaded = pipeline.load(folder)
    return pipeline.work_out(loaded, pipeline.album_of(loaded))


@pytest.fixture(scope="session")
def pages(sample_job: Job) -> dict[str, Path]:
    """Write the pages: report and scope, the report in Spanish, an amendment of it, the closing report."""
    spanish = pipeline.for_reader(sample_job, language="es", units="metric")
    made = {
        "report": ("report", sample_job),
        "informe": ("report", spanish),
        "scope": ("scope", sample_job),
        "amended": ("report", amended(spanish)),
        "closing": ("closing", closed(sample_job)),
    }
    folder = sample_job.folder.parent
    return {name: publish.write_page_of(kind, job, folder / f"{name}.html") for name, (kind, job) in made.items()}


def amended(job: Job) -> Job:
    """The report to an owner who answered when two places looked better than now."""
    found = dict(job.offer.findings)
    for name in AGREED[:2]:
        found[name] = found[name].model_copy(update={"level": "surface", "mark": "0" * 16})
    then = job.offer.model_copy(update={"findings": found})
    graded = {one.finding.id: one for one in job.grades.findings}
    answered = {name: Answer(reply=Reply.YES, date=ANSWERED, state=1) for name in AGREED}
    inspection = job.inspection.model_copy(update={"answers": answered})
    made = dataclasses.replace(job, inspection=inspection, before=Before(1, SENT, ANSWERED, then, graded))
    assert made.amended is not None
    return made


def closed(job: Job) -> Job:
    """The report on a car whose work is done."""
    answers = {name: Answer(reply=Reply.YES, date=ANSWERED) for name in AGREED}
    progress = (Progress(stage=Stage.CLOSED, date=CLOSED),)
    record = job.inspection.model_copy(update={"answers": answers, "progress": progress})
    return dataclasses.replace(job, inspection=record)


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """Start the browser once for all tests."""
    with Browser(tmp_path_factory.mktemp("profile")) as started:
        yield started
