"""`soundmetal scope --csv` and `--json`: what other programs get, and what is never replaced."""

from __future__ import annotations

import csv
import json
import subprocess
from collections.abc import Callable
from pathlib import Path

Run = Callable[..., "subprocess.CompletedProcess[str]"]


def test_a_table_and_the_whole_scope(soundmetal_here: Run, small_inspection: Path, tmp_path: Path) -> None:
    table = tmp_path / "scope.csv"
    done = soundmetal_here("scope", small_inspection, "--csv", table, "--json")
    assert (done.returncode, done.stderr) == (0, "")
    told = json.loads(done.stdout)
    assert {Path(path) for path in told["written"]} == {small_inspection / "scope.pdf", table}
    rows = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    ids = [one["id"] for job in told["scope"]["jobs"] for one in job["operations"]]
    assert sorted(row["id"] for row in rows if row["row"] == "operation") == sorted(ids)
    first = table.read_bytes()
    assert soundmetal_here("scope", small_inspection, "--csv", table).returncode == 0
    assert table.read_bytes() == first


def test_a_table_of_somebody_else_is_not_replaced(
    soundmetal_here: Run, small_inspection: Path, tmp_path: Path
) -> None:
    mine = tmp_path / "mine.csv"
    mine.write_text("date,hours\n", encoding="utf-8")
    done = soundmetal_here("scope", small_inspection, "--csv", mine)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "mine.csv" in done.stderr
    assert mine.read_text(encoding="utf-8") == "date,hours\n"
    assert not (small_inspection / "scope.pdf").exists()


def test_the_owners_report_prints_no_scope(soundmetal_here: Run, small_inspection: Path) -> None:
    assert "scope" not in json.loads(soundmetal_here("report", small_inspection, "--json").stdout)
