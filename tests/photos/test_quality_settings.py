"""Limits of a photograph's quality."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from soundmetal.errors import SettingsError
from soundmetal.photos import settings as module


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("quality.min_sharpness", 0),
        ("quality.max_clipped", 25),
        ("quality.clipped_from", 256),
        ("quality.pinhole_mm", 0),
        ("quality.pinhole_px", 0.5),
        ("quality.min_sharpnes", 0.4),
        ("quality.doubles.max_bits", 32),
        ("quality.doubles.equal_light", -0.1),
    ],
)
def test_a_wrong_limit_is_named(monkeypatch: pytest.MonkeyPatch, path: str, value: object) -> None:
    """Half of the 64 bits is what two pictures without anything in common differ in."""
    changed: dict[str, Any] = copy.deepcopy(module.read_yaml(module.FILE))
    *parts, name = path.split(".")
    section = changed
    for part in parts:
        section = section[part]
    section[name] = value
    monkeypatch.setattr(module, "read_yaml", lambda _name: changed)
    module.settings.cache_clear()
    try:
        with pytest.raises(SettingsError, match=rf"photos\.yaml, {path}"):
            module.settings()
    finally:
        monkeypatch.undo()
        module.settings.cache_clear()
