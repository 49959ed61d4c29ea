"""Fixtures that every test may use. A test that reads the checkout itself carries the mark `checkout`."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

import soundmetal

HERE = Path(__file__).resolve().parent

# Programs to be run by hand, and what they fetch: no tests, and not to be imported in search of doctests.
collect_ignore_glob = ["bench/*", "draw_sample/*", "fetched/*", "fetch_photos.py"]

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

    def run(*arguments: object, cwd: Path | None = None, **extra: str) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "soundmetal", *map(str, arguments)]
        return subprocess.run(
            command,
            cwd=cwd,
            env={**environment, **extra},
            capture_output=True,
            encoding="utf-8",
            check=False,
            timeout=120,
        )

    return run
