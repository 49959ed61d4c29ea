"""The book of photographs that an owner is asked for: data that must hang together."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from soundmetal.data import read_yaml
from soundmetal.errors import SettingsError
from soundmetal.report import shot_book


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda data: data["shots"]["door"].update(distance="far"), "no such distance"),
        (lambda data: data["order"].append("sunroof"), "nothing is said of sunroof"),
        (lambda data: data.update(most=0), "greater than or equal to 1"),
        (lambda data: data["letter"].pop("thanks"), "required"),
    ],
)
def test_wrong_data_is_named(monkeypatch: pytest.MonkeyPatch, change: Any, says: str) -> None:
    data = deepcopy(dict(read_yaml("shots.yaml")))
    change(data)
    monkeypatch.setattr(shot_book, "read_yaml", lambda _name: data)
    shot_book.shot_book.cache_clear()
    try:
        with pytest.raises(SettingsError, match=says) as told:
            shot_book.shot_book()
        assert "shots.yaml" in str(told.value)
    finally:
        shot_book.shot_book.cache_clear()
