"""The second sample, a car known from photographs alone: nothing is called sound, and the owner is asked for more."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader

from soundmetal import pipeline
from soundmetal.cli import app
from soundmetal.errors import Exit
from soundmetal.grade.models import Level
from soundmetal.record.terms import Basis
from soundmetal.report.job import Job
from soundmetal.running import run as run_commands

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture(scope="module")
def folder(sample_inspection: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("coupe") / "sample_photos_only"
    ignored = shutil.ignore_patterns(".soundmetal", "*.pdf", "*.html", "shots.txt")
    shutil.copytree(sample_inspection.parent / "sample_photos_only", made, ignore=ignored)
    assert run_commands(app, ["report", str(made)]) == Exit.OK
    return made


@pytest.fixture(scope="module")
def job(folder: Path) -> Job:
    loaded = pipeline.load(folder)
    return pipeline.work_out(loaded, pipeline.album_of(loaded))


@pytest.fixture(scope="module")
def pages(folder: Path) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(folder / "report.pdf").pages]


def test_ten_photographs_are_all_that_is_known(folder: Path) -> None:
    loaded = pipeline.load(folder)
    pictures = pipeline.album_of(loaded)
    assert loaded.inspection.basis is Basis.PHOTOS
    assert len(pictures.photos) == 10
    assert (pictures.refused, pictures.unplaced, pictures.unsure, pictures.missing) == ((), (), (), ())
    assert pictures.findings_without_photo == ()
    assert not any(finding.readings or finding.probe for finding in loaded.inspection.findings)


def test_nothing_is_called_sound(job: Job, pages: list[str]) -> None:
    levels = {zone.zone_id: zone.level for zone in job.grades.zones}
    shown = {graded.zone_id for graded in job.grades.findings}
    assert Level.SOUND not in levels.values()
    assert {zone for zone, level in levels.items() if level is not Level.NOT_SEEN} == shown
    assert "it can never show that steel is sound" in pages[0]


def test_every_loss_is_judged_by_eye(pages: list[str]) -> None:
    assert "At every place the metal left is judged by eye." in " ".join(pages)


def test_check_has_nothing_to_ask_and_the_owner_gets_a_list(folder: Path, soundmetal_here: Run) -> None:
    done = soundmetal_here("check", folder, "--shots")
    assert done.returncode == Exit.OK, done.stdout
    asked = (folder / "shots.txt").read_text(encoding="utf-8")
    assert "rail" in asked
    assert (folder / "shots.pdf").read_bytes().startswith(b"%PDF")
