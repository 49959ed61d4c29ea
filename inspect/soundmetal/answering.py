"""What is sent to the owner, and what comes back: states are frozen, answers checked and written into the record.

Nothing is changed before everything about an answer has been checked. An answer belongs to the state that was sent;
what the owner said earlier stays with its state for good.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import stat
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from soundmetal import pipeline
from soundmetal.errors import AnswerError, ChangedMeanwhile, FolderError, Place, UnknownName, UsageError
from soundmetal.folder import states as kept
from soundmetal.folder import store
from soundmetal.folder.atomic import write_bytes
from soundmetal.folder.states import Returned, State
from soundmetal.folder.store import Change
from soundmetal.record.changes import holding
from soundmetal.record.offer import Offer
from soundmetal.record.terms import Aim, Reply
from soundmetal.report import publish
from soundmetal.report.form import DIGITS, MAX_BYTES, REPLY, Filled, asked_by, read_form
from soundmetal.report.job import Job
from soundmetal.scope.offer import identity
from soundmetal.words import did_you_mean


@dataclass(frozen=True)
class Sent:
    """A state as it went out; `again` when the owner was sent the very same before. `pdf` is the file to send."""

    state: State
    pdf: Path
    again: bool
    dropped: tuple[str, ...] = ()


@dataclass(frozen=True)
class Taken:
    """Answers that were written down.

    `gone` are findings that were answered and are none any more, `refused_safety` zones that the owner refused
    although they touch safety, `open` what is still asked.
    """

    state: int | None
    replies: Mapping[str, Reply]
    aim: Aim | None
    signed: str = ""
    again: bool = False
    gone: tuple[str, ...] = ()
    refused_safety: tuple[str, ...] = ()
    open: tuple[str, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Give it for another program."""
        return {
            "state": self.state,
            "answers": {name: reply.value for name, reply in self.replies.items()},
            "aim": self.aim.value if self.aim else None,
            "signed": self.signed,
            "again": self.again,
            "gone": list(self.gone),
            "refused_safety": list(self.refused_safety),
            "open": list(self.open),
        }


def send(folder: Path, date: dt.date, new_id: str, output: Path | None = None) -> Sent:
    """Write the report that is sent to the owner, and freeze what it asks as the next state.

    Answers to what is asked anew leave the record; they stay with the state that they were given to. `new_id` names
    the inspection for good where its record has no id yet.
    """
    target, _ = pipeline.targets(folder, "report", output, html=False)
    before = kept.states(folder)
    if not pipeline.load(folder).inspection.id:
        _name(folder, new_id)
    job, loaded = _job(folder)
    last, answered = kept.newest(before), kept.newest(before, answered=True)
    if last and last.mark.offer == job.offer.digest:
        write_bytes(target, (last.folder / kept.REPORT).read_bytes())
        return Sent(last, target, again=True)
    dropped = _no_longer(loaded, answered, job.offer)
    if dropped:
        store.change(folder, [Change(("answers", name)) for name in dropped])
        job, loaded = _job(folder)
    state = kept.freeze(folder, loaded.stored, job.offer, publish.pdf_of("report", job), date)
    write_bytes(target, (state.folder / kept.REPORT).read_bytes())
    return Sent(state, target, again=False, dropped=dropped)


def take_form(folder: Path, path: Path, today: dt.date) -> Taken:
    """Take a form that came back. AnswerError says why not; then nothing was changed."""
    data = _bytes(path)
    with _about(path):
        filled = read_form(data)
        inspection = store.read(folder).inspection
        if filled.names.inspection != identity(inspection):
            raise AnswerError("belongs to another inspection", todo="Look in the yard for the car that it is about.")
        if filled.empty:
            raise AnswerError("answers nothing", todo="Ask the owner to tick the answers and to save the file.")
        state = _state_of(folder, filled, today)
    digest = hashlib.sha256(data).hexdigest()
    returned = Returned(
        date=today,
        sha256=digest,
        signed=filled.signed,
        dated=filled.date,
        aim=filled.aim,
        replies=dict(filled.replies),
    )
    if any(one.sha256 == digest for one in state.mark.returned):
        return _taken(folder, state, returned, again=True)
    _write(folder, returned, state.number)
    return _taken(folder, kept.keep_answer(folder, state, returned, data), returned)


def take_words(folder: Path, replies: Mapping[str, Reply], aim: Aim | None, today: dt.date) -> Taken:
    """Write down what the owner said by word of mouth. UnknownName for a finding that there is not."""
    inspection = store.read(folder).inspection
    ids = [finding.id for finding in inspection.findings]
    for name in replies:
        if name not in ids:
            raise UnknownName(f'no finding "{name}"', todo=did_you_mean(name, ids) or f"There are: {', '.join(ids)}.")
    if not replies and aim is None:
        raise UsageError("no answer is given", todo="Name a filled form, or say --yes F1 --no F2.")
    state = kept.newest(kept.states(folder))
    returned = Returned(date=today, aim=aim, replies=dict(replies))
    _write(folder, returned, state.number if state else None)
    if state:
        kept.keep_answer(folder, state, returned)
    return _taken(folder, state, returned)


