"""The whole way of an amendment: sent, answered, more found, asked again, answered, closed; every state as it was."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from commanding import Run
from filling import fields_of, filled
from PIL import Image
from pypdf import PdfReader
from small import sharp_picture, write_small_inspection

from soundmetal import answering, comparing, pipeline
from soundmetal.errors import Exit
from soundmetal.folder import store
from soundmetal.folder.states import states
from soundmetal.folder.store import Change
from soundmetal.record.terms import Reply
from soundmetal.report.job import Job, asked_of

SENT, ANSWERED, AGAIN = dt.date(2026, 11, 20), dt.date(2026, 11, 23), dt.date(2026, 12, 1)
NEW = {"id": "F3", "zone": "cab_corner.left.outer", "seen": "holed", "size": "60 x 40 mm"}


@pytest.fixture(scope="module")
def opened_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A car that was sent and answered, and that more was found at since."""
    folder = write_small_inspection(tmp_path_factory.mktemp("opened"))
    answering.send(folder, SENT, "q7w8e9r0")
    back = folder.parent / "back.pdf"
    ticks = {"reply-F1": "yes", "reply-F2": "yes", "aim": "sound", "signed": "Ana Quiroga"}
    back.write_bytes(filled((folder / "report.pdf").read_bytes(), ticks))
    answering.take_form(folder, back, ANSWERED)
    sharp_picture(7).save(folder / "photos" / "rocker.left.outer" / "opened.jpg", "JPEG")
    store.change(
        folder,
        [
            Change(("findings", "F1", "size"), "500 x 60 mm"),
            Change(("findings", "F1", "photos", 1), {"file": "rocker.left.outer/opened.jpg", "when": "during"}),
            Change(("findings", 2), NEW),
        ],
    )
    return folder


@pytest.fixture
def opened(opened_once: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(opened_once, tmp_path / "car"))


def job_of(folder: Path) -> Job:
    loaded = pipeline.load(folder)
    return pipeline.work_out(loaded, pipeline.album_of(loaded))


def kept(folder: Path) -> dict[str, str]:
    """Every byte under states/."""
    found = sorted(path for path in (folder / "states").rglob("*") if path.is_file())
    return {str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest() for path in found}


def words_of(pdf: Path) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(pdf).pages).replace("\xa0", " ").split())


def test_the_report_asks_only_about_what_changed(opened: Path) -> None:
    job = job_of(opened)
    assert job.before is not None
    assert (job.before.number, job.before.sent, job.before.answered) == (1, SENT, ANSWERED)
    assert set(job.before.graded) == {"F1", "F2"}
    assert job.before.graded["F1"].finding.size == (320.0, 60.0)
    assert job.amended is not None
    assert set(job.amended.ask) == {"F1", "F3"}
    assert set(asked_of(job)) == {"F1", "F3"}


def test_sent_answered_and_as_it_was(opened: Path) -> None:
    before = kept(opened)
    sent = answering.send(opened, AGAIN, "zzzzzzzz")
    assert sent.dropped == ("F1",)
    assert {name: hash_ for name, hash_ in kept(opened).items() if "0001" in name} == before
    assert set(fields_of(sent.pdf.read_bytes())) == {"reply-F1", "reply-F3", "signed", "date"}
    told = words_of(sent.pdf)
    assert told.index("Since you answered on November 23, 2026, 2 places are new") < told.index("The whole car as it")
    assert "You said yes on November 23, 2026." in told
    back = opened.parent / "again.pdf"
    back.write_bytes(filled(sent.pdf.read_bytes(), {"reply-F1": "yes", "reply-F3": "no", "signed": "Ana Quiroga"}))
    taken = answering.take_form(opened, back, AGAIN)
    assert (taken.state, taken.aim, taken.open) == (2, None, ())
    answers = store.read(opened).inspection.answers
    assert {name: (one.reply, one.state) for name, one in answers.items()} == {
        "F1": (Reply.YES, 2),
        "F2": (Reply.YES, 1),
        "F3": (Reply.NO, 2),
    }
    assert job_of(opened).amended is None  # nothing has changed since then


def test_what_was_answered_is_never_written_again(opened: Path, soundmetal_here: Run, tmp_path: Path) -> None:
    before = kept(opened)
    for command in (("report", "--html"), ("scope",), ("compare",), ("compare", "--list"), ("check",)):
        soundmetal_here(command[0], str(opened), *command[1:])
    assert soundmetal_here("compare", str(opened), "--output", tmp_path / "pair.pdf").returncode == Exit.OK
    assert kept(opened) == before


