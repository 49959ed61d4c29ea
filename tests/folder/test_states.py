from __future__ import annotations

import datetime as dt
import hashlib
from pathlib import Path

import pytest
from offers import an_offer

from soundmetal.errors import ChangedMeanwhile, RecordError, SoundmetalError
from soundmetal.folder import store
from soundmetal.folder.states import Returned, freeze, keep_answer, newest, standing, states
from soundmetal.record.substance import mark_of
from soundmetal.record.terms import Aim

DAY = dt.date(2026, 11, 20)


def test_a_state_keeps_every_byte(small_inspection: Path) -> None:
    now = store.read(small_inspection)
    kept = freeze(small_inspection, now, an_offer(), b"%PDF-1", DAY)
    assert kept.number == 1
    assert (kept.folder / "inspection.yaml").read_bytes() == now.path.read_bytes()
    assert (kept.folder / "report.pdf").read_bytes() == b"%PDF-1"
    assert states(small_inspection) == (kept,)
    assert kept.offer == an_offer()
    assert kept.record == now.inspection
    assert kept.mark.sent == DAY
    assert not kept.answered


def test_the_same_offer_is_one_state_and_another_is_the_next(small_inspection: Path) -> None:
    now = store.read(small_inspection)
    first = freeze(small_inspection, now, an_offer(), b"%PDF-1", DAY)
    assert freeze(small_inspection, now, an_offer(), b"%PDF-2", DAY) == first
    second = freeze(small_inspection, now, an_offer(price=1300), b"%PDF-2", DAY)
    assert [state.number for state in states(small_inspection)] == [1, 2]
    assert newest(states(small_inspection)) == second
    assert newest(states(small_inspection), answered=True) is None


def test_a_record_saved_meanwhile_is_not_frozen(small_inspection: Path) -> None:
    now = store.read(small_inspection)
    store.change(small_inspection, [store.Change(("inspector",), "Somebody else")])
    with pytest.raises(ChangedMeanwhile):
        freeze(small_inspection, now, an_offer(), b"%PDF-1", DAY)
    assert states(small_inspection) == ()


@pytest.mark.parametrize("name", ["inspection.yaml", "offer.json", "report.pdf"])
def test_a_state_that_was_tampered_with_is_refused(small_inspection: Path, name: str) -> None:
    kept = freeze(small_inspection, store.read(small_inspection), an_offer(), b"%PDF-1", DAY)
    path = kept.folder / name
    path.write_bytes(path.read_bytes() + b" ")
    with pytest.raises(RecordError, match=name):
        states(small_inspection)
    path.unlink()
    with pytest.raises(RecordError, match="missing"):
        states(small_inspection)


@pytest.mark.parametrize("text", ["", "number: 1\n", "number: [\n", "\x00", "number: 99999\nsent: 2026-11-20\n"])
def test_a_broken_mark_is_refused(small_inspection: Path, text: str) -> None:
    kept = freeze(small_inspection, store.read(small_inspection), an_offer(), b"%PDF-1", DAY)
    (kept.folder / "state.yaml").write_text(text)
    with pytest.raises(SoundmetalError):
        states(small_inspection)


def test_a_form_that_came_back_is_kept_once(small_inspection: Path) -> None:
    state = freeze(small_inspection, store.read(small_inspection), an_offer(), b"%PDF-1", DAY)
    back = Returned(sha256=hashlib.sha256(b"%PDF-filled").hexdigest(), date=DAY, signed="A. Q.", aim=Aim.SOUND)
    once = keep_answer(small_inspection, state, back, b"%PDF-filled")
    twice = keep_answer(small_inspection, once, back, b"%PDF-filled")
    assert twice.mark.returned == (back,)
    assert (state.folder / "answers" / f"{back.sha256}.pdf").read_bytes() == b"%PDF-filled"
    assert newest(states(small_inspection), answered=True) == twice


def test_an_answer_stands_until_more_is_found(small_inspection: Path) -> None:
    marks = tuple(mark_of(finding) for finding in store.read(small_inspection).inspection.findings)
    freeze(small_inspection, store.read(small_inspection), an_offer(marks=marks), b"%PDF-1", DAY)
    said = [store.Change(("answers", name), {"reply": "yes", "state": 1}) for name in ("F1", "F2")]
    now = store.change(small_inspection, said).inspection
    assert set(standing(now, states(small_inspection))) == {"F1", "F2"}
    more = store.change(small_inspection, [store.Change(("findings", "F1", "size"), "400 x 60 mm")]).inspection
    assert set(standing(more, states(small_inspection))) == {"F2"}
    by_mouth = store.change(small_inspection, [store.Change(("answers", "F1"), {"reply": "no"})]).inspection
    assert set(standing(by_mouth, states(small_inspection))) == {"F1", "F2"}
