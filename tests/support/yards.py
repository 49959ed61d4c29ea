"""A yard of made-up cars, for whatever lists or searches one."""

from __future__ import annotations

import datetime as dt
import hashlib
from pathlib import Path

from offers import an_offer

from soundmetal.folder import store
from soundmetal.folder.states import Returned, State, freeze, keep_answer
from soundmetal.folder.store import Change
from soundmetal.record.offer import Offer
from soundmetal.record.substance import mark_of
from soundmetal.record.terms import Aim, Reply

CAR = """\
soundmetal: 1
vehicle:
  {{year: 1967, make: "Tollgate", model: "{model}", body: pickup, structure: frame, identification: "{number}"}}
owner: {{name: "{owner}"}}
date: 2026-11-01
basis: lift
findings:
  - {{id: F1, zone: rocker.left.outer, seen: holed, size: 320 x 60 mm, note: "{note}"}}
  - {{id: F2, zone: floor.left.front, seen: pitted, size: 100 x 80 mm}}
"""
SENT, BACK = dt.date(2026, 11, 5), dt.date(2026, 11, 9)


def write_car(
    folder: Path,
    model: str = "Packhorse 10",
    *,
    owner: str = "Inés Corvalán",
    number: str = "PH10-67-20418",
    note: str = "held water",
) -> Path:
    """Write a car that was looked at on 1 November 2026, with two findings, into a folder, and give that."""
    folder.mkdir(parents=True, exist_ok=True)
    text = CAR.format(model=model, owner=owner, number=number, note=note)
    (folder / "inspection.yaml").write_text(text, encoding="utf-8")
    return folder


def send_car(folder: Path, offer: Offer | None = None, day: dt.date = SENT) -> State:
    """Send a car's offer: a panel of 1000 USD and 2 likely hours for each finding, where nothing else is given."""
    stored = store.read(folder)
    marks = tuple(mark_of(finding) for finding in stored.inspection.findings)
    return freeze(folder, stored, offer or an_offer(marks=marks), b"%PDF-1 stand-in", day)


def answer_car(folder: Path, state: State, day: dt.date = BACK, aim: Aim | None = None, **said: str) -> State:
    """Take answers by finding, as a form that came back brings them."""
    replies = {name: Reply(word) for name, word in said.items()}
    store.change(
        folder,
        [
            Change(("answers", name), {"reply": reply.value, "date": day, "state": state.number})
            for name, reply in replies.items()
        ],
    )
    data = f"%PDF-1 {sorted(said.items())} {day}".encode()
    back = Returned(date=day, sha256=hashlib.sha256(data).hexdigest(), aim=aim, replies=replies)
    return keep_answer(folder, state, back, data)
