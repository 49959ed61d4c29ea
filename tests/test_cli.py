"""The commands as a person at a terminal, or a program at a pipe, meets them; the walk of README.md's first car."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
import typer
from commanding import Fingerprint, Run, one_line_of
from PIL import Image

import soundmetal
from soundmetal.cli import app
from soundmetal.errors import Exit
from soundmetal.examples import EXAMPLES
from soundmetal.photos.arrivals import everything


def known_commands() -> dict[str, Any]:
    group: Any = typer.main.get_command(app)
    return dict(group.commands)


# --- help -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("columns", ["40", "120"])
def test_help_fits_the_terminal_and_gives_every_example(
    columns: str, soundmetal_here: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    monkeypatch.setenv("TERMINAL_WIDTH", columns)
    for name in known_commands():
        done = soundmetal_here(name, "--help")
        assert (done.returncode, done.stderr) == (0, ""), name
        if columns == "40":
            continue
        told = re.sub(r"\s+", " ", done.stdout)
        assert all(f"soundmetal {line}" in told for line in EXAMPLES[name]), name


def test_every_option_and_argument_stands_in_an_example() -> None:
    for name, command in known_commands().items():
        words = {word for line in EXAMPLES[name] for word in line.split()}
        options = [param for param in command.params if param.param_type_name == "option" and param.name != "help"]
        assert [option.opts for option in options if not words & set(option.opts)] == [], name
        assert len(words) > 1, name


def test_nothing_asked_shows_the_help_and_is_no_success(soundmetal_here: Run) -> None:
    done = soundmetal_here()
    assert done.returncode == Exit.USAGE
    assert all(name in done.stdout for name in known_commands())


def test_the_help_names_every_exit_code(soundmetal_here: Run) -> None:
    told = re.sub(r"\s+", " ", soundmetal_here("--help").stdout)
    codes = told[told.index("Exit codes:") :]
    assert {int(number) for number in re.findall(r"\d+", codes)} == set(Exit)


def test_version(soundmetal_here: Run) -> None:
    assert soundmetal_here("--version").stdout == f"soundmetal {soundmetal.__version__}\n"


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["report", "--nosuch"], "No such option: --nosuch. See: soundmetal report --help"),
        (["reprot"], "No such command 'reprot'"),
        (["start"], "Missing argument 'folder'. See: soundmetal start --help"),
        (["start", "x"], "no body is named. Say --body pickup"),
        (["report", "a", "b"], "Got unexpected extra argument"),
        (["report", "--output"], "Option '--output' requires an argument"),
        (["add", "x"], "Missing argument"),
        (["zones", "pickup", "--language", "english"], 'no language "english"'),
        (["reprot"], "Did you mean 'report'? See: soundmetal --help"),
        (["progress", "x", "metall"], "Invalid value for 'WHERE': 'metall' is not one of 'metal', 'away', 'back'"),
        (["send", "x", "--date", "20.11.2026"], '"20.11.2026" is no day. Write year-month-day, such as 2026-11-20.'),
        (["explain", "G4", "--language", "ess"], 'no language "ess". Did you mean "es"? There are: en, es.'),
    ],
)
def test_a_wrong_command_line_is_told_in_one_line(
    arguments: list[str], told: str, soundmetal_here: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = soundmetal_here(*arguments)
    assert done.returncode == Exit.USAGE
    assert told in one_line_of(done)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["add", "answers", "progress", "check", "report"])
def test_only_a_folder_that_may_be_left_out_has_a_default(name: str, soundmetal_here: Run) -> None:
    folder = next(param for param in known_commands()[name].params if param.name == "folder")
    assert ("(here)" in soundmetal_here(name, "--help").stdout) is not folder.required


@pytest.mark.parametrize("more", [[], ["--json"]])
def test_a_source_without_a_photograph_is_told(
    more: list[str], soundmetal_here: Run, small_inspection: Path, tmp_path: Path
) -> None:
    (tmp_path / "phone").mkdir()
    (tmp_path / "phone" / "notes.txt").write_text("none yet", encoding="utf-8")
    done = soundmetal_here("add", small_inspection, tmp_path / "phone", *more)
    assert done.returncode == Exit.INCOMPLETE
    assert done.stderr.startswith(f"no photograph was found in {tmp_path / 'phone'}. Name a file, or a folder")
    assert done.stderr.count("\n") == 1


# --- the first car of README.md ---------------------------------------------------------------------------------


def test_first_car_as_the_readme_tells_it(soundmetal_here: Run, tmp_path: Path, fingerprint: Fingerprint) -> None:
    car, today, more = tmp_path / "cars" / "packhorse", tmp_path / "phone" / "today", tmp_path / "phone" / "more"
    _photographs(
        today, "left rocker outer 2.jpg", "estribo izquierdo exterior.jpg", "rocker.left.outer/a.jpg", "xyz.jpg"
    )
    _photographs(more, "IMG_1.jpg", start=10)
    theirs = fingerprint(tmp_path / "phone")

    assert soundmetal_here("start", car, "--body", "pickup").returncode == 0
    assert sorted(path.name for path in car.iterdir()) == ["inspection.yaml", "photos", "shop.yaml"]
    assert list((car / "photos").iterdir()) == []

    added = json.loads(soundmetal_here("add", car, today, "--json").stdout)
    assert sorted(added["added"]) == sorted(f"today/{name}" for name in fingerprint(today))
    again = soundmetal_here("add", car, today)
    assert (again.returncode, again.stdout) == (0, "0 photographs added, 4 were here already.\n")
    assert soundmetal_here("add", car, more, "--zone", "rocker.left.outer").returncode == 0
    assert fingerprint(tmp_path / "phone") == theirs
    kept = fingerprint(car / "photos")
    del kept["arrived/arrivals.csv"]
    assert kept == {f"arrived/{digest}.jpg": digest for digest in theirs.values()}
    assert {photo.name: photo.sha256 for photo in everything(car).photos} == theirs

    done = soundmetal_here("check", car, "--json")
    assert done.returncode == Exit.INCOMPLETE
    remarks = json.loads(done.stdout)
    unplaced = [remark["where"] for remark in remarks if remark["about"] == "Photographs"]
    assert unplaced == ["today/xyz.jpg"]
    assert "not done" in next(remark["what"] for remark in remarks if remark["where"] == "rocker.left.outer")

    assert soundmetal_here("undo", car).returncode == 0
    text = (car / "inspection.yaml").read_text(encoding="utf-8")
    assert "IMG_1.jpg: {zone" not in text
    assert "version: 1 " in text


def test_every_body_starts_and_its_checks_are_all_asked_for(soundmetal_here: Run, tmp_path: Path) -> None:
    bodies = json.loads(soundmetal_here("zones", "--json").stdout)
    assert set(bodies) == {"pickup", "sedan", "coupe", "wagon", "convertible"}
    for body, structures in bodies.items():
        for structure in structures:
            folder = tmp_path / f"{body} {structure}"
            assert (
                soundmetal_here("start", folder, "--body", body, "--structure", structure, "-l", "es").returncode == 0
            )
            done = soundmetal_here("check", folder, "--json")
            asked = [one for one in json.loads(done.stdout) if one["about"] == "Zones not looked at yet"]
            zones = json.loads(soundmetal_here("zones", body, "--structure", structure, "--json").stdout)
            assert [one["where"] for one in asked] == [zone["id"] for zone in zones]


def test_start_never_overwrites(soundmetal_here: Run, tmp_path: Path, fingerprint: Fingerprint) -> None:
    soundmetal_here("start", tmp_path / "x", "--body", "pickup")
    before = fingerprint(tmp_path)
    done = soundmetal_here("start", tmp_path / "x", "--body", "sedan")
    assert done.returncode == Exit.FOLDER
    assert "holds an inspection already" in one_line_of(done)
    assert fingerprint(tmp_path) == before


def test_start_in_a_language_that_does_not_exist_writes_nothing(soundmetal_here: Run, tmp_path: Path) -> None:
    done = soundmetal_here("start", tmp_path / "x", "--body", "pickup", "--language", "xx")
    assert done.returncode == Exit.USAGE
    assert "There are: en, es." in one_line_of(done)
    assert not (tmp_path / "x").exists()


def test_unknown_body_and_structure_suggest_the_right_one(soundmetal_here: Run, tmp_path: Path) -> None:
    done = soundmetal_here("start", tmp_path / "x", "--body", "picup")
    assert done.returncode == Exit.UNKNOWN_NAME
    assert 'Did you mean "pickup"?' in one_line_of(done)
    done = soundmetal_here("zones", "pickup", "--structure", "unibody")
    assert done.returncode == Exit.UNKNOWN_NAME
    assert "frame" in one_line_of(done)


# --- answers for people and programs ----------------------------------------------------------------------------


def test_zones_are_told_for_people_and_programs_alike(soundmetal_here: Run) -> None:
    rows = [line.split("\t") for line in soundmetal_here("zones", "pickup").stdout.splitlines()]
    zones = json.loads(soundmetal_here("zones", "pickup", "--json").stdout)
    assert [row[0] for row in rows[1:]] == [zone["id"] for zone in zones]
    assert {len(row) for row in rows} == {6}
    spanish = soundmetal_here("zones", "pickup", "--language", "es").stdout
    assert "Estribo" in spanish


def test_schema_knows_every_key_and_is_the_same_each_time(soundmetal_here: Run) -> None:
    record = json.loads(soundmetal_here("schema").stdout)
    assert record == json.loads(soundmetal_here("schema", "record").stdout)
    assert {"soundmetal", "vehicle", "findings", "not_seen", "photos"} <= set(record["properties"])
    assert record["additionalProperties"] is False
    shop = json.loads(soundmetal_here("schema", "shop").stdout)
    assert {"rates", "operations", "sheets"} <= set(shop["properties"])
    done = soundmetal_here("schema", "shp")
    assert done.returncode == Exit.UNKNOWN_NAME
    assert 'Did you mean "shop"?' in one_line_of(done)


def test_check_tells_the_same_to_programs(soundmetal_here: Run, small_inspection: Path) -> None:
    remarks = json.loads(soundmetal_here("check", small_inspection, "--json").stdout)
    assert {tuple(remark) for remark in remarks} == {("about", "where", "what", "todo", "note")}
    told = soundmetal_here("check", small_inspection)
    assert told.returncode == Exit.INCOMPLETE
    missing = sum(not remark["note"] for remark in remarks)
    assert told.stdout.splitlines()[-1] == f"To look at: {missing}."
    assert all(remark["what"].rstrip(".") in told.stdout for remark in remarks)


def test_a_record_with_everything_in_it_is_quiet(soundmetal_here: Run, small_inspection: Path) -> None:
    zones = json.loads(soundmetal_here("zones", "pickup", "--json").stdout)
    path = small_inspection / "inspection.yaml"
    text = path.read_text(encoding="utf-8")
    answers = "".join(f"  {zone['id']}: {{all: clear}}\n" for zone in zones if zone["id"] != "cowl.top")
    answers = answers.replace("rocker.left.outer: {all: clear}", "rocker.left.outer: {all: rust}")
    answers = answers.replace("floor.left.front: {all: clear}", "floor.left.front: {all: rust}")
    text = text.replace("zones:\n", "zones:\n" + answers).replace("size: 100 x 80 mm", _SETTLED)
    path.write_text(text, encoding="utf-8")
    done = soundmetal_here("check", small_inspection)
    assert (done.returncode, done.stdout.splitlines()[-1]) == (0, "Nothing is missing."), done.stdout


_SETTLED = """size: 100 x 80 mm
    mounting: {kind: seat, distance: 400 mm}
    readings: [{thickness: 0.90 mm, method: caliper, surface: cleaned}]
    reference: {thickness: 0.91 mm, method: caliper, surface: cleaned}"""


def test_the_folder_may_be_named_in_any_way(
    soundmetal_here: Run, small_inspection: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = soundmetal_here("explain", "F1", small_inspection).stdout
    assert whole.startswith("F1, Left outer rocker: ")
    assert soundmetal_here("explain", "f1", f"{small_inspection}/").stdout == whole
    monkeypatch.chdir(small_inspection.parent)
    assert soundmetal_here("explain", "F1", "drover").stdout == whole
    assert soundmetal_here("explain", "F1", "./drover/../drover/").stdout == whole
    monkeypatch.chdir(small_inspection)
    assert soundmetal_here("explain", "F1").stdout == whole
    shutil.copytree(small_inspection, small_inspection / "-x")
    assert soundmetal_here("explain", "F1", "--", "-x").stdout == whole


# --- pipes, old terminals, Ctrl-C, faults -----------------------------------------------------------------------


def _photographs(folder: Path, *names: str, start: int = 0) -> None:
    for number, name in enumerate(names, start):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        Image.new("RGB", (32, 24), (number * 20, 80, 90)).save(path, "JPEG")
