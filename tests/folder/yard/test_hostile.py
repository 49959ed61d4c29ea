"""Yards that somebody or something has spoilt: each is listed to its end, and nothing in it steers the terminal."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from commanding import Run
from yards import send_car, write_car

from soundmetal.folder.yard.look import look


def second_record(folder: Path) -> None:
    (folder / "inspection.yml").write_text("soundmetal: 1\n")


def huge(folder: Path) -> None:
    with (folder / "inspection.yaml").open("ab") as stream:
        stream.truncate(50_000_000_000)


def nulls(folder: Path) -> None:
    (folder / "inspection.yaml").write_bytes(b"\0" * 10_000)


def deep(folder: Path) -> None:
    (folder / "inspection.yaml").write_text("a: " + "[" * 50_000)


def aliases(folder: Path) -> None:
    lines = ["a0: &a0 [x, x]", *(f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]" for n in range(1, 60))]
    (folder / "inspection.yaml").write_text("\n".join(lines))


def many_lines(folder: Path) -> None:
    (folder / "inspection.yaml").write_text("- x\n" * 4_000)


def half_a_character(folder: Path) -> None:
    path = folder / "inspection.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("dry", r"d\ud800ry"), encoding="utf-8")


def huge_offer(folder: Path) -> None:
    with (send_car(folder).folder / "offer.json").open("ab") as stream:
        stream.truncate(50_000_000_000)


def pipe_for_offer(folder: Path) -> None:
    path = send_car(folder).folder / "offer.json"
    path.unlink()
    os.mkfifo(path)


def pipe_for_mark(folder: Path) -> None:
    path = send_car(folder).folder / "state.yaml"
    path.unlink()
    os.mkfifo(path)


def endless_offer(folder: Path) -> None:
    path = send_car(folder).folder / "offer.json"
    path.unlink()
    path.symlink_to("/dev/zero")


def folder_for_mark(folder: Path) -> None:
    path = send_car(folder).folder / "state.yaml"
    path.unlink()
    path.mkdir()


def states_without_end(folder: Path) -> None:
    send_car(folder)
    for number in range(2, 400):
        (folder / "states" / f"{number:04d}").mkdir()


def strange_number(folder: Path) -> None:
    send_car(folder).folder.rename(folder / "states" / "²")


SPOILT: tuple[Callable[[Path], None], ...] = (
    second_record,
    huge,
    nulls,
    deep,
    aliases,
    many_lines,
    half_a_character,
    huge_offer,
    pipe_for_offer,
    pipe_for_mark,
    endless_offer,
    folder_for_mark,
    states_without_end,
)


@pytest.mark.parametrize("spoil", SPOILT)
def test_a_spoilt_inspection_is_named_and_hides_no_other(yard: Path, spoil: Callable[[Path], None]) -> None:
    spoil(yard / "heron")
    for words in (None, "packhorse", None):
        found = look(yard, words)
        assert [one.folder for one in found.broken] == ["heron"]
        assert "\n" not in found.broken[0].fault
        assert len(found.cars) == (1 if words else 2)


def test_a_state_with_another_sign_for_its_number_is_read_as_the_others_read_it(yard: Path) -> None:
    strange_number(yard / "heron")
    assert len(look(yard).cars) == 3


NAMES = (
    "line\nbreak",
    "tab\there",
    "\u202egnp.exe",
    "\x1b[31mred",
    'it\'s "so"',
    "-rf",
    "ñandú 車",
    "[red]x[/red]",
    "%s{0}",
    "a" * 200,
)


@pytest.mark.parametrize("name", NAMES)
def test_names_are_kept_whole_and_shown_on_one_line(tmp_path: Path, soundmetal_here: Run, name: str) -> None:
    write_car(tmp_path / name, "Heron")
    (write_car(tmp_path / f"{name} 2") / "inspection.yaml").write_text("x: [", encoding="utf-8")
    for _ in range(2):
        listed = soundmetal_here("yard", tmp_path)
        assert listed.returncode == 20
        assert len(listed.stdout.splitlines()) == 3
        assert len(listed.stderr.splitlines()) == 1
        assert all(char.isprintable() for char in listed.stdout.replace("\n", "").replace("\t", ""))
        told = json.loads(soundmetal_here("yard", tmp_path, "--json").stdout)
        assert [one["folder"] for one in told["inspections"]] == [name]
        assert [one["folder"] for one in told["broken"]] == [f"{name} 2"]


def test_a_name_that_is_no_text_is_listed_and_found(tmp_path: Path, soundmetal_command: Run) -> None:
    write_car(Path(os.fsdecode(os.fsencode(tmp_path) + b"/caf\xe9 heron")), "Heron")
    for _ in range(2):
        listed = soundmetal_command("yard", tmp_path, "--find", "heron")
        assert (listed.returncode, listed.stderr) == (0, "")
        assert "1967 Tollgate Heron" in listed.stdout


@pytest.mark.parametrize(
    "words", ['"', "heron' OR 1=1 --", 'heron" OR "drover', "heron*", "NEAR(heron drover)", "heron AND", "%", "_eron"]
)
def test_a_search_is_words_and_no_language(yard: Path, soundmetal_here: Run, words: str) -> None:
    done = soundmetal_here("yard", yard, "--find", words, "--json")
    assert done.returncode in (0, 2)
    found = [one["folder"] for one in json.loads(done.stdout)["inspections"]] if done.returncode == 0 else []
    assert found == (["heron"] if words == "heron*" else [])


def test_a_folder_as_deep_as_names_can_be_is_walked_to_its_end(tmp_path: Path) -> None:
    here = tmp_path / "cars"
    write_car(here / "heron", "Heron")
    deep = here
    for _ in range(60):
        deep = deep / ("d" * 50)
    write_car(deep, "Drover")
    assert len(look(here).cars) == 2
