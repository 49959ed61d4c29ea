"""Fixtures that every test may use. A test that reads the checkout itself carries the mark `checkout`."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import settings
from PIL import Image

import soundmetal
from soundmetal.cli import main

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


SMALL = """\
# A made-up pickup, looked at in a hurry.
soundmetal: 1
version: 1
vehicle: {year: 1971, make: "Tollgate", model: "Drover", body: pickup, structure: frame}
owner: {name: "Ana Quiroga"}
date: 2026-11-18
inspector: "R. Vane"
basis: lift
zones:
  cowl.top: {all: clear}
findings:
  - id: F1
    zone: rocker.left.outer
    seen: holed            # along the pinch weld
    size: 320 x 60 mm
    photos: [{file: rocker.left.outer/one.jpg}]
  - id: F2
    zone: floor.left.front
    seen: surface
    size: 100 x 80 mm
    photos: [{file: floor left front.jpg}]
photos: {}
"""


def sharp_picture(seed: int) -> Image.Image:
    """Draw specks on paint: sharp, neither dark nor bright, large enough for a pinhole, unlike other seeds."""
    specks = np.random.default_rng(seed).normal(0, 40, (48, 64, 1)).repeat(10, axis=0).repeat(10, axis=1)
    paint = np.array([96, 132, 104]) + specks
    return Image.fromarray(np.clip(paint, 0, 255).astype(np.uint8))


@pytest.fixture
def small_inspection(tmp_path: Path) -> Path:
    """A small inspection with two findings and two photographs, in a folder whose name has a blank and an umlaut."""
    folder = tmp_path / "Große Wagen" / "drover"
    for number, name in enumerate(("rocker.left.outer/one.jpg", "floor left front.jpg")):
        path = folder / "photos" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        sharp_picture(number).save(path, "JPEG", quality=90)
    (folder / "inspection.yaml").write_text(SMALL, encoding="utf-8")
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