def test_an_amendment_that_was_sent_and_not_answered_still_stands_against_the_answer(opened: Path) -> None:
    answering.send(opened, AGAIN, "zzzzzzzz")
    assert job_of(opened).before.number == 1  # type: ignore[union-attr]
    store.change(opened, [Change(("findings", "F2", "seen"), "pitted")])
    job = job_of(opened)
    assert set(asked_of(job)) == {"F1", "F2", "F3"}
    assert [state.number for state in states(opened)] == [1, 2]


def test_a_shop_s_scope_does_not_compare(opened: Path) -> None:
    loaded = pipeline.load(opened)
    assert pipeline.work_out(loaded, pipeline.album_of(loaded), heed=True).before is None


def test_a_body_that_was_put_right_meanwhile_has_no_drawing_of_then(opened: Path) -> None:
    """A finding of then in a part that the body has no longer is told without its plate, and nothing fails."""
    store.change(
        opened,
        [
            Change(("vehicle", "body"), "coupe"),
            Change(("vehicle", "structure"), "unibody"),
            Change(("findings", "F3")),
        ],
    )
    job = job_of(opened)
    assert job.before is not None
    assert set(job.before.graded) <= {"F1", "F2"}
    assert job.amended is not None


def test_two_states_on_paper(opened: Path, soundmetal_here: Run, tmp_path: Path) -> None:
    target = tmp_path / "pair.pdf"
    done = soundmetal_here("compare", str(opened), "1", "now", "--output", target, "--json")
    assert done.returncode == Exit.OK
    assert json.loads(done.stdout)["written"] == str(target)
    assert len(PdfReader(target).pages) <= 2
    told = words_of(target)
    assert comparing.compare(opened).before.offer.digest in told
    assert "not on the list" in told
    other = tmp_path / "holds something else.pdf"
    other.write_text("a letter")
    assert soundmetal_here("compare", str(opened), "--output", other).returncode == Exit.USAGE
    assert other.read_text() == "a letter"
    assert soundmetal_here("compare", str(opened), "--list", "--output", target).returncode == Exit.USAGE


def test_closed_with_photographs_history_and_what_is_missing(
    opened: Path, soundmetal_here: Run, fingerprint: Callable[[Path], dict[str, str]]
) -> None:
    early = soundmetal_here("report", str(opened), "--closing")
    assert early.returncode == Exit.USAGE
    assert "not closed yet" in early.stderr
    answering.send(opened, AGAIN, "zzzzzzzz")
    answering.take_words(opened, {"F1": Reply.YES, "F3": Reply.NO}, None, AGAIN)
    store.change(opened, [Change(("progress",), [{"stage": "closed", "date": dt.date(2027, 2, 3)}])])
    before = kept(opened)
    done = soundmetal_here("report", str(opened), "--closing", "--json")
    assert done.returncode == Exit.INCOMPLETE
    assert "without a photograph from after the work: F1, F2" in json.loads(done.stdout)["lacking"][0]
    assert "after the work: F1, F2" in done.stderr
    told = words_of(opened / "closing.pdf")
    assert "2 places were put right. 1 place stays as it was." in told
    assert all(state.mark.report in told.replace(" ", "") for state in states(opened))
    assert kept(opened) == before
    for name, zone in (("F1", "rocker.left.outer"), ("F2", "floor.left.front")):
        path = opened / "photos" / zone / "after.jpg"
        path.parent.mkdir(exist_ok=True)
        sharp_picture(20 + len(zone)).transpose(Image.Transpose.ROTATE_180).save(path, "JPEG")
        at = len(next(f for f in store.read(opened).inspection.findings if f.id == name).photos)
        store.change(
            opened, [Change(("findings", name, "photos", at), {"file": f"{zone}/after.jpg", "when": "after"})]
        )
    assert soundmetal_here("report", str(opened), "--closing").returncode == Exit.OK
    once = (opened / "closing.pdf").read_bytes()
    soundmetal_here("report", str(opened), "--closing")
    assert (opened / "closing.pdf").read_bytes() == once
    assert soundmetal_here("report", str(opened), "--closing", "--carry", "whole").returncode == Exit.USAGE
