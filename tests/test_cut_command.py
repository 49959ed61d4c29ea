"""`soundmetal scope --cut`: what it writes, and what it refuses before anything is written."""

from __future__ import annotations

import csv
import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from ezdxf import recover

Run = Callable[..., subprocess.CompletedProcess[str]]
Fingerprint = Callable[[Path], dict[str, str]]

SHEET = 'sheets:\n  - {{id: "own", size: {size}, thickness: {thickness}, price: 40.00}}\n'


def shop(folder: Path, *, size: str, thickness: str) -> None:
    (folder / "shop.yaml").write_text(SHEET.format(size=size, thickness=thickness), encoding="utf-8")


def test_files_for_the_table_and_the_same_again(
    soundmetal_here: Run, small_inspection: Path, tmp_path: Path, fingerprint: Fingerprint
) -> None:
    before, cut = fingerprint(small_inspection), tmp_path / "cut" / "drover"
    done = soundmetal_here("scope", small_inspection, "--cut", cut, "--json")
    assert (done.returncode, done.stderr) == (0, "")
    told = json.loads(done.stdout)
    assert {Path(path) for path in told["written"]} == {small_inspection / "scope.pdf", *cut.iterdir()}
    assert told["no_sheet"] == []
    with (cut / "cutlist.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert [row["findings"] for row in rows] == ["F1"]
    for row in rows:
        doc, auditor = recover.readfile(cut / row["drawing"])
        assert not auditor.errors
        (outline,) = doc.modelspace().query('LWPOLYLINE[layer=="CUT_OUTER"]')
        xs = [x for x, *_ in outline.get_points("xy")]
        assert max(xs) - min(xs) == pytest.approx(float(row["width_mm"]), abs=0.01)
        assert (cut / row["sheet_drawing"]).is_file()
    first = fingerprint(cut)
    assert soundmetal_here("scope", small_inspection, "--cut", cut).returncode == 0
    assert fingerprint(cut) == first
    assert fingerprint(small_inspection) == before


def test_a_folder_with_something_else_is_refused_at_once(
    soundmetal_here: Run, small_inspection: Path, tmp_path: Path
) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "photo.jpg").write_text("x")
    done = soundmetal_here("scope", small_inspection, "--cut", tmp_path / "mine")
    assert done.returncode == 3
    assert done.stderr.count("\n") == 1
    assert 'holds "photo.jpg"' in done.stderr
    assert not (small_inspection / "scope.pdf").exists()
    assert [path.name for path in (tmp_path / "mine").iterdir()] == ["photo.jpg"]


def test_the_inspection_itself_is_no_place_to_cut_into(
    soundmetal_here: Run, small_inspection: Path, fingerprint: Fingerprint
) -> None:
    before = fingerprint(small_inspection)
    assert soundmetal_here("scope", small_inspection, "--cut", small_inspection).returncode == 3
    assert fingerprint(small_inspection) == before


def test_larger_than_any_sheet(soundmetal_here: Run, small_inspection: Path, tmp_path: Path) -> None:
    shop(small_inspection, size="200 x 200 mm", thickness="1.062 mm")
    done = soundmetal_here("scope", small_inspection, "--cut", tmp_path / "cut")
    assert done.returncode == 6
    assert done.stderr.count("\n") == 1
    assert "F1: rocker.left.outer/1" in done.stderr
    assert not (tmp_path / "cut").exists()
    assert not (small_inspection / "scope.pdf").exists()


def test_steel_that_the_shop_has_not(soundmetal_here: Run, small_inspection: Path, tmp_path: Path) -> None:
    shop(small_inspection, size="1000 x 2000 mm", thickness="3 mm")
    done = soundmetal_here("scope", small_inspection, "--cut", tmp_path / "cut")
    assert done.returncode == 20
    assert "on no sheet: F1: rocker.left.outer/1" in done.stderr
    assert sorted(path.name for path in (tmp_path / "cut").iterdir()) == [
        "blank_rocker.left.outer_1.dxf", "blank_rocker.left.outer_1.svg", "cutlist.csv", "offcuts.yaml",
    ]  # fmt: skip
