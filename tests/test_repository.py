"""The repository itself: what is shipped, what must not be in it, and sizes that keep it readable."""

from __future__ import annotations

import ast
import subprocess
import sys
import tarfile
import zipfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from hatchling.builders.sdist import SdistBuilder
from hatchling.builders.wheel import WheelBuilder

pytestmark = pytest.mark.checkout

ROOT = Path(__file__).resolve().parents[1]
GENERATED = {"__pycache__", "dist", "build", "fetched"}

FUNCTION_LINES = 40
FILE_LINES = 300
LONGEST_FILE_LINES = 400

#: Files over 300 lines, and why each is one file all the same. None may pass 400.
LONG_FILES: dict[str, str] = {}

#: Written in pieces, so that this file does not find itself.
FORBIDDEN = {
    "a registry's host": ("pypi" + ".org", "python" + "hosted", "npm" + "js", "deb" + "ian.org", "ubun" + "tu.com"),
    "a path of one machine": ("/wo" + "rk/", "/ro" + "ot/", "/tm" + "p/", "/Us" + "ers/"),
    "work left undone": ("TO" + "DO", "FIX" + "ME", "Not" + "ImplementedError", "XX" + "X"),
}
SKIPS = ("pytest." + "skip", "mark." + "skip", "pytest." + "xfail", "mark." + "xfail", "import" + "orskip")


@cache
def files() -> tuple[Path, ...]:
    """Give every file of the project: what git knows or would take, or all that lies there where git is missing."""
    command = ["git", "-c", "safe.directory=*", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    try:
        listed = subprocess.run(command, cwd=ROOT, capture_output=True, check=True).stdout.decode().split("\0")
        found = [ROOT / name for name in listed if name]
    except (OSError, subprocess.CalledProcessError):
        found = [path for path in ROOT.rglob("*") if not _hidden(path)]
    return tuple(sorted(path for path in found if path.is_file()))


def _hidden(path: Path) -> bool:
    parts = path.relative_to(ROOT).parts
    return any(part in GENERATED or (part.startswith(".") and part != ".ci") for part in parts)


def python_files() -> list[Path]:
    return [path for path in files() if path.suffix == ".py"]


def text_of(path: Path) -> str:
    """Give a file's text, or nothing for a picture, a font or another file that is none."""
    content = path.read_bytes()
    try:
        return "" if b"\0" in content else content.decode("utf-8")
    except UnicodeDecodeError:
        return ""


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def lines_with(words: tuple[str, ...], paths: tuple[Path, ...] | list[Path]) -> list[str]:
    return [
        f"{name_of(path)}:{number} {word}"
        for path in paths
        for number, line in enumerate(text_of(path).splitlines(), 1)
        for word in words
        if word in line
    ]


def test_the_source_folder_is_no_package() -> None:
    """As a package it would hide the standard library's `inspect` from everything that runs at the root."""
    assert not (ROOT / "inspect" / "__init__.py").exists()
    program = "import inspect, sys; print(inspect.signature.__module__, sys.path[0] == '')"
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["inspect", "True"]


@pytest.mark.parametrize("arguments", [["inspect", "--help"], [str(ROOT / "inspect"), "--help"]], ids=["near", "far"])
def test_it_runs_from_a_checkout(arguments: list[str], tmp_path: Path) -> None:
    folder = ROOT if arguments[0] == "inspect" else tmp_path
    command = [sys.executable, "-W", "error", *arguments]
    done = subprocess.run(command, cwd=folder, capture_output=True, encoding="utf-8", check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert "report" in done.stdout


@pytest.mark.parametrize("what", sorted(FORBIDDEN))
def test_no_file_has(what: str) -> None:
    written = [path for path in files() if not path.name.endswith("_truth.json")]  # what a camera wrote is not ours
    assert len(written) > 50
    assert lines_with(FORBIDDEN[what], written) == []


def test_no_test_is_left_out() -> None:
    assert lines_with(SKIPS, python_files()) == []


def test_locks_pin_by_hash_and_name_no_index() -> None:
    for lock in ("requirements.lock", "requirements-dev.lock", "requirements-bench.lock"):
        text = (ROOT / lock).read_text(encoding="utf-8")
        entries = [entry for entry in text.replace("\\\n", " ").splitlines() if entry and not entry.startswith("#")]
        assert entries, lock
        assert [entry for entry in entries if "==" not in entry or "--hash=sha256:" not in entry] == []
        assert [word for word in ("://", "--index", "--extra", "--find", "--trusted") if word in text] == []


def pins(lock: str) -> dict[str, str]:
    """Give name and version of each package in a lock file."""
    lines = (ROOT / lock).read_text(encoding="utf-8").splitlines()
    return dict(line.split()[0].split("==") for line in lines if "==" in line)


def test_the_locks_agree_with_each_other() -> None:
    run, dev, bench = pins("requirements.lock"), pins("requirements-dev.lock"), pins("requirements-bench.lock")
    assert run.items() <= dev.items()
    assert {name: bench[name] for name in bench.keys() & dev} == {name: dev[name] for name in bench.keys() & dev}


def code_lines(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Count a function's lines without its docstring: a formula may say much about where it comes from."""
    last = node.end_lineno or node.lineno
    first = node.body[0]
    is_text = (
        isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant) and isinstance(first.value.value, str)
    )
    text = (first.end_lineno or first.lineno) - first.lineno + 1 if is_text else 0
    return last - node.lineno + 1 - text


def test_functions_are_short() -> None:
    long = [
        f"{name_of(path)}:{node.lineno} {node.name} has {code_lines(node)} lines"
        for path in python_files()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)) and code_lines(node) > FUNCTION_LINES
    ]
    assert long == []


