"""What is sent is kept, what comes back is checked, and the scope follows."""

from __future__ import annotations

import datetime as dt
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from filling import fields_of, filled

from soundmetal import answering, pipeline
from soundmetal.errors import AnswerError, FolderError, UnknownName, UsageError
from soundmetal.folder import store
from soundmetal.folder.states import states
from soundmetal.grade.models import Level
from soundmetal.record.terms import Aim, Reply
from soundmetal.report.html import customer_html

DAY, LATER = dt.date(2026, 11, 20), dt.date(2026, 11, 25)
Fingerprint = Callable[[Path], dict[str, str]]


@pytest.fixture
def sent(sent: Path, tmp_path: Path) -> Path:
    """A copy of what was sent: most tests here change it."""
    return Path(shutil.copytree(sent, tmp_path / "car"))


def returned(folder: Path, **answers: str) -> Path:
    path = folder.parent / "back.pdf"
    words = {f"reply-{key}" if key.startswith("F") else key: value for key, value in answers.items()}
    path.write_bytes(filled((folder / "report.pdf").read_bytes(), words))
    return path


def test_what_was_sent_is_kept_and_named(sent: Path) -> None:
    (state,) = states(sent)
    assert state.number == 1
    assert state.mark.sent == DAY
    assert store.read(sent).inspection.id == state.offer.inspection == "q7w8e9r0"
    assert (state.folder / "report.pdf").read_bytes() == (sent / "report.pdf").read_bytes()
    assert set(fields_of((sent / "report.pdf").read_bytes())) == {"reply-F1", "reply-F2", "aim", "signed", "date"}


def test_sending_again_is_the_same_state(sent: Path) -> None:
    (sent / "report.pdf").unlink()
    again = answering.send(sent, LATER, "zzzzzzzz")
    assert again.again
    assert again.state.mark.sent == DAY
    assert len(states(sent)) == 1
    assert (sent / "report.pdf").read_bytes() == (again.state.folder / "report.pdf").read_bytes()


def test_a_filled_form_is_read_and_the_record_follows(sent: Path) -> None:
    back = returned(sent, F1="yes", F2="no", aim="factory", signed="Ana Quiroga", date="25 Nov")
    taken = answering.take_form(sent, back, LATER)
    assert taken.replies == {"F1": Reply.YES, "F2": Reply.NO}
    record = store.read(sent).inspection
    assert record.aim is Aim.FACTORY
    assert {name: (one.reply, one.date, one.state) for name, one in record.answers.items()} == {
        "F1": (Reply.YES, LATER, 1),
        "F2": (Reply.NO, LATER, 1),
    }
    (kept,) = states(sent)[0].mark.returned
    assert (kept.signed, kept.dated, kept.aim) == ("Ana Quiroga", "25 Nov", Aim.FACTORY)
    assert (states(sent)[0].folder / "answers" / f"{kept.sha256}.pdf").read_bytes() == back.read_bytes()
    job = pipeline.work_out(pipeline.load(sent), pipeline.album_of(pipeline.load(sent)), heed=True)
    assert job.scope.declined == ("F2",)
    assert {work.panel for work in job.scope.panels} == {"rocker.left.outer"}


def test_the_same_form_again_changes_nothing(sent: Path, fingerprint: Fingerprint) -> None:
    back = returned(sent, F1="talk")
    answering.take_form(sent, back, LATER)
    before = fingerprint(sent)
    assert answering.take_form(sent, back, LATER).again
    assert fingerprint(sent) == before


def test_a_report_that_was_only_written_is_frozen_when_it_is_answered(small_inspection: Path) -> None:
    from soundmetal.report import publish

    loaded = pipeline.load(small_inspection)
    publish.write_pdf_of(
        "report", pipeline.work_out(loaded, pipeline.album_of(loaded)), small_inspection / "report.pdf"
    )
    answering.take_form(small_inspection, returned(small_inspection, F1="yes"), LATER)
    assert [state.answered for state in states(small_inspection)] == [True]
    assert store.read(small_inspection).inspection.answers["F1"].state == 1


def test_an_older_state_is_not_answered_any_more(sent: Path, fingerprint: Fingerprint) -> None:
    back = returned(sent, F1="yes")
    store.change(sent, [store.Change(("findings", "F1", "size"), "500 x 60 mm")])
    answering.send(sent, LATER, "zzzzzzzz")
    before = fingerprint(sent)
    with pytest.raises(AnswerError, match="answers state 1 of 2026-11-20; state 2 was sent on 2026-11-25"):
        answering.take_form(sent, back, LATER)
    assert fingerprint(sent) == before


