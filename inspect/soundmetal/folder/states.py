"""The states of an inspection that an owner was asked about, each frozen in a folder of its own under `states/`.

    states/0001/state.yaml        number, dates, and the SHA-256 of everything beside it
    states/0001/inspection.yaml   the record as it was, byte for byte
    states/0001/offer.json        what the owner was asked
    states/0001/report.pdf        what the owner was sent, byte for byte
    states/0001/answers/*.pdf     what came back, byte for byte, named by its SHA-256

A state appears whole or not at all, and nothing in it but `state.yaml` and `answers/` is ever written again.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import secrets
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from pydantic import Field, ValidationError

from soundmetal.errors import ChangedMeanwhile, Place, RecordError, WriteError
from soundmetal.folder import yaml_text
from soundmetal.folder.atomic import write_bytes, write_text
from soundmetal.folder.messages import validate
from soundmetal.folder.store import RECORD, Stored, from_text, locked
from soundmetal.record.models import Answer, FindingId, Inspection
from soundmetal.record.offer import Digest, Offer
from soundmetal.record.substance import mark_of
from soundmetal.record.terms import Aim, Reply
from soundmetal.record.written import Name, Written

STATES = "states"
OFFER = "offer.json"
REPORT = "report.pdf"
MARK = "state.yaml"
ANSWERS = "answers"
_MAX_STATES = 9999
_MAX_OFFER = 8_000_000


class Returned(Written):
    """Answers that were taken on a day, and the aim that was chosen.

    A form that came back has its hash, who signed it and the date as it was typed; answers that were told by word of
    mouth have none of these.
    """

    date: dt.date
    sha256: Digest | None = None
    signed: Name = ""
    dated: Name = ""
    aim: Aim | None = None
    replies: dict[FindingId, Reply] = Field(default_factory=dict)


class Mark(Written):
    """What `state.yaml` says."""

    number: Annotated[int, Field(ge=1, le=_MAX_STATES)]
    sent: dt.date
    offer: Digest
    record: Digest
    report: Digest
    returned: tuple[Returned, ...] = ()


@dataclass(frozen=True)
class State:
    """One frozen state."""

    folder: Path
    mark: Mark
    offer: Offer

    @property
    def number(self) -> int:
        """Its number; the first is 1."""
        return self.mark.number

    @property
    def answered(self) -> bool:
        """Tell whether a form came back for it."""
        return bool(self.mark.returned)

    @property
    def record(self) -> Inspection:
        """The record as it was."""
        path = self.folder / RECORD
        return from_text(self.folder, path, yaml_text.read_text(path)).inspection


def states(folder: Path) -> tuple[State, ...]:
    """Read all states, oldest first; RecordError where one was tampered with or is not whole."""
    home = folder / STATES
    if not home.is_dir():
        return ()
    found = sorted(path for path in home.iterdir() if path.is_dir() and path.name.isdigit())
    return tuple(read_state(path) for path in found)


def read_state(path: Path) -> State:
    """Read one state and hold everything in it against its hashes."""
    mark_path = path / MARK
    mark = validate(Mark, yaml_text.parse(yaml_text.read_text(mark_path), mark_path), mark_path)
    texts = {name: _bytes(path / name) for name in (RECORD, OFFER, REPORT)}
    kept = {RECORD: mark.record, OFFER: mark.offer, REPORT: mark.report}
    wrong = next((name for name, data in texts.items() if _sha(data) != kept[name]), None)
    if wrong:
        raise RecordError(
            f"is not what was sent as state {mark.number}",
            place=Place(path / wrong),
            todo="Put back the file from a copy; what an owner was asked is never changed.",
        )
    return State(path, mark, read_offer(texts[OFFER], path / OFFER))


def read_offer(data: bytes, path: Path) -> Offer:
    """Read an offer from its JSON; RecordError where it is none. `path` is for messages only."""
    try:
        if len(data) > _MAX_OFFER:
            raise ValueError("too large")
        return Offer.model_validate_json(data)
    except (ValidationError, ValueError) as error:
        raise RecordError(
            "is not an offer of ours", place=Place(path), todo="Put back the file from a copy."
        ) from error


def freeze(folder: Path, stored: Stored, offer: Offer, report: bytes, date: dt.date) -> State:
    """Keep what is sent to the owner as the next state, or find it where the newest state says the same.

    ChangedMeanwhile where the record was saved after `stored` was read: the report would tell of something else.
    """
    with locked(folder):
        _unchanged(stored)
        before = states(folder)
        if before and before[-1].mark.offer == offer.digest:
            return before[-1]
        number = before[-1].number + 1 if before else 1
        mark = Mark(
            number=number,
            sent=date,
            offer=offer.digest,
            record=_sha(stored.path.read_bytes()),
            report=_sha(report),
        )
        files = {RECORD: stored.path.read_bytes(), OFFER: offer.text.encode(), REPORT: report}
        return read_state(_appear(folder, mark, files))


def keep_answer(folder: Path, state: State, returned: Returned, data: bytes = b"") -> State:
    """Keep with a state what was answered, and the form that came back (`data`); the same form is kept once."""
    with locked(folder):
        now = read_state(state.folder)
        if returned.sha256 and any(one.sha256 == returned.sha256 for one in now.mark.returned):
            return now
        if returned.sha256:
            _keep_form(now.folder / ANSWERS, returned.sha256, data)
        mark = now.mark.model_copy(update={"returned": (*now.mark.returned, returned)})
        write_text(now.folder / MARK, _mark_text(mark))
        return read_state(now.folder)


def standing(inspection: Inspection, found: Sequence[State]) -> dict[str, Answer]:
    """Give the answers in the record that still stand: where more was found since they were given, they do not."""
    marks = {finding.id: mark_of(finding) for finding in inspection.findings}
    told = {state.number: state.offer.findings for state in found}

    def stands(name: str, answer: Answer) -> bool:
        then = told.get(answer.state or 0, {}).get(name)
        return then is None or then.mark == marks.get(name)

    return {name: answer for name, answer in inspection.answers.items() if stands(name, answer)}


def newest(found: Sequence[State], *, answered: bool = False) -> State | None:
    """Give the newest state, or the newest that was answered; None where there is none."""
    return next((state for state in reversed(found) if state.answered or not answered), None)


def _keep_form(home: Path, sha256: str, data: bytes) -> None:
    try:
        home.mkdir(exist_ok=True)
    except OSError as error:
        raise WriteError(f'cannot make "{home}": {error.strerror}', todo="Check permissions and space.") from error
    write_bytes(home / f"{sha256}.pdf", data)


def _unchanged(stored: Stored) -> None:
    if _sha(yaml_text.read_text(stored.path).encode()) != stored.digest:
        raise ChangedMeanwhile("somebody saved the record meanwhile", place=Place(stored.path), todo="Do it again.")


def _appear(folder: Path, mark: Mark, files: dict[str, bytes]) -> Path:
    """Write a state beside its place and move it there in one step."""
    home = folder / STATES
    target, part = home / f"{mark.number:04d}", home / f".{secrets.token_hex(8)}.part"
    try:
        part.mkdir(parents=True)
        for name, data in files.items():
            write_bytes(part / name, data)
        write_text(part / MARK, _mark_text(mark))
        part.rename(target)
    except OSError as error:
        raise WriteError(f'cannot keep "{target}": {error.strerror}', todo="Check permissions and space.") from error
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return target


def _mark_text(mark: Mark) -> str:
    head = "# Written by soundmetal when the report was sent. Leave everything in this folder as it is.\n"
    tree = yaml_text.parse("number: 0\n", Path(MARK))
    tree.update({k: v for k, v in mark.model_dump(mode="json", exclude_defaults=True).items() if k not in {"sent"}})
    tree["sent"] = mark.sent
    return head + yaml_text.dump(tree)


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise RecordError(
            f"is missing from a state: {error.strerror}", place=Place(path), todo="Put it back from a copy."
        ) from error


def _sha(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
