"""A yard of three cars: one looked at, one sent, one answered and at the metal."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from yards import answer_car, send_car, write_car

from soundmetal.folder.yard.stages import move
from soundmetal.record.terms import Stage


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """Give the folder of the yard."""
    home = tmp_path / "cars"
    write_car(home / "heron", "Heron", owner="R. Vane", number="H-1", note="dry")
    send_car(write_car(home / "2026" / "drover", "Drover", owner="Ana Quiroga", number="D-2"))
    metal = write_car(home / "2026" / "packhorse")
    answer_car(metal, send_car(metal), F1="yes", F2="no")
    move(metal, Stage.METAL, dt.date(2026, 11, 12), "Begun")
    return home
