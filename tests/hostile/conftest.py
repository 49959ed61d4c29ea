"""What an owner was asked, and the same report as it came back: what hostile answers are made of."""

from __future__ import annotations

from pathlib import Path

import pytest
from filling import filled

from soundmetal.folder.states import states
from soundmetal.report.form import FormNames


@pytest.fixture(scope="session")
def names(sent: Path) -> FormNames:
    return FormNames.of(states(sent)[0].offer)


@pytest.fixture(scope="session")
def back(sent: Path) -> bytes:
    """The report as its owner filled it in."""
    said = {"reply-F1": "yes", "reply-F2": "no", "aim": "factory", "signed": "Ana Quiroga"}
    return filled((sent / "report.pdf").read_bytes(), said)
