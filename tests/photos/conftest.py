"""Made-up pictures for the tests of photographs."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from soundmetal.car.catalogue import body
from soundmetal.car.models import Body
from soundmetal.photos.intake import Intake, take_in
from soundmetal.record.models import Inspection

Draw = Callable[..., bytes]


def drawn(size: tuple[int, int] = (80, 60), kind: str = "JPEG", mode: str = "RGB", **options: Any) -> bytes:
    """A picture whose upper left quarter is bright and the rest dark, so that its turn can be seen."""
    picture = Image.new("L", size, 40)
    picture.paste(220, (0, 0, size[0] // 2, size[1] // 2))
    buffer = io.BytesIO()
    picture.convert(mode).save(buffer, kind, **options)
    return buffer.getvalue()


@pytest.fixture(scope="session")
def draw() -> Draw:
    """Give the function that draws a picture and returns its bytes."""
    return drawn


@pytest.fixture(scope="session")
def pickup() -> Body:
    """The pickup of the catalogue."""
    return body("pickup", "frame")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """An empty folder for photographs."""
    made = tmp_path / "photos"
    made.mkdir()
    return made


@pytest.fixture(scope="session")
def inspection() -> Callable[..., Inspection]:
    """Give a function that makes an inspection of the pickup with whatever is named."""

    def make(**more: Any) -> Inspection:
        plain = {
            "soundmetal": 1,
            "vehicle": {"body": "pickup", "structure": "frame"},
            "date": "2026-11-18",
            "basis": "lift",
        }
        return Inspection.model_validate(plain | more)

    return make


NOON = dt.datetime(2026, 11, 18, 12, 0, tzinfo=dt.timezone(dt.timedelta(hours=-5)))


@pytest.fixture
def car(tmp_path: Path) -> Path:
    """An empty folder for one car."""
    (tmp_path / "car").mkdir()
    return tmp_path / "car"


@pytest.fixture
def phone(tmp_path: Path) -> Path:
    """An empty folder that photographs come from."""
    (tmp_path / "phone").mkdir()
    return tmp_path / "phone"


@pytest.fixture
def take(car: Path) -> Callable[..., Intake]:
    """Give a function that takes sources into the car's folder, at noon unless another time is said."""

    def taken(*sources: Path, arrived: dt.datetime = NOON) -> Intake:
        return take_in(car, sources, arrived=arrived)

    return taken


def zipped(members: dict[str, bytes], path: Path, **how: Any) -> Path:
    """Write a ZIP; names and contents as they are given."""
    with zipfile.ZipFile(path, "w", **how) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return path


@pytest.fixture(scope="session")
def pack() -> Callable[..., Path]:
    """Give the function that writes a ZIP."""
    return zipped
