"""A small record with comments, as a person would leave it."""

from __future__ import annotations

from pathlib import Path

import pytest

RECORD = """\
# Looked at in the yard, raining.
soundmetal: 1
version: 3
vehicle:
  year: 1968
  body: pickup       # short bed
  structure: frame
  identification: "D10-2281"
date: 2026-11-18
basis: lift
zones:
  cowl.top: {look: clear, drain: clear}   # leaves taken out
findings:
  - id: F1
    zone: rocker.left.outer
    seen: holed
    size: 320 x 60 mm      # measured along the pinch weld
    note: "runs on behind the trim"
  - id: F2
    zone: floor.left.front
    seen: pitted
    size: 6 x 4 in
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """An inspection folder that holds just that record."""
    (tmp_path / "inspection.yaml").write_text(RECORD, encoding="utf-8")
    return tmp_path
