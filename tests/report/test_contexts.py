"""A template is told exactly what its documented context holds: no name more, no name less."""

from __future__ import annotations

import dataclasses
import re
from typing import Any

import pytest
from markupsafe import Markup
from page_contexts import assert_documented, assert_names, assert_row_names

from soundmetal.grade.models import Step
from soundmetal.report import changed_contexts, closing_contexts, contexts
from soundmetal.report.pages.course import course
from soundmetal.report.pages.findings import finding_pages
from soundmetal.report.pages.practice import practice
from soundmetal.report.pages.rest import rest
from soundmetal.report.pages.short import short
from soundmetal.report.telling import telling
from soundmetal.scope.work import all_aims

PAGES: dict[str, type] = {
    "customer/report.html": contexts.Whole,
    "customer/short.html": contexts.Short,
    "customer/finding.html": contexts.FindingPage,
    "customer/rest.html": contexts.Rest,
    "customer/course.html": contexts.Course,
    "customer/practice.html": contexts.Practice,
    "customer/changed.html": changed_contexts.Changed,
    "customer/as_before.html": changed_contexts.AsBefore,
    "customer/compared.html": changed_contexts.ComparedPage,
    "customer/closing.html": closing_contexts.Closing,
}


@pytest.mark.parametrize(("name", "context"), PAGES.items())
def test_names_used_equal_names_documented(name: str, context: type) -> None:
    assert_names(name, context)


@pytest.mark.parametrize(("name", "context"), PAGES.items())
def test_names_of_rows_equal_names_documented(name: str, context: type) -> None:
    assert_row_names(name, context)


@pytest.mark.parametrize("context", PAGES.values())
def test_contexts_are_documented_and_frozen(context: type) -> None:
    assert_documented(context)


def texts(value: Any) -> list[str]:
    if isinstance(value, str):
        return [value]
    if isinstance(value, tuple):
        return [text for one in value for text in texts(one)]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return [text for field in dataclasses.fields(value) for text in texts(getattr(value, field.name))]
    return []


@pytest.mark.parametrize("code", ["en", "es"])
def test_nothing_unfilled_reaches_a_page(job, code: str) -> None:
    told = telling(job, code)
    pages = (short(told), *finding_pages(told), rest(told), course(told), practice(told))
    words = [re.sub(r"<[^>]+>", "", text) for page in pages for text in texts(page)]
    assert len(words) > 300
    assert [text for text in words if re.search(r"\{\w+\}|\bNone\b|<built|dataclass|Decimal\(", text)] == []


def test_every_zone_of_the_car_is_listed(job) -> None:
    told = telling(job)
    page = rest(told)
    listed = [line.name for group in (page.stays, page.noted, page.unseen) for line in group]
    parts = [*page.sound, *(line for group in page.unseen_groups for line in group.parts)]
    listed += [name for line in parts for name in line.names]
    listed += {told.zone_name(graded.zone_id) for graded in told.told}
    assert sorted(map(str.lower, listed)) == sorted(told.zone_name(zone.id).lower() for zone in job.body.zones)


@pytest.mark.parametrize("code", ["en", "es"])
def test_every_part_is_explained_where_it_is_first_named(job, code: str) -> None:
    told = telling(job, code)
    page = rest(told)
    said = {page.plain for page in finding_pages(told)}
    for lines in (page.unseen, *(group.parts for group in page.unseen_groups), page.noted, page.stays, page.sound):
        said |= {line.plain for line in lines}
    assert said - {""} == {told.plain(zone.id) for zone in job.body.zones}


def test_worst_comes_first_and_sound_work_is_no_finding(job) -> None:
    told = telling(job)
    pages = finding_pages(told)
    assert [page.number for page in pages] == [1, 2, 3, 4, 5, 6, 7]
    assert {page.reference for page in pages} == {"F01", "F02", "F03", "F04", "F05", "F06", "F07"}
    assert [line.name for line in rest(told).stays] == ["Firewall"]


def test_safety_is_told_on_page_one(job) -> None:
    told = telling(job)
    rows = [row for group in short(told).safety for row in group.places]
    assert {row.name for row in rows} >= {"Left frame rail, over the axle", "Left front floor pan"}
    assert all(row.anchor in {page.anchor for page in finding_pages(told)} for row in rows)


