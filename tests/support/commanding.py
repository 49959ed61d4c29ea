"""What the tests of the commands share: how a failure is read, a small disk, pictures of noise, the text of a PDF."""

from __future__ import annotations

import contextlib
import os
import resource
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

from PIL import Image
from pypdf import PdfReader

import soundmetal

Run = Callable[..., subprocess.CompletedProcess[str]]
Fingerprint = Callable[[Path], dict[str, str]]


def lines_of(done: subprocess.CompletedProcess[str]) -> list[str]:
    """Give the lines that a failed command told; each says whose it is, none is a traceback, there is no result."""
    assert done.stdout == ""
    lines = done.stderr.splitlines()
    assert lines
    assert all(line.startswith("soundmetal: ") for line in lines), done.stderr
    assert "Traceback" not in done.stderr
    return lines


def at_most(size: int) -> Callable[[], None]:
    """Let the kernel refuse files larger than this, as a full disk would."""
    return lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))


def noise(folder: Path, count: int, seed: int = 1) -> Path:
    """Make photographs of some ten kilobytes that differ from each other."""
    folder.mkdir(parents=True)
    for number in range(count):
        Image.frombytes("L", (110, 100), bytes((i * i + i * (seed + number)) % 251 for i in range(11_000))).save(
            folder / f"{number}.png", compress_level=0
        )
    return folder


@contextlib.contextmanager
def mode_of(path: Path, mode: int) -> Iterator[None]:
    before = path.stat().st_mode & 0o777
    path.chmod(mode)
    try:
        yield
    finally:
        path.chmod(before)


def pdf_text(path: Path) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(path).pages)


def close_up(text: str) -> str:
    """Leave blanks and line ends out: a page breaks its lines where it likes."""
    return "".join(text.split())


def environment() -> dict[str, str]:
    home = str(Path(soundmetal.__file__).resolve().parents[1])
    return {**os.environ, "PYTHONPATH": home, "PYTHONIOENCODING": "utf-8", "NO_COLOR": "1"}


def one_line_of(done: subprocess.CompletedProcess[str]) -> str:
    """Give what a command that failed told: one line that begins with its name, and nothing as a result."""
    assert done.stdout == ""
    lines = done.stderr.splitlines()
    assert len(lines) == 1, done.stderr
    assert lines[0].startswith("soundmetal: ")
    return lines[0]
