"""Fixtures that every test may use. A test that reads the checkout itself carries the mark `checkout`."""

from __future__ import annotations

import datetime as dt
import hashlib
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings
from small import write_small_inspection

import soundmetal
from soundmetal.cli import main

HERE = Path(__file__).resolve().parent

# Programs to be run by hand, and what they fetch: no tests, and not to be imported in search of doctests.
collect_ignore_glob = ["bench/*", "fetched/*", "fetch_photos.py"]

# The same examples on every machine and no stop-watch: a slow machine is not a broken law.
settings.register_profile("suite", derandomize=True, deadline=None, database=None)
settings.load_profile("suite")


@pytest.fixture(scope="session")
def checkout() -> Path:
    """Give the root of the checkout. Only for tests with the mark `checkout`."""
    return HERE.parent


@pytest.fixture(scope="session")
def sample_inspection() -> Path:
    """Give the sample inspection's folder. Copy it before you change anything in it."""
    return HERE.parent / "sample_inspection"


@pytest.fixture(scope="session")
def soundmetal_command() -> Callable[..., subprocess.CompletedProcess[str]]:
    """Give a function that runs `soundmetal ARGUMENTS...` in a process of its own, of the very code under test."""
    environment = {
        **os.environ,
        "PYTHONPATH": str(Path(soundmetal.__file__).resolve().parents[1]),
        "PYTHONIOENCODING": "utf-8",
        "NO_COLOR": "1",
        "COLUMNS": "120",
    }

    def run(
        *arguments: object, cwd: Path | None = None, before: Callable[[], object] | None = None, **extra: str
    ) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "soundmetal", *map(str, arguments)]
        return subprocess.run(
            command,
            cwd=cwd,
            env={**environment, **extra},
            capture_output=True,
            encoding="utf-8",
            check=False,
            timeout=120,
            preexec_fn=before,
        )

    return run


@pytest.fixture
def soundmetal_here(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Give a function that runs `soundmetal ARGUMENTS...` in this process; quicker than one of its own."""
    monkeypatch.setenv("NO_COLOR", "1")

    def run(*arguments: object) -> subprocess.CompletedProcess[str]:
        command = [str(argument) for argument in arguments]
        capsys.readouterr()
        with pytest.raises(SystemExit) as ended:
            main(command)
        told = capsys.readouterr()
        return subprocess.CompletedProcess(command, int(ended.value.code or 0), told.out, told.err)

    return run


@pytest.fixture
def small_inspection(tmp_path: Path) -> Path:
    """A small inspection with two findings and two photographs, in a folder whose name has a blank and an umlaut."""
    return write_small_inspection(tmp_path / "Große Wagen")


@pytest.fixture(scope="session")
def sent(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the small inspection as it was sent to its owner on 20 November 2026. Copy it before you change it."""
    from soundmetal import answering

    folder = write_small_inspection(tmp_path_factory.mktemp("sent"))
    answering.send(folder, dt.date(2026, 11, 20), "q7w8e9r0")
    return folder


@pytest.fixture(scope="session")
def fingerprint() -> Callable[[Path], dict[str, str]]:
    """Give a function that tells the content of every file of the user's in a folder, by name."""

    def of(folder: Path) -> dict[str, str]:
        files = (path for path in sorted(folder.rglob("*")) if path.is_file() or path.is_symlink())
        own = (path for path in files if ".soundmetal" not in path.relative_to(folder).parts)
        return {
            path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
            for path in own
            if path.name not in {"report.pdf", "scope.pdf", "report.html", "scope.html", "shots.pdf", "shots.txt"}
        }

    return of