def _name(folder: Path, new_id: str) -> None:
    """Write down what the inspection is called for good; who else sends it at the same time may have done so."""
    was = store.read(folder).tree.get("id")
    try:
        store.change(folder, [Change(("id",), new_id, was=was)])
    except ChangedMeanwhile:
        if not store.read(folder).inspection.id:
            raise


def _job(folder: Path) -> tuple[Job, pipeline.Loaded]:
    loaded = pipeline.load(folder)
    return pipeline.work_out(loaded, pipeline.album_of(loaded)), loaded


def _no_longer(loaded: pipeline.Loaded, answered: State | None, offer: Offer) -> tuple[str, ...]:
    """Name the answers that were given to a state and do not hold for what is sent now."""
    answers = {name: one for name, one in loaded.inspection.answers.items() if one.state is not None}
    if answered is None:
        return ()
    held = holding(answers, answered.offer, offer)
    return tuple(name for name in answers if name not in held)


def _bytes(path: Path) -> bytes:
    if path.is_dir():
        raise FolderError(f'"{path.name}" is a folder', todo="Name the PDF that the owner sent back.")
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise AnswerError(f'"{path.name}" is no ordinary file', todo="Name the PDF that the owner sent back.")
        if status.st_size > MAX_BYTES:
            raise AnswerError(
                f'"{path.name}" is larger than {MAX_BYTES // 1_000_000} MB: no report of ours',
                todo="Is it the right file?",
            )
        with path.open("rb") as stream:
            return stream.read(MAX_BYTES + 1)  # it may have grown meanwhile
    except OSError as error:
        raise AnswerError(f'cannot read "{path.name}": {error.strerror}', todo="Check the name.") from error


def _state_of(folder: Path, filled: Filled, today: dt.date) -> State:
    """Find the state that a form answers; a report that was never marked as sent is frozen now, if it is today's."""
    found = kept.states(folder)
    state = next((one for one in found if one.offer.digest[:DIGITS] == filled.names.digest), None)
    last = kept.newest(found)
    if state and last and state.number < last.number:
        raise AnswerError(
            f"answers state {state.number} of {state.mark.sent}; state {last.number} was sent on {last.mark.sent}",
            todo="Ask the owner to answer the newer report.",
        )
    if state:
        _fits(filled, asked_by((state.folder / kept.REPORT).read_bytes()))
        if today < state.mark.sent:
            raise AnswerError(
                f"would be answered on {today}, before it was sent on {state.mark.sent}",
                todo="Give the right --date.",
            )
        return state
    job, loaded = _job(folder)
    if job.offer.digest[:DIGITS] != filled.names.digest:
        raise AnswerError(
            "was made from a report that says something else than the inspection does today",
            todo="Send the owner the report of today: soundmetal send FOLDER",
        )
    report = publish.pdf_of("report", job)
    _fits(filled, asked_by(report))
    return kept.freeze(folder, loaded.stored, job.offer, report, today)


@contextmanager
def _about(path: Path) -> Iterator[None]:
    """Say of which file it is told why it cannot be taken."""
    try:
        yield
    except AnswerError as error:
        raise AnswerError(error.what, place=Place(path), todo=error.todo) from error


def _fits(filled: Filled, asked: frozenset[str]) -> None:
    """Refuse answers to what the report does not ask; checked before anything is written."""
    strange = next((key.removeprefix(REPLY) for key in filled.answered if key not in asked), None)
    if strange is not None:
        raise AnswerError(
            f'answers "{strange[:20]}", which the report does not ask about',
            todo="Ask the owner for the report itself.",
        )


def _write(folder: Path, returned: Returned, state: int | None) -> None:
    ids = {finding.id for finding in store.read(folder).inspection.findings}
    changes = [
        Change(("answers", name), _answer(reply, returned.date, state))
        for name, reply in returned.replies.items()
        if name in ids
    ]
    changes += [Change(("aim",), returned.aim.value)] if returned.aim else []
    if changes:
        store.change(folder, changes)


def _answer(reply: Reply, date: dt.date, state: int | None) -> dict[str, object]:
    return {"reply": reply.value, "date": date} | ({"state": state} if state else {})


def _taken(folder: Path, state: State | None, returned: Returned, *, again: bool = False) -> Taken:
    inspection = store.read(folder).inspection
    zones = {finding.id: finding.zone for finding in inspection.findings}
    offered = state.offer.findings if state else {}
    refused = [
        zones[name]
        for name, reply in returned.replies.items()
        if reply is Reply.NO and name in zones and name in offered and offered[name].safety
    ]
    asked = state.offer.asked if state else tuple(zones)
    return Taken(
        state=state.number if state else None,
        replies=returned.replies,
        aim=returned.aim,
        signed=returned.signed,
        again=again,
        gone=tuple(name for name in returned.replies if name not in zones),
        refused_safety=tuple(dict.fromkeys(refused)),
        open=tuple(name for name in zones if name in asked and name not in inspection.answers),
    )
