from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from commanding import Run, one_line_of
from yards import answer_car, send_car, write_car

from soundmetal.folder import store
from soundmetal.record.terms import Stage
from soundmetal.yarding import Next, Where


@pytest.fixture
def drover(tmp_path: Path) -> Path:
    return write_car(tmp_path / "cars" / "drover", "Drover")


def test_the_yard_is_listed_by_where_cars_stand(drover: Path, soundmetal_here: Run) -> None:
    heron = write_car(drover.parent / "heron", "Heron", owner="R. Vane")
    answer_car(heron, send_car(heron), F1="yes", F2="talk to me")
    listed = soundmetal_here("yard", drover.parent)
    assert (listed.returncode, listed.stderr) == (0, "")
    assert [line.split("\t") for line in listed.stdout.splitlines()] == [
        ["stands", "last event", "hours left", "answered", "waiting", "car", "owner", "folder"],
        ["looked at", "2026-11-01", "", "", "", "1967 Tollgate Drover", "Inés Corvalán", "drover"],
        ["answered", "2026-11-09", "2.0", "1000 USD", "1000 USD", "1967 Tollgate Heron", "R. Vane", "heron"],
        ["2 inspections; 2.0 hours left; 1000 USD answered, 1000 USD waiting"],
    ]
    asked = soundmetal_here("yard", drover.parent, "--stage", "answered", "--stage", "away")
    assert "Drover" not in asked.stdout
    assert asked.stdout.endswith("1 inspection; 2.0 hours left; 1000 USD answered, 1000 USD waiting\n")
    assert soundmetal_here("yard", drover.parent, "--stage", "closed").stdout == "No inspection is like that.\n"
    assert "Heron" in soundmetal_here("yard", drover.parent, "--find", "vane ESTRIBO f2").stdout


def test_the_yard_as_json(drover: Path, soundmetal_here: Run) -> None:
    answer_car(drover, send_car(drover), F1="yes", F2="no")
    store.change(drover, [store.Change(("id",), "q7w8e9r0")])
    told = json.loads(soundmetal_here("yard", drover.parent, "--json").stdout)
    assert told == {
        "inspections": [
            {
                "folder": "drover",
                "id": "q7w8e9r0",
                "stand": "answered",
                "open_state": None,
                "date": "2026-11-09",
                "car": "1967 Tollgate Drover",
                "owner": "Inés Corvalán",
                "identification": "PH10-67-20418",
                "hours_left": 2.0,
                "answered": "1000",
                "waiting": "0",
                "currency": "USD",
            }
        ],
        "broken": [],
    }


def test_a_broken_one_is_named_and_the_rest_is_listed(drover: Path, soundmetal_here: Run) -> None:
    write_car(drover.parent / "heron", "Heron")
    (drover / "inspection.yaml").write_text("basis: [", encoding="utf-8")
    listed = soundmetal_here("yard", drover.parent, "--find", "heron")
    assert listed.returncode == 20
    assert "Heron" in listed.stdout
    assert listed.stderr.startswith("cannot be read: drover: inspection.yaml, line ")
    assert len(listed.stderr.splitlines()) == 1


def test_an_empty_yard_and_none(tmp_path: Path, soundmetal_here: Run) -> None:
    assert soundmetal_here("yard", tmp_path).stdout == "No inspection lies here.\n"
    missing = soundmetal_here("yard", tmp_path / "nowhere")
    assert missing.returncode == 3
    assert "no folder" in one_line_of(missing)


def test_copies_are_named(drover: Path, soundmetal_here: Run) -> None:
    record = drover / "inspection.yaml"
    record.write_text(record.read_text(encoding="utf-8") + "id: q7w8e9r0\n", encoding="utf-8")
    write_car(drover.parent / "copy")
    (drover.parent / "copy" / "inspection.yaml").write_bytes(record.read_bytes())
    listed = soundmetal_here("yard", drover.parent)
    assert listed.returncode == 0
    assert listed.stderr == "the same inspection in several folders, so it counts more than once: copy, drover\n"


