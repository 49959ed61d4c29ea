"""What is said before and in the findings: how each thing is known, and what a note is given."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from decimal import Decimal

from soundmetal.report.job import Job
from soundmetal.report.pages.findings import finding_pages, introduction
from soundmetal.report.telling import telling
from soundmetal.scope.models import PanelWork

SCALE = {"id": "F02", "zone": "tailgate", "seen": "scale", "size": "100 x 50 mm", "note": "Under the badge"}


def test_measured_and_judged_by_eye_are_told_apart(job: Job, job_with: Callable[..., Job]) -> None:
    told = telling(job)
    captions = [page.caption for page in finding_pages(told)]
    assert sum("measured" in caption for caption in captions) == 1
    assert str(introduction(told)[1]).startswith("At 1 place the metal left is measured with a gauge; at the others")
    by_eye = telling(job_with(findings=[SCALE]))
    assert introduction(by_eye)[1] == "At every place the metal left is judged by eye."


def test_the_reader_is_told_that_notes_are_in_another_language(job: Job) -> None:
    assert len(introduction(telling(job))) == 2
    assert "el idioma en que se escribieron" in introduction(telling(job, "es"))[2]
    assert {page.note_lang for page in finding_pages(telling(job, "es"))} == {"en"}


def test_a_note_ends_as_a_sentence_and_brackets_do_not_break(job_with: Callable[..., Job]) -> None:
    (page,) = finding_pages(telling(job_with(findings=[SCALE])))
    assert page.note == "Under the badge."
    assert page.caption.endswith("(judged\u00a0by\u00a0eye)")


def test_what_another_way_comes_to_is_its_difference_on_top_of_the_job(job: Job) -> None:
    """The chosen way at about $690 and $690 more make $1,380, whoever pays for the access that both need."""

    def access_apart(work: PanelWork) -> PanelWork:
        lost, *rest = work.choice.losers
        taken, other = (
            dataclasses.replace(one, price=(one.price or Decimal(0)) + 250)
            for one in (work.choice.taken, lost.option)
        )
        losers = (dataclasses.replace(lost, option=other), *rest)
        return dataclasses.replace(work, choice=dataclasses.replace(work.choice, taken=taken, losers=losers))

    scope = dataclasses.replace(job.scope, panels=tuple(access_apart(work) for work in job.scope.panels))
    apart = dataclasses.replace(job, scopes={**job.scopes, job.inspection.aim: scope})
    told = [page.others[0].price for page in finding_pages(telling(apart)) if page.reference == "F04"]
    assert told == ["about $1,380"]
    assert told == [page.others[0].price for page in finding_pages(telling(job)) if page.reference == "F04"]
