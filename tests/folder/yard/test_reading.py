from __future__ import annotations

import datetime as dt
from decimal import Decimal
from pathlib import Path

import pytest
from offers import an_offer
from yards import BACK, SENT, answer_car, send_car, write_car

from soundmetal.folder import store
from soundmetal.folder.store import Change
from soundmetal.folder.yard import walk
from soundmetal.folder.yard.models import Broken, Car, Stand
from soundmetal.folder.yard.reading import Read, read_spot
from soundmetal.folder.yard.stages import move
from soundmetal.record.substance import mark_of
from soundmetal.record.terms import Aim, Stage


def read(folder: Path) -> Read:
    spot = walk.look_at(str(folder), "it")
    assert spot
    return read_spot(spot)


def car(folder: Path) -> Car:
    told = read(folder).told
    assert isinstance(told, Car), told
    return told


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_car(tmp_path / "packhorse")


def test_a_car_that_was_only_looked_at(folder: Path) -> None:
    now = car(folder)
    assert now == Car(
        "it", "", Stand.LOOKED_AT, dt.date(2026, 11, 1), None, "1967 Tollgate Packhorse 10", "Inés Corvalán",
        "PH10-67-20418", None, None, None, "USD",
    )  # fmt: skip
    assert now.standing == "looked at"


def test_the_way_from_sent_to_closed(folder: Path) -> None:
    state = send_car(folder)
    now = car(folder)
    assert (now.stand, now.standing, now.date) == (Stand.SENT, "sent", SENT)
    assert (now.hours_left_h, now.answered, now.waiting) == (None, Decimal(0), Decimal(2000))
    answer_car(folder, state, F1="yes", F2="talk to me")
    now = car(folder)
    assert (now.stand, now.date, now.open_state) == (Stand.ANSWERED, BACK, None)
    assert (now.hours_left_h, now.answered, now.waiting) == (2.0, Decimal(1000), Decimal(1000))
    for stage, stand in zip(Stage, tuple(Stand)[3:], strict=True):
        move(folder, stage, dt.date(2026, 12, 1))
        now = car(folder)
        assert (now.stand, now.date) == (stand, dt.date(2026, 12, 1))
    assert (now.hours_left_h, now.answered, now.waiting) == (0.0, Decimal(1000), Decimal(0))


def test_hours_spent_are_taken_off_and_nothing_goes_below_nought(folder: Path) -> None:
    answer_car(folder, send_car(folder), F1="yes", F2="yes")
    assert car(folder).hours_left_h == 4.0
    store.change(folder, [Change(("spent", "F1"), {"butt_mig": 0.5, "cut_out": 0.75})])
    assert car(folder).hours_left_h == 2.75
    store.change(folder, [Change(("spent", "F2"), {"butt_mig": 90})])
    assert car(folder).hours_left_h == 0.0


def test_an_amendment_that_nobody_answered_is_told_beside_the_stand(folder: Path) -> None:
    answer_car(folder, send_car(folder), F1="yes", F2="yes")
    more = {"id": "F3", "zone": "cowl.top", "seen": "holed", "size": "60 x 40 mm"}
    stored = store.change(folder, [Change(("findings", 2), more)])
    marks = tuple(mark_of(finding) for finding in stored.inspection.findings)
    send_car(folder, an_offer(marks=marks), dt.date(2026, 11, 20))
    now = car(folder)
    assert now.standing == "sent; state 2 not answered"
    assert (now.hours_left_h, now.answered, now.waiting) == (4.0, Decimal(2000), Decimal(1000))
    move(folder, Stage.METAL, dt.date(2026, 11, 21))
    assert car(folder).standing == "at the metal; state 2 not answered"


def test_an_answer_falls_where_more_was_found_since(folder: Path) -> None:
    answer_car(folder, send_car(folder), F1="yes", F2="yes")
    store.change(folder, [Change(("findings", "F1", "size"), "500 x 90 mm")])
    now = car(folder)
    assert (now.hours_left_h, now.answered, now.waiting) == (2.0, Decimal(1000), Decimal(1000))


