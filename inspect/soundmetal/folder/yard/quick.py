"""Read plain YAML twenty times faster than what keeps comments, and give up wherever the two might not agree.

A yard of thousands is read through whenever the index is made anew. What is read here is what the reader of every
other command (`yaml_text`) would read, or nothing: then that one reads, and its word counts. So nothing here says
what is wrong with a file.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from typing import Any, TypeVar

import yaml
from pydantic import BaseModel, ValidationError

from soundmetal.folder.yaml_text import MAX_DEPTH

Model = TypeVar("Model", bound=BaseModel)

#: YAML 1.2.2, section 10.3.2 (core schema, from memory), as far as these words begin with a letter.
_WORDS: dict[str, bool | None] = {
    "true": True,
    "True": True,
    "TRUE": True,
    "false": False,
    "False": False,
    "FALSE": False,
}
_WORDS |= dict.fromkeys(("null", "Null", "NULL", ""))
_WHOLE = re.compile(r"0|[1-9][0-9]{0,14}")
_POINT = re.compile(r"(?:0|[1-9][0-9]{0,9})\.[0-9]{1,9}")
_DAY = re.compile(r"[12][0-9]{3}-[0-9]{2}-[0-9]{2}")
#: Begins with a digit but holds what no number, day or time of any YAML does (e: 1e3; x, o, b after 0; T, Z): a text.
_NO_NUMBER = re.compile(r"[0-9](?![xXoObB]).*[a-df-su-wyA-DF-SU-WY/,;()\"']")


class _Unsure(Exception):
    """The two readers might not agree here."""


def read_as(model: type[Model], text: str) -> Model | None:
    """Read a text as a model, or nothing where it is not plainly one."""
    tree = tree_of(text)
    if tree is None:
        return None
    try:
        return model.model_validate(tree)
    except ValidationError:
        return None


def tree_of(text: str) -> dict[str, Any] | None:
    """Read plain YAML: a mapping of one-line values without anchors, tags or any key twice; else nothing.

    >>> tree_of("basis: lift\\nsize: 320 x 60 mm\\ndate: 2026-11-18\\nyear: 1967")
    {'basis': 'lift', 'size': '320 x 60 mm', 'date': datetime.date(2026, 11, 18), 'year': 1967}
    >>> tree_of("same: &it 1\\nother: *it") is tree_of("version: 0o17") is None
    True
    """
    if not text.replace("\n", " ").isprintable():
        return None
    try:
        events = iter(yaml.parse(text, Loader=yaml.CSafeLoader))
        next(events)
        start = next(events)
        if not isinstance(start, yaml.DocumentStartEvent) or start.version or start.tags:
            return None
        tree = _node(events, next(events), 0)
        ends = isinstance(next(events), yaml.DocumentEndEvent) and isinstance(next(events), yaml.StreamEndEvent)
    except (yaml.YAMLError, _Unsure, StopIteration, ValueError):
        return None
    return tree if ends and isinstance(tree, dict) else None


def _node(events: Iterator[Any], event: Any, depth: int) -> Any:
    if isinstance(event, yaml.ScalarEvent):
        return _scalar(event)
    if isinstance(event, yaml.AliasEvent) or event.anchor or event.tag or depth >= MAX_DEPTH:
        raise _Unsure
    if isinstance(event, yaml.SequenceStartEvent):
        return _sequence(events, depth)
    return _mapping(events, depth)


def _sequence(events: Iterator[Any], depth: int) -> list[Any]:
    found = []
    while not isinstance(event := next(events), yaml.SequenceEndEvent):
        found.append(_node(events, event, depth + 1))
    return found


def _mapping(events: Iterator[Any], depth: int) -> dict[str, Any]:
    found: dict[str, Any] = {}
    while not isinstance(event := next(events), yaml.MappingEndEvent):
        key = _node(events, event, depth + 1)
        if not isinstance(key, str) or key in found:
            raise _Unsure
        found[key] = _node(events, next(events), depth + 1)
    return found


def _scalar(event: Any) -> Any:
    if event.anchor or event.tag or event.start_mark.line != event.end_mark.line or event.style in ("|", ">"):
        raise _Unsure
    text: str = event.value
    return text if event.style else _plain(text)


def _plain(text: str) -> Any:
    """Give what an unquoted word means."""
    if text in _WORDS:
        return _WORDS[text]
    if text[0].isalpha():
        return text
    if _WHOLE.fullmatch(text):
        return int(text)
    if _POINT.fullmatch(text):
        return float(text)
    if _DAY.fullmatch(text):
        return dt.date.fromisoformat(text)
    if _NO_NUMBER.match(text):
        return text
    raise _Unsure