def test_several_findings_on_one_panel_are_priced_once(job_with) -> None:
    from soundmetal.repair.models import Choice

    job = job_with()
    scope = job.scope
    first, second = scope.panels[0], scope.panels[1]
    both = (*first.choice.taken.findings, *second.choice.taken.findings)
    taken = dataclasses.replace(first.choice.taken, findings=both)
    choice = Choice(first.panel, taken, first.choice.reason, first.choice.losers, first.choice.graded)
    joined = dataclasses.replace(first, choice=choice)
    scopes = {aim: dataclasses.replace(s, panels=(joined, *s.panels[2:])) for aim, s in job.scopes.items()}
    pages = {page.reference: page for page in finding_pages(telling(dataclasses.replace(job, scopes=scopes)))}
    assert pages[both[0]].money is not None
    assert pages[both[1]].money is None
    assert "one job with number 1" in pages[both[1]].together


def test_answers_already_given_are_told(job_with) -> None:
    job = job_with(answers={"F01": {"reply": "no"}, "F02": {"reply": "talk to me"}})
    pages = {page.reference: page for page in finding_pages(telling(job))}
    assert pages["F01"].answered == "You have said no."
    assert pages["F02"].answered == "You asked to talk about this one."
    assert pages["F03"].answered == Markup()


def test_from_photographs_nothing_is_called_sound(job_with) -> None:
    told = telling(job_with(basis="photos", findings=[]))
    page = rest(told)
    assert page.sound == ()
    assert len(page.unseen_groups) >= 1
    assert "a photograph cannot show that steel is sound" in " ".join(group.words for group in page.unseen_groups)


def test_a_repair_that_nobody_could_judge_is_not_counted_as_rust(job_with) -> None:
    told = telling(job_with(basis="photos"))
    assert len(told.told) == 8
    assert "We found rust in 7 places." in short(told).lead


@pytest.mark.parametrize("code", ["en", "es"])
def test_every_finding_tells_all_five(job_with, code: str) -> None:
    """Seen, why it matters, what we would do, what else and why not, what may change: here or where it points to."""
    job = job_with()
    scopes = all_aims(job.inspection, job.body, job.shop, job.book, job.grades)
    pages = finding_pages(telling(dataclasses.replace(job, scopes=scopes), code))
    told_by_number = {page.number for page in pages if page.money is not None}
    for page in pages:
        assert page.seen, page.number
        assert page.matters, page.number
        assert page.would, page.number
        if page.together:
            assert int(re.findall(r"\d+", page.together)[0]) in told_by_number
        else:
            assert page.others, page.number
            assert all(other.method and other.reason for other in page.others), page.number
            assert page.change, page.number
            assert page.money is not None, page.number


def test_a_place_that_is_not_in_the_price_says_so(job) -> None:
    scopes = {aim: dataclasses.replace(scope, panels=scope.panels[1:]) for aim, scope in job.scopes.items()}
    out = set(job.scope.panels[0].choice.taken.findings)
    pages = [p for p in finding_pages(telling(dataclasses.replace(job, scopes=scopes))) if p.reference in out]
    assert pages
    assert all("no part of the work" in " ".join(page.would) and page.change for page in pages)
    assert all(page.money is None for page in pages)


def test_what_an_aim_leaves_undone_is_never_counted_in_two_halves(job) -> None:
    """A sentence whose parts differ from aim to aim is told whole in each, not partly under all three."""
    some = Step(
        "{panel_zone}: the steel stays thinner than it was; look at it once a year.", {"panel_zone": "hood"}, ""
    )
    more = dataclasses.replace(some, values={"panel_zone": "tailgate"})
    both = Step("Paint is not in this price; new metal is primed and sealed only.", {}, "")
    left = dict(zip(job.scopes, ((some, both), (some, more, both), (some, both)), strict=True))
    scopes = {aim: dataclasses.replace(s, leaves_undone=left[aim]) for aim, s in job.scopes.items()}
    page = short(telling(dataclasses.replace(job, scopes=scopes)))
    assert [str(line)[:5] for line in page.none_of_them] == ["Paint"]
    assert ["2 parts" in " ".join(aim.undone) for aim in page.aims] == [False, True, False]
    told = course(telling(dataclasses.replace(job, scopes=scopes))).undone
    assert told[0].aims == "Whichever aim"
    assert sum("tailgate" in str(line).lower() for row in told for line in row.lines) == 1