def test_files_are_short_or_say_why_not() -> None:
    length = {name_of(path): len(path.read_text(encoding="utf-8").splitlines()) for path in python_files()}
    long = {name: lines for name, lines in length.items() if lines > FILE_LINES}
    assert {
        name: lines for name, lines in long.items() if lines > LONGEST_FILE_LINES or not LONG_FILES.get(name)
    } == {}
    assert LONG_FILES.keys() <= long.keys(), "a file named in LONG_FILES is short by now: take its name out"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Iterator[zipfile.ZipFile]:
    """Build the wheel as an installer would, and open it."""
    (built,) = WheelBuilder(str(ROOT)).build(directory=str(tmp_path_factory.mktemp("wheel")), versions=["standard"])
    with zipfile.ZipFile(built) as opened:
        yield opened


def shipped(folder: str, inside: str) -> set[str]:
    """Give the names in the wheel of all that lies in a folder, also of what git would leave out."""
    start = ROOT / folder
    found = (path.relative_to(start) for path in start.rglob("*") if path.is_file())
    return {
        f"{inside}/{path.as_posix()}" for path in found if "__pycache__" not in path.parts and path.name[0] != "."
    }


def test_the_wheel_has_every_file_and_no_other(wheel: zipfile.ZipFile) -> None:
    wanted = shipped("inspect/soundmetal", "soundmetal") | shipped("templates", "soundmetal/templates")
    assert {name for name in wheel.namelist() if ".dist-info/" not in name} == wanted


@pytest.mark.parametrize("suffix", [".py", ".yaml", ".csv", ".toml", ".woff2", ".html", ".css"])
def test_the_wheel_has_each_kind_of_file(wheel: zipfile.ZipFile, suffix: str) -> None:
    assert [name for name in wheel.namelist() if name.endswith(suffix)]


def test_the_wheel_has_the_licences_the_type_mark_and_the_command(wheel: zipfile.ZipFile) -> None:
    names = wheel.namelist()
    assert "soundmetal/py.typed" in names
    assert "soundmetal/templates/fonts/OFL.txt" in names
    assert [name for name in names if name.startswith("soundmetal/data/translations/")]
    (info,) = {name.split("/")[0] for name in names if ".dist-info/" in name}
    assert {f"{info}/licenses/LICENSE", f"{info}/licenses/templates/fonts/OFL.txt"} <= set(names)
    assert "soundmetal = soundmetal.cli:main" in wheel.read(f"{info}/entry_points.txt").decode()


def test_the_source_archive_has_all_that_a_packager_needs(tmp_path: Path) -> None:
    (built,) = SdistBuilder(str(ROOT)).build(directory=str(tmp_path))
    with tarfile.open(built) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    wanted = {"run", "LICENSE", "README.md", "pyproject.toml", "inspect/__main__.py", "tests/test_repository.py"}
    assert wanted | {path.name for path in ROOT.glob("requirements*.lock")} <= names
    for sample in ("sample_inspection/", "sample_photos_only/"):
        assert {name for name in names if name.startswith(sample)}


def test_the_scripts_are_plain_and_can_be_run() -> None:
    for script in (ROOT / "run", ROOT / ".ci" / "run"):
        assert script.stat().st_mode & 0o111
        assert script.read_text(encoding="utf-8").startswith("#!/bin/sh\n")
    guard = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()[1]
    assert guard.startswith("test ! -e inspect/__init__.py")


def test_an_unknown_word_gets_the_usage_and_its_own_exit_code() -> None:
    done = subprocess.run(["sh", str(ROOT / "run"), "nonsense"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("Usage: ./run WORD\n")
    told = subprocess.run(["sh", str(ROOT / "run"), "help"], capture_output=True, text=True, check=True)
    assert told.stdout == done.stderr
