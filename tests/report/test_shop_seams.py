"""The job page of a real little inspection: tack plans and what the seams take; the deposit on the owner's page."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from soundmetal import pipeline
from soundmetal.report.job import Job
from soundmetal.report.pages.practice import practice
from soundmetal.report.shop_joins import joints
from soundmetal.report.shop_telling import shop_telling
from soundmetal.report.telling import telling


@pytest.fixture
def small_job(small_inspection: Path) -> Job:
    loaded = pipeline.load(small_inspection)
    return pipeline.work_out(loaded, pipeline.album_of(loaded))


@pytest.mark.parametrize(("code", "takes"), [("en", "g of weld metal"), ("es", "g de metal de aporte")])
def test_every_butt_seam_has_its_tack_plan_and_what_it_takes(small_job: Job, code: str, takes: str) -> None:
    shop = shop_telling(small_job, code)
    found = [(job, view) for job in shop.jobs for view in joints(shop, job)]
    butts = [seam for job in shop.jobs for seam in job.work.seams if not seam.plugs]
    plans = [plan for _, view in found for plan in view.plans]
    assert butts
    assert len(plans) == len(butts)
    assert all("tack-plan" in drawing for _, drawing in plans)
    notes = " ".join(str(note) for _, view in found for note in view.notes)
    assert takes in notes
    assert "kJ/mm" in notes


def test_the_owner_reads_what_is_asked_before_work_begins(small_job: Job) -> None:
    aim = small_job.inspection.aim
    scope = small_job.scopes[aim]
    asked = replace(scope, total=replace(scope.total, deposit=Decimal("512.00")))
    terms = practice(telling(replace(small_job, scopes={**small_job.scopes, aim: asked}), "en")).terms
    assert sum("deposit of $512" in line or "deposit of $510" in line for line in terms) == 1
    none = replace(scope, total=replace(scope.total, deposit=Decimal("0.00")))
    terms = practice(telling(replace(small_job, scopes={**small_job.scopes, aim: none}), "en")).terms
    assert not any("deposit" in line for line in terms)


def test_a_right_hand_skin_is_tacked_as_it_is_seen(small_inspection: Path) -> None:
    path = small_inspection / "inspection.yaml"
    left = _first_plan(small_inspection)
    path.write_text(
        path.read_text(encoding="utf-8").replace("zone: rocker.left.outer", "zone: rocker.right.outer"), "utf-8"
    )
    right = _first_plan(small_inspection)
    assert sorted(left) == pytest.approx(sorted(44.0 - x for x in right), abs=0.02)
    assert left != pytest.approx(right)


def _first_plan(folder: Path) -> list[float]:
    loaded = pipeline.load(folder)
    shop = shop_telling(pipeline.work_out(loaded, pipeline.album_of(loaded)), "en")
    job = next(job for job in shop.jobs if job.work.panel.startswith("rocker"))
    drawing = next(plan for view in joints(shop, job) for _, plan in view.plans)
    return [float(x) for x in re.findall(r'<circle cx="([\d.]+)"', str(drawing))]