@pytest.mark.parametrize(
    ("said", "answered", "waiting"),
    [
        ({}, 0, 1000),
        ({"F1": "yes"}, 0, 1000),
        ({"F1": "yes", "F2": "talk to me"}, 0, 1000),
        ({"F1": "yes", "F2": "no"}, 1000, 0),
        ({"F1": "no", "F2": "no"}, 0, 0),
        ({"F1": "yes", "F2": "yes"}, 1000, 0),
    ],
)
def test_findings_on_one_panel_are_one_job_with_one_price(
    folder: Path, said: dict[str, str], answered: int, waiting: int
) -> None:
    marks = tuple(mark_of(finding) for finding in store.read(folder).inspection.findings)
    whole = an_offer(marks=marks)
    aim = whole.aims[Aim.SOUND]
    panel = next(iter(aim.panels.values())).model_copy(update={"findings": ("F1", "F2")})
    one = aim.model_copy(update={"panels": {"cab.left": panel}})
    answer_car(folder, send_car(folder, whole.model_copy(update={"aims": dict.fromkeys(Aim, one)})), **said)
    now = car(folder)
    assert (now.answered, now.waiting) == (Decimal(answered), Decimal(waiting))


def test_the_aim_of_the_record_counts_and_what_is_left_alone_does_not(folder: Path) -> None:
    marks = tuple(mark_of(finding) for finding in store.read(folder).inspection.findings)
    left = an_offer(marks=marks, method="leave").aims[Aim.ARREST]
    offer = an_offer(marks=marks)
    send_car(folder, offer.model_copy(update={"aims": {**offer.aims, Aim.ARREST: left}}))
    assert car(folder).waiting == 2000
    store.change(folder, [Change(("aim",), "arrest")])
    assert car(folder).waiting == 0


def test_a_car_without_make_is_named_by_its_body(tmp_path: Path) -> None:
    record = "soundmetal: 1\nvehicle: {year: 1971, body: pickup, structure: frame}\ndate: 2026-11-01\nbasis: lift\n"
    (tmp_path / "Inspection.YML").write_text(record)
    assert car(tmp_path).car == "1971 pickup"


def test_words_come_from_car_owner_notes_zones_in_each_language_and_findings(folder: Path) -> None:
    store.change(folder, [Change(("zones", "cowl.top"), {"look": "clear", "note": "Leaves taken out"})])
    words = read(folder).words.split()
    assert {"packhorse", "corvalan", "ph106720418", "20418", "f1", "rocker", "estribo", "held", "leaves"} <= set(
        words
    )
    assert "bedside" not in words


@pytest.mark.parametrize(
    ("name", "content", "fault"),
    [
        ("inspection.yaml", b"vehicle: [", "not readable as YAML"),
        ("inspection.yaml", b"\xff\xfe", "UTF-8"),
        ("inspection.yaml", b"soundmetal: 1\n", "Add it. (and 2 more)"),
        ("states/0001/offer.json", b"{}", "not what was sent as state 1"),
        ("states/0001/state.yaml", b"number: 0\n", "number"),
        ("inspection.yml", b"soundmetal: 1\n", "two records"),
    ],
)
def test_what_is_broken_is_told_in_one_line(folder: Path, name: str, content: bytes, fault: str) -> None:
    send_car(folder)
    (folder / name).write_bytes(content)
    told = read(folder).told
    assert isinstance(told, Broken)
    assert fault in told.fault
    assert "\n" not in told.fault


@pytest.mark.parametrize("name", ["offer.json", "state.yaml"])
def test_a_state_that_lacks_a_file_is_broken(folder: Path, name: str) -> None:
    (send_car(folder).folder / name).unlink()
    told = read(folder).told
    assert isinstance(told, Broken)
    assert "is missing from state 0001" in told.fault


def test_a_body_that_there_is_not_is_a_fault(folder: Path) -> None:
    store.change(folder, [Change(("vehicle", "body"), "hovercraft")])
    told = read(folder).told
    assert isinstance(told, Broken)
    assert 'no body "hovercraft"' in told.fault


def test_what_changes_while_it_is_read_is_not_kept(folder: Path) -> None:
    spot = walk.look_at(str(folder), "it")
    assert spot
    assert read_spot(spot).digest
    assert read_spot(spot._replace(signature=b"another")).digest is None
