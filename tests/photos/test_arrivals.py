"""The list of arrivals: people open it, may mend it, and are told the line where they broke it."""

from __future__ import annotations

import csv
import hashlib
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from soundmetal.errors import RecordError
from soundmetal.photos import arrivals
from soundmetal.photos.arrivals import everything
from soundmetal.photos.intake import Intake

Take = Callable[..., Intake]


def picture(path: Path, shade: int = 90) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.new("RGB", (40, 30), (shade, 60, 40)).save(path)
    return path


def state(folder: Path) -> dict[str, str]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def table(car: Path) -> list[dict[str, str]]:
    """Read the list as another program would."""
    with (car / "photos/arrived/arrivals.csv").open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.fixture
def listed(take: Take, car: Path, tmp_path: Path) -> Path:
    """The list of two arrivals."""
    take(picture(tmp_path / "a.jpg", 1), picture(tmp_path / "b.jpg", 2))
    return car / "photos/arrived/arrivals.csv"


@pytest.mark.parametrize(
    ("old", "new", "line", "why"),
    [
        ("name,source", "nome,source", 1, "heads"),
        ("\r\nb.jpg,b.jpg", "\r\na.jpg,b.jpg", 3, "twice"),
        ("\r\nb.jpg,b.jpg", "\r\n,b.jpg", 3, "empty"),
        ("\r\na.jpg,a.jpg", "\r\na.jpg", 2, "cells"),
        (",JPEG,", ",JPG,", 2, "no type"),
        (",no,", ',"no,', 3, "unexpected end|expected after"),
        (",1,no", ",up,no", 2, "whole number"),
        (",2026-11-18T12:00:00-05:00,", ",2026-11-18T12:00:00-05:00,x", 2, "sha256"),
    ],
)
def test_a_damaged_list_is_one_line_that_names_the_line_and_nothing_is_lost(
    listed: Path, take: Take, car: Path, tmp_path: Path, old: str, new: str, line: int, why: str
) -> None:
    text = listed.read_bytes().decode("utf-8-sig")
    assert old in text
    listed.write_bytes(text.replace(old, new).encode())
    before = state(car)
    for work in (lambda: everything(car), lambda: take(picture(tmp_path / "c.jpg", 3))):
        with pytest.raises(RecordError, match=why) as told:
            work()
        assert f"arrivals.csv, line {line}" in str(told.value)
        assert len(str(told.value).splitlines()) == 1
    assert state(car) == before


def test_an_empty_or_foreign_list_is_named_too(listed: Path, car: Path) -> None:
    listed.write_bytes(b"")
    with pytest.raises(RecordError, match="holds nothing"):
        everything(car)
    listed.write_bytes(b"name\n\xff\xfe\n")
    with pytest.raises(RecordError, match="line 2: not written in UTF-8"):
        everything(car)


def test_a_list_saved_by_a_spreadsheet_is_read_as_well(listed: Path, car: Path) -> None:
    """Without the mark, with other line ends, and with semicolons, as spreadsheets of many countries write it."""
    rows = arrivals.read(car)
    text = listed.read_bytes().decode("utf-8-sig")
    for saved in (text, text.replace("\r\n", "\n"), text.replace(",", ";")):
        listed.write_bytes(saved.encode())
        assert arrivals.read(car) == rows


@pytest.mark.parametrize(
    "name", ["=HYPERLINK(1).jpg", "+1.jpg", "-rf.jpg", "@x.jpg", "'=1.jpg", "'plain.jpg", 'a,"b.jpg']
)
def test_no_cell_can_be_run_as_a_formula_and_every_name_comes_back(
    take: Take, car: Path, phone: Path, name: str
) -> None:
    picture(phone / name)
    assert take(phone / name).added == (name,)
    cell = table(car)[0]["name"]
    assert cell[0] not in "=+-@"
    assert [photo.name for photo in everything(car).photos] == [name]
    assert take(phone / name).already == (name,)
