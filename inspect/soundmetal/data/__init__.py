"""Defaults that the shop may edit: zones, rules, hours, growth, rule books, translations. One loader for all."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

from soundmetal.errors import Place, SettingsError

DATA = Path(__file__).parent


@cache
def read_yaml(name: str) -> Any:
    """Read one data file, such as `car/zones.yaml`, into plain dicts and lists. Do not change what you get."""
    path = DATA / name
    try:
        return YAML(typ="safe", pure=True).load(path.read_text(encoding="utf-8"))
    except (OSError, YAMLError) as error:
        raise SettingsError(f"cannot read: {error}", place=Place(path), todo="Install again.") from error
