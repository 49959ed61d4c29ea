"""The closing report: what was done by the owner's yes, what stays, photographs by time, history; no certificate."""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from reading_level import count
from shown_text import prose, shown

from soundmetal.errors import UsageError
from soundmetal.folder.states import Mark, Returned, State
from soundmetal.record.offer import Offer
from soundmetal.report.closing import closed_on, closing_html, lacking
from soundmetal.report.job import Job
from soundmetal.report.pages import closing as parts
from soundmetal.report.publish import write_pdf_of
from soundmetal.report.telling import telling

CLOSED = dt.date(2027, 2, 3)
PROGRESS = [{"stage": "at the metal", "date": dt.date(2026, 12, 1)}, {"stage": "closed", "date": CLOSED}]
ANSWERS = {
    "F01": {"reply": "yes", "date": dt.date(2026, 11, 23)},
    "F02": {"reply": "no", "date": dt.date(2026, 11, 23)},
    "F03": {"reply": "no", "date": dt.date(2026, 11, 23)},
    "F04": {"reply": "talk to me"},
    "F06": {"reply": "yes"},
    "F07": {"reply": "no"},
}


def with_photographs(job: Job, finding: str, **when: str) -> list[dict[str, Any]]:
    """The findings of a job, one of them with photographs from these times."""
    found = [one.model_dump() for one in job.inspection.findings]
    for one in found:
        if one["id"] == finding:
            one["photos"] = [{"file": f"{name}.jpg", "when": time} for name, time in when.items()]
    return found


@pytest.fixture
def closed(job_with: Callable[..., Job]) -> Job:
    findings = with_photographs(job_with(), "F01", inner="before", rail="during", floor="after")
    return job_with(answers=ANSWERS, progress=PROGRESS, findings=findings)


def test_a_car_that_is_still_worked_on_is_refused(job_with: Callable[..., Job]) -> None:
    for progress in ([], PROGRESS[:1], [*PROGRESS, {"stage": "at the metal", "date": dt.date(2027, 2, 9)}]):
        with pytest.raises(UsageError, match="not closed yet"):
            closing_html(job_with(answers=ANSWERS, progress=progress))
    assert closed_on(job_with(progress=PROGRESS).inspection) == CLOSED


def test_done_is_what_the_owner_said_yes_to_and_all_else_stays(closed: Job) -> None:
    told = telling(closed)
    assert {place.reference for place in parts.done(told)} == {"F01", "F06"}
    assert {g.finding.id for g in parts.stays_of(told)} == {"F02", "F03", "F04", "F05", "F07"}
    assert parts.lead(told) == "2 places were put right. 5 places stay as they were."
    whole_panel = next(place for place in parts.done(told) if place.reference == "F06")
    assert whole_panel.done.startswith("We took the whole panel off")


def test_why_each_place_stays(closed: Job) -> None:
    told = telling(closed)
    why = {told.numbers[g.finding.id]: g.finding.id for g in parts.stays_of(told)}
    words = {why[place.number]: place for place in parts.staying(told)}
    assert "You said no on November 23, 2026." in words["F02"].words
    assert "We were to talk" in words["F04"].words
    assert "No answer of yours stands here" in words["F05"].words
    assert "You said no. It is as it was." in words["F07"].words
    assert "This touches safety" in words["F03"].caution
    safe = [g.finding.id for g in parts.stays_of(told) if not told.safety(g)]
    assert safe
    assert all("This touches safety" not in words[name].caution for name in safe)


def test_a_yes_that_the_aim_had_no_work_for_is_not_called_done(closed: Job) -> None:
    scopes = {aim: dataclasses.replace(scope, panels=scope.panels[1:]) for aim, scope in closed.scopes.items()}
    left_out = closed.scope.panels[0].choice.taken.findings[0]
    said = {**ANSWERS, left_out: {"reply": "yes"}}
    answers = (
        type(closed.inspection)
        .model_validate(closed.inspection.model_dump(by_alias=True) | {"answers": said})
        .answers
    )
    inspection = closed.inspection.model_copy(update={"answers": answers})
    told = telling(dataclasses.replace(closed, scopes=scopes, inspection=inspection))
    assert left_out not in {place.reference for place in parts.done(told)}
    assert any("had no work here" in place.words for place in parts.staying(told))


