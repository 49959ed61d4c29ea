"""Answer files written by hand, right or wrong, and `answers` refusing one: in one line, with nothing changed."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Sequence
from pathlib import Path

import pytest
from odd_pdfs import small_pdf

from soundmetal.cli import main

DAY = "2026-11-25"
LIMIT_S = 5.0
YES_NO = ("yes", "no", "talk")
AIMS = ("arrest", "sound", "factory")


def everything(folder: Path) -> dict[str, str]:
    """Tell every folder, link and file under a folder, with the content of each."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else "-"
        for path in sorted(folder.rglob("*"))
    }


def button(
    name: str, at: int | None = 0, said: str = "", words: Sequence[str] = YES_NO, *, more: str = "", first: str = ""
) -> str:
    """A question with its buttons, the one at a place pressed; `said` is what the field says where not the same.

    `more` stands in the field, `first` in its first button.
    """
    shown = "Off" if at is None else str(at)
    kids = "".join(f"<< /AS /{shown if n == at else 'Off'} {'' if n else first} >> " for n in range(len(words)))
    listed = " ".join(f"({word})" for word in words)
    return f"<< /FT /Btn /T ({name}) /V /{said or shown} /Opt [{listed}] /Kids [{kids}] {more} >>"


def text(name: str, value: str = "(Ana Quiroga)", more: str = "") -> str:
    """A field that something was typed in; `value` as it stands in the file."""
    return f"<< /FT /Tx /T ({name}) /V {value} {more} >>"


def answer_file(*fields: str, root: str = "", form: str = "", more: tuple[bytes, ...] = ()) -> bytes:
    """A PDF of nothing but a form; `root` stands in the catalogue, `form` in the form, `more` are objects from 10."""
    return small_pdf({}, f"/AcroForm << /Fields [{' '.join(fields)}] {form} >> {root}", more)


def refused(
    folder: Path, path: Path, why: str, capsys: pytest.CaptureFixture[str], *, date: str = DAY, code: int = 11
) -> str:
    """Hand a file in: refused in time, in one line, for the reason given, with nothing changed. Give the line."""
    before = everything(folder)
    capsys.readouterr()
    began = time.process_time()
    with pytest.raises(SystemExit) as ended:
        main(["answers", str(folder), str(path), "--date", date])
    took_s = time.process_time() - began
    told = capsys.readouterr()
    assert ended.value.code == code, told.err
    assert told.out == ""
    assert told.err.count("\n") == 1, told.err
    assert told.err.startswith("soundmetal: ")
    assert why in told.err
    assert "fault of this program" not in told.err
    assert all(letter.isprintable() for letter in told.err.rstrip("\n")), told.err
    assert everything(folder) == before
    assert took_s < LIMIT_S
    return told.err
