"""How the commands end: a reader who has gone, an output that takes nothing, Ctrl-C, a fault of ours."""

from __future__ import annotations

import errno
import io
import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from commanding import Fingerprint, Run, environment, one_line_of
from PIL import Image

from soundmetal import cli, running
from soundmetal.cli import app
from soundmetal.errors import Exit


def test_who_stops_reading_hears_no_complaint() -> None:
    run = f"{sys.executable} -m soundmetal explain shop; echo $? >&2"
    done = subprocess.run(
        ["sh", "-c", f"({run}) | head -n 1"], env=environment(), capture_output=True, text=True, check=False
    )
    assert done.stdout.startswith("The shop book's defaults")
    assert done.stderr.strip() in {"0", "1"}  # 0: all of it fitted into the pipe


def test_an_output_that_takes_nothing_is_told(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    class Full(io.StringIO):
        encoding = "utf-8"

        def flush(self) -> None:
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(sys, "stdout", Full())
    assert running.run(app, ["schema"]) == Exit.WRITE
    told = capsys.readouterr().err
    assert told == "soundmetal: No space left on device. Check the name, the permissions and the space.\n"


def test_terminal_that_knows_plain_letters_only(soundmetal_command: Run, small_inspection: Path) -> None:
    done = soundmetal_command("zones", "pickup", "--language", "es", PYTHONIOENCODING="ascii")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.isascii()
    assert "Rincon" in done.stdout or "Estribo" in done.stdout
    told = json.loads(soundmetal_command("zones", "pickup", "--json", PYTHONIOENCODING="ascii").stdout)
    assert any("ó" in zone["names"]["es"] for zone in told)


def _as_a_shell_says(code: int) -> int:
    """Give the code as a shell does: CPython 3.11 ends by the signal itself where it hit text being evaluated."""
    return 128 - code if code < 0 else code


def test_ctrl_c_ends_with_one_line_and_nothing_half_written(
    small_inspection: Path, tmp_path: Path, fingerprint: Fingerprint
) -> None:
    many = tmp_path / "many"
    many.mkdir()
    for number in range(3):
        Image.effect_noise((3000, 2000), 60 + number).save(many / f"{number}.png")
    before = fingerprint(small_inspection)
    process = subprocess.Popen(
        [sys.executable, "-m", "soundmetal", "add", str(small_inspection), str(many)],
        env=environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    _wait_for(small_inspection / ".soundmetal" / "photos.lock")
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    assert _as_a_shell_says(process.returncode) == Exit.STOPPED, err
    assert (out, err) == (
        "",
        "soundmetal: stopped. What was written until then is whole; run it again to do the rest.\n",
    )
    source = fingerprint(many)
    after = fingerprint(small_inspection)
    assert before.items() <= after.items()
    new = {name: digest for name, digest in after.items() if name not in before}
    new.pop("photos/arrived/arrivals.csv", None)
    assert set(new.values()) <= set(source.values())


def test_a_fault_of_ours_is_one_line_and_traced_on_demand(
    soundmetal_here: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("by\nnought")

    monkeypatch.setattr(cli, "table", broken)
    done = soundmetal_here("zones")
    assert done.returncode == Exit.OTHER
    assert "a fault of this program: ZeroDivisionError: by nought. Your files are whole." in one_line_of(done)
    monkeypatch.setenv("SOUNDMETAL_TRACE", "1")
    with pytest.raises(ZeroDivisionError):
        running.run(app, ["zones"])


def _wait_for(path: Path) -> None:
    until = time.monotonic() + 60
    while not path.exists():
        assert time.monotonic() < until, f"{path.name} never came"
        time.sleep(0.005)


def test_ctrl_c_outside_the_command_itself_ends_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    def pressed(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    assert running.run(pressed, []) == Exit.STOPPED  # type: ignore[arg-type]
    assert capsys.readouterr().err.startswith("soundmetal: stopped.")