def test_more_found_asks_again_and_keeps_what_holds(sent: Path) -> None:
    answering.take_form(sent, returned(sent, F1="yes", F2="yes"), DAY)
    store.change(sent, [store.Change(("findings", "F1", "size"), "500 x 60 mm")])
    loaded = pipeline.load(sent)
    job = pipeline.work_out(loaded, pipeline.album_of(loaded), heed=True)
    assert set(job.inspection.answers) == {"F2"}  # the yes to a smaller hole is none to a larger one
    amended = answering.send(sent, LATER, "zzzzzzzz")
    assert amended.dropped == ("F1",)
    assert set(store.read(sent).inspection.answers) == {"F2"}
    first, second = states(sent)
    assert first.mark.returned[0].replies == {"F1": Reply.YES, "F2": Reply.YES}
    assert not second.answered


def test_a_form_of_another_inspection_is_refused(sent: Path, small_inspection: Path) -> None:
    with pytest.raises(AnswerError, match="another inspection"):
        answering.take_form(small_inspection, returned(sent, F1="yes"), LATER)


def test_a_report_of_what_is_no_longer_so_is_refused(sent: Path) -> None:
    back = returned(sent, F1="yes")
    shutil.rmtree(sent / "states")
    store.change(sent, [store.Change(("findings", "F1", "size"), "500 x 60 mm")])
    with pytest.raises(AnswerError, match="something else than the inspection does today"):
        answering.take_form(sent, back, LATER)
    assert states(sent) == ()


def test_an_empty_form_a_missing_file_and_a_folder_are_refused(sent: Path) -> None:
    with pytest.raises(AnswerError, match="answers nothing"):
        answering.take_form(sent, sent / "report.pdf", LATER)
    with pytest.raises(AnswerError, match="cannot read"):
        answering.take_form(sent, sent / "no.pdf", LATER)
    with pytest.raises(FolderError):
        answering.take_form(sent, sent, LATER)


def test_told_by_word_of_mouth(sent: Path) -> None:
    taken = answering.take_words(sent, {"F1": Reply.NO}, Aim.ARREST, LATER)
    assert taken.state == 1
    assert taken.open == ("F2",)
    record = store.read(sent).inspection
    assert record.answers["F1"].reply is Reply.NO
    assert record.aim is Aim.ARREST
    assert states(sent)[0].mark.returned[0].sha256 is None
    with pytest.raises(UnknownName, match="F9"):
        answering.take_words(sent, {"F9": Reply.NO}, None, LATER)
    with pytest.raises(UsageError):
        answering.take_words(sent, {}, None, LATER)


def test_a_finding_that_is_gone_is_told(sent: Path) -> None:
    back = returned(sent, F1="yes", F2="yes")
    store.change(sent, [store.Change(("findings", "F2"))])
    taken = answering.take_form(sent, back, LATER)
    assert taken.gone == ("F2",)
    assert set(store.read(sent).inspection.answers) == {"F1"}


def test_a_report_written_anew_tells_what_a_no_to_spent_steel_that_carries_load_means(small_inspection: Path) -> None:
    """The rocker of a body without a frame carries load; no mounting that the distance rule is about is on it."""
    record = small_inspection / "inspection.yaml"
    text = record.read_text(encoding="utf-8").replace("pickup, structure: frame", "sedan, structure: unibody")
    record.write_text(text, encoding="utf-8")
    answering.send(small_inspection, DAY, "q7w8e9r0")
    taken = answering.take_words(small_inspection, {"F1": Reply.NO, "F2": Reply.NO}, None, LATER)
    loaded = pipeline.load(small_inspection)
    job = pipeline.work_out(loaded, pipeline.album_of(loaded))
    rocker, floor = job.grades.by_id["F1"], job.grades.by_id["F2"]
    assert (rocker.level, rocker.near_mounting, floor.level) == (Level.SPENT, False, Level.SURFACE)
    shown = " ".join(re.sub("<[^>]+>", " ", customer_html(job)).split())
    assert "Left outer rocker: the owner said no, and this place carries the car. It stays unsafe;" in shown
    assert "Left front floor pan: the owner said no; this work is left out." in shown
    assert taken.refused_safety == ("rocker.left.outer",)