def test_photographs_before_during_and_after_stand_side_by_side(closed: Job) -> None:
    first, other = sorted(parts.done(telling(closed)), key=lambda place: place.reference)
    assert [(column.name, len(column.photos)) for column in first.columns] == [
        ("before", 1),
        ("during", 1),
        ("after", 1),
    ]
    assert all(column.none == "" for column in first.columns)
    assert [column.name for column in other.columns] == ["before", "after"]
    assert other.columns[-1].none == "No photograph from after the work."
    assert parts.done(telling(closed, "es"))[0].columns[0].name == "antes"


def test_what_is_missing_is_named(closed: Job) -> None:
    bare, silent = lacking(closed)
    assert bare.endswith(": F06")
    assert silent.endswith(": F05")


def a_state(number: int, *returned: Returned, offer: Offer) -> State:
    prints = dict.fromkeys(("offer", "record", "report"), hashlib.sha256(b"%d" % number).hexdigest())
    mark = Mark(number=number, sent=dt.date(2026, 11, 19 + number), returned=returned, **prints)
    return State(Path("states", f"{number:04d}"), mark, offer)


def test_the_history_has_days_and_whole_fingerprints(closed: Job) -> None:
    form, day = "e" * 64, dt.date(2026, 11, 23)
    sent = (
        a_state(1, Returned(date=day, sha256=form, signed="Inés <b>"), offer=closed.offer),
        a_state(2, Returned(date=day), Returned(date=day, sha256="f" * 64), offer=closed.offer),
    )
    lines = parts.history(telling(dataclasses.replace(closed, sent=sent)))
    assert [line.sha256 for line in lines] == [sent[0].mark.report, form, sent[1].mark.report, "", "f" * 64]
    assert "signed Inés &lt;b&gt;" in lines[1].words
    assert "by word of mouth, on November 23, 2026" in lines[3].words
    html = closing_html(dataclasses.replace(closed, sent=sent))
    assert all(line.sha256 in html for line in lines)
    assert "Inés <b>" not in html


def test_what_to_look_at_goes_by_the_car(closed: Job, job_with: Callable[..., Job]) -> None:
    assert len(parts.look(telling(closed))) == 5
    nothing = job_with(findings=[], not_seen=[], zones={zone.id: {"all": "clear"} for zone in closed.body.zones})
    assert [line.when for line in parts.look(telling(nothing))] == ["before each winter"]
    assert parts.unseen(telling(nothing)) == ""


@pytest.mark.parametrize("code", ["en", "es"])
def test_the_page_is_whole_and_certifies_nothing(closed: Job, code: str) -> None:
    html = closing_html(closed, code)
    told = telling(closed, code)
    assert str(told.lang.text(told.words.certify)) in html
    assert "<form" not in html
    assert "<input" not in html
    assert re.search(r"\{\w+\}|\bNone\b", re.sub(r"<style.*?</style>|<[^>]+>", "", html, flags=re.DOTALL)) is None
    assert html == closing_html(closed, code)
    blocks = prose(shown(html).blocks)
    assert len(blocks) > 10
    found = count(blocks, code)  # as easy as any page of an owner's
    assert found.flesch_kincaid <= 8 if code == "en" else found.fernandez_huerta >= 60


def test_what_only_the_shop_may_know_is_not_told(job_with: Callable[..., Job]) -> None:
    said = {name: {**one, "note": "Zqx pays late"} for name, one in ANSWERS.items()}
    progress = [{**one, "note": "Zqx in the back yard"} for one in PROGRESS]
    job = job_with(answers=said, progress=progress, spent={"F01": {"butt_mig": 3.5}})
    html = closing_html(job)
    assert "Zqx" not in html
    assert "3.5 h" not in html.replace("\u00a0", " ")


def test_a_pdf_of_it_is_written_without_form_or_data(closed: Job, tmp_path: Path) -> None:
    pdf = PdfReader(write_pdf_of("closing", closed, tmp_path / "closing.pdf"))
    assert len(pdf.pages) >= 2
    assert not pdf.get_fields()
    assert dict(pdf.attachments) == {}
    assert pdf.trailer["/Root"]["/Lang"] == "en"


def test_names_of_parts_stand_in_a_sentence_as_words_do(job) -> None:
    told = str(parts.unseen(telling(job)))
    names = told.removeprefix("Nobody saw these parts: ").removesuffix(".").split("; ")
    assert names != [told]
    assert all(name[0].islower() for name in names if name[1].islower())
