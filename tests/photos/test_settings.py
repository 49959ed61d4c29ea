"""Limits and thresholds of photographs."""

from __future__ import annotations

from typing import Any

import pytest

from soundmetal.errors import SettingsError
from soundmetal.photos import settings as module


def test_the_shipped_file_is_valid() -> None:
    read = module.settings()
    assert read.scan.max_pixels == 120_000_000
    assert (read.copies.long_side_px, read.copies.quality, read.copies.workers) == (1600, 85, 2)
    assert 0.5 < read.tags.min_likeness < 1


@pytest.mark.parametrize(
    ("part", "name", "value"), [("copies", "quality", 101), ("scan", "max_pixels", 0), ("tags", "bets", 3)]
)
def test_a_wrong_value_is_named(monkeypatch: pytest.MonkeyPatch, part: str, name: str, value: object) -> None:
    plain: dict[str, Any] = module.read_yaml(module.FILE)
    changed = plain | {part: plain[part] | {name: value}}
    monkeypatch.setattr(module, "read_yaml", lambda _name: changed)
    module.settings.cache_clear()
    try:
        with pytest.raises(SettingsError, match=rf"photos\.yaml, {part}\.{name}"):
            module.settings()
    finally:
        module.settings.cache_clear()