def test_progress_is_written_down_and_taken_back(drover: Path, soundmetal_here: Run) -> None:
    answer_car(drover, send_car(drover), F1="yes", F2="yes")
    before = (drover / "inspection.yaml").read_text(encoding="utf-8")
    begun = soundmetal_here("progress", drover, "metal", "--date", "2026-11-12", "--note", "Begun")
    assert (begun.returncode, begun.stdout, begun.stderr) == (0, "at the metal since 2026-11-12\n", "")
    away = soundmetal_here("progress", drover, "away", "--date", "2026-11-20", "--json")
    assert json.loads(away.stdout) == {"stage": "away", "date": "2026-11-20", "note": "", "odd": []}
    kept = store.read(drover).inspection.progress
    assert [(one.stage, one.date, one.note) for one in kept] == [
        (Stage.METAL, dt.date(2026, 11, 12), "Begun"),
        (Stage.AWAY, dt.date(2026, 11, 20), ""),
    ]
    assert "away\t2026-11-20" in soundmetal_here("yard", drover.parent, "--stage", "away").stdout
    soundmetal_here("undo", drover)
    assert store.read(drover).inspection.progress == kept[:1]
    soundmetal_here("undo", drover)
    assert (drover / "inspection.yaml").read_text(encoding="utf-8") == before


def test_an_order_that_cannot_be_is_refused_and_nothing_is_written(drover: Path, soundmetal_here: Run) -> None:
    answer_car(drover, send_car(drover), F1="yes", F2="yes")
    assert "not closed" in one_line_of(soundmetal_here("progress", drover, "metal", "--again"))
    soundmetal_here("progress", drover, "metal", "--date", "2026-11-12")
    soundmetal_here("progress", drover, "closed", "--date", "2026-12-01")
    text = (drover / "inspection.yaml").read_bytes()
    for words, fault in (
        (("away", "--date", "2026-12-02"), "it was closed on 2026-12-01. Say --again"),
        (("closed", "--date", "2026-12-02", "--again"), "it was closed on 2026-12-01. There is nothing"),
        (("metal", "--date", "2026-11-30", "--again"), "2026-11-30 lies before 2026-12-01, when it was closed"),
    ):
        refused = soundmetal_here("progress", drover, *words)
        assert refused.returncode == 2
        assert fault in one_line_of(refused)
    assert (drover / "inspection.yaml").read_bytes() == text
    assert soundmetal_here("progress", drover, "metal", "--date", "2026-12-01", "--again").returncode == 0


def test_what_is_odd_is_told_and_written_all_the_same(drover: Path, soundmetal_here: Run) -> None:
    told = soundmetal_here("progress", drover, "metal", "--date", "2026-11-02")
    assert told.returncode == 0
    assert told.stderr == "written down all the same, but the owner was never sent anything to answer for this car\n"
    send_car(drover)
    told = soundmetal_here("progress", drover, "metal", "--date", "2026-11-06")
    assert told.stderr == "written down all the same, but state 1 was sent on 2026-11-05, and nobody answered it\n"
    told = soundmetal_here("progress", drover, "back", "--date", "2026-11-07")
    assert told.stderr == "written down all the same, but nobody wrote down that the car went away\n"
    assert len(store.read(drover).inspection.progress) == 3
    assert "at the metal; state" not in soundmetal_here("yard", drover.parent).stdout
    assert "back; state 1 not answered" in soundmetal_here("yard", drover.parent).stdout


def test_an_empty_list_and_comments_in_the_record_are_kept(drover: Path, soundmetal_here: Run) -> None:
    record = drover / "inspection.yaml"
    record.write_text(record.read_text(encoding="utf-8") + "progress: []   # none yet\n", encoding="utf-8")
    assert soundmetal_here("progress", drover, "away", "--date", "2026-11-12").returncode == 0
    assert "# none yet" in record.read_text(encoding="utf-8")


def test_every_place_has_its_word() -> None:
    assert [one.value for one in Next] == [one.value for one in Where][3:]
    assert [one.name for one in Next] == [one.name for one in Stage]


def test_a_date_of_today_is_taken_where_none_is_said(drover: Path, soundmetal_here: Run) -> None:
    soundmetal_here("progress", drover, "away")
    day = store.read(drover).inspection.progress[0].date
    assert abs((dt.datetime.now().astimezone().date() - day).days) <= 1


def test_a_warm_yard_is_listed_without_loading_what_reads_records(drover: Path, soundmetal_command: Run) -> None:
    """A listing that waits for the records' readers to load is late before it begins."""
    soundmetal_command("yard", drover.parent)
    told = soundmetal_command("yard", drover.parent, PYTHONPROFILEIMPORTTIME="1")
    assert "soundmetal.folder.yard.look" in told.stderr
    for heavy in ("shapely", "ruamel", "soundmetal.record.models", "soundmetal.folder.yard.reading"):
        assert heavy not in told.stderr
