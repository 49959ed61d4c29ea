"""Defaults that the shop may edit: zones, rules, hours, growth, rule books, translations. One loader for all."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from soundmetal.errors import Place, SettingsError

DATA = Path(__file__).parent


class _Loader(yaml.CSafeLoader):
    """libyaml, ten times faster than what keeps comments, with the words of YAML 1.2: `no` and `on` are text."""

    yaml_implicit_resolvers: dict[str, list[tuple[str, re.Pattern[str]]]] = {}  # noqa: RUF012 - as the base has it


#: The core schema of YAML 1.2.2, section 10.3.2 (from memory); a test holds every file against a second reader.
for _tag, _pattern, _first in (
    ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("null", r"~|null|Null|NULL|", ["~", "n", "N", ""]),
    ("int", r"[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?", "-+0123456789."),
):
    _Loader.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(f"^(?:{_pattern})$"), list(_first))


@cache
def read_yaml(name: str) -> Any:
    """Read one data file, such as `car/zones.yaml`, into plain dicts and lists. Do not change what you get."""
    path = DATA / name
    try:
        return yaml.load(path.read_text(encoding="utf-8"), Loader=_Loader)  # noqa: S506 - a safe loader
    except (OSError, yaml.YAMLError) as error:
        raise SettingsError(f"cannot read: {error}", place=Place(path), todo="Install again.") from error
