from __future__ import annotations

import io
import json
import re
import sys

import pytest

from soundmetal import terminal


class Screen(io.StringIO):
    """A terminal, as far as a program can tell."""

    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


def on_screen(monkeypatch: pytest.MonkeyPatch, stream: str = "stdout") -> Screen:
    """Put a terminal where the output goes; called inside a test, as the capture sets its own between phases."""
    shown = Screen()
    monkeypatch.setattr(sys, stream, shown)
    for name in ("NO_COLOR", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    return shown


def on_old_screen(monkeypatch: pytest.MonkeyPatch) -> io.TextIOWrapper:
    """Put an output there that knows plain letters only."""
    stream = io.TextIOWrapper(io.BytesIO(), encoding="ascii", write_through=True)
    monkeypatch.setattr(sys, "stdout", stream)
    terminal.prepare()
    return stream


def written(stream: io.TextIOWrapper) -> str:
    stream.flush()
    assert isinstance(stream.buffer, io.BytesIO)
    return stream.buffer.getvalue().decode("ascii")


def test_text_is_never_taken_for_markup_or_pictures(capsys: pytest.CaptureFixture[str]) -> None:
    terminal.say("[bold]left[/bold] :car: [link=x]y[/] \\[red]")
    assert capsys.readouterr().out == "[bold]left[/bold] :car: [link=x]y[/] \\[red]\n"


@pytest.mark.parametrize("evil", ["a\x1b]0;title\x07b", "a\rb", "a\nb", "a\u202eb", "a\x9b31mb", "a\u200bb"])
def test_a_name_cannot_steer_the_terminal(evil: str, capsys: pytest.CaptureFixture[str]) -> None:
    terminal.warn(evil)
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert all(char.isprintable() for char in told.rstrip("\n"))
    assert told.startswith("a\\")


def test_long_lines_are_left_to_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = on_screen(monkeypatch)
    monkeypatch.setenv("COLUMNS", "20")
    terminal.say("left rocker outer, " * 10)
    assert screen.getvalue().count("\n") == 1


def test_colour_and_weight_stay_out_of_pipes(capsys: pytest.CaptureFixture[str]) -> None:
    terminal.say("Contradictions", bold=True)
    assert capsys.readouterr().out == "Contradictions\n"


def test_headings_stand_out_on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = on_screen(monkeypatch)
    terminal.say("Contradictions", bold=True)
    assert screen.getvalue() == "\x1b[1mContradictions\x1b[0m\n"


def test_letters_that_a_terminal_has_not_are_written_with_those_it_has(monkeypatch: pytest.MonkeyPatch) -> None:
    latin = on_old_screen(monkeypatch)
    terminal.say("Inés Muñoz – 3\xa09/16\xa0in × 2½ → “左” ß")
    assert written(latin) == 'Ines Munoz - 3 9/16 in x 2 1/2 -> "\\u5de6" \\xdf\n'


def test_json_stays_json_on_a_terminal_of_plain_letters(monkeypatch: pytest.MonkeyPatch) -> None:
    latin = on_old_screen(monkeypatch)
    terminal.print_json({"owner": "Inés 左"})
    assert json.loads(written(latin)) == {"owner": "Inés 左"}


def test_json_is_utf8_elsewhere_and_keeps_its_order(capsys: pytest.CaptureFixture[str]) -> None:
    terminal.print_json({"b": "Inés", "a": [1, None, True]})
    assert capsys.readouterr().out == '{\n  "b": "Inés",\n  "a": [\n    1,\n    null,\n    true\n  ]\n}\n'


def test_a_table_in_a_pipe_is_parted_by_tabs_and_whole(capsys: pytest.CaptureFixture[str]) -> None:
    terminal.table(("zone", "name"), [("rocker.left.outer", "x" * 300), ("a\tb", "[red]c")])
    lines = capsys.readouterr().out.splitlines()
    assert [line.split("\t") for line in lines] == [
        ["zone", "name"],
        ["rocker.left.outer", "x" * 300],
        ["a b", "[red]c"],
    ]


@pytest.mark.parametrize("columns", ["24", "80", "300"])
def test_a_table_on_a_terminal_loses_no_letter(columns: str, monkeypatch: pytest.MonkeyPatch) -> None:
    screen = on_screen(monkeypatch)
    monkeypatch.setenv("COLUMNS", columns)
    monkeypatch.setenv("NO_COLOR", "1")
    terminal.table(("zone", "name"), [("frame_rail.left.over_axle", "Left frame rail over the axle [x]")])
    shown = re.sub("\x1b\\[[0-9;]*m", "", screen.getvalue())
    assert max(len(line) for line in shown.splitlines()) <= int(columns)
    told = "".join(shown.split())
    assert sorted(told) == sorted("zonename" + "frame_rail.left.over_axle" + "Leftframerailovertheaxle[x]")


def test_a_tall_table_on_a_terminal_is_aligned_and_not_folded(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = on_screen(monkeypatch)
    monkeypatch.setenv("COLUMNS", "20")
    terminal.table(("a", "b"), [("車", "x" * 40), *(("abc", f"[b]{n}\x1b") for n in range(300))])
    lines = screen.getvalue().splitlines()
    assert len(lines) == 302
    assert lines[:3] == ["a   b", f"車  {'x' * 40}", "abc [b]0\\x1b"]


def test_lines_are_told_under_the_heading_where_it_came_first(capsys: pytest.CaptureFixture[str]) -> None:
    terminal.grouped([("A", "one"), ("B", ""), ("A", "two")])
    assert capsys.readouterr().out == "A\n  one\n  two\nB\n"


def test_progress_is_silent_where_nobody_watches(capsys: pytest.CaptureFixture[str]) -> None:
    with terminal.Watch("Reading photographs") as watch:
        watch.step(1, 2)
    told = capsys.readouterr()
    assert (told.out, told.err) == ("", "")


def test_progress_is_shown_beside_the_results_and_cleared(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = on_screen(monkeypatch)
    beside = on_screen(monkeypatch, "stderr")
    with terminal.Watch("Reading photographs") as watch:
        watch.step(1, 60)
        watch._progress.refresh()
    assert "Reading photographs" in beside.getvalue()
    assert "1/60" in beside.getvalue()
    assert beside.getvalue().endswith("\x1b[2K")  # the line is wiped: nothing of it stays on the screen
    assert screen.getvalue() == ""


def test_work_that_cannot_be_counted_shows_no_count(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = on_screen(monkeypatch)
    beside = on_screen(monkeypatch, "stderr")
    with terminal.Watch("Setting the pages", counted=False) as watch:
        watch._progress.refresh()
    assert "Setting the pages" in beside.getvalue()
    assert "0/" not in beside.getvalue()
    assert screen.getvalue() == ""
