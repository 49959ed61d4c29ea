"""What pydantic found wrong, said in our words: what, file, line, and the nearest right word."""

from __future__ import annotations

import types
import typing
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from soundmetal.errors import Place, RecordError, Several
from soundmetal.folder.yaml_text import line_of
from soundmetal.words import did_you_mean

Loc = tuple[int | str, ...]
Model = TypeVar("Model", bound=BaseModel)


def validate(model: type[Model], tree: Any, path: Path, lines: Any = None) -> Model:
    """Read a mapping as `model`; RecordError (or Several) with file, line and the nearest right word.

    `lines` is the mapping that knows the lines, where that is not `tree` itself.
    """
    try:
        return model.model_validate(tree)
    except ValidationError as error:
        known = tree if lines is None else lines
        problems = [_problem(model, details, known, path) for details in error.errors()]
        problems.sort(key=lambda problem: problem.place.line)
        raise (Several(problems) if len(problems) > 1 else problems[0]) from error


def dotted(loc: Loc) -> str:
    """Name a place in the file as a person would: findings[2].size.

    >>> dotted(("findings", 1, "size"))
    'findings[2].size'
    """
    text = ""
    for key in loc:
        text += f"[{key + 1}]" if isinstance(key, int) else f".{key}" if text else str(key)
    return text


def _problem(model: type[BaseModel], details: ErrorDetails, tree: Any, path: Path) -> RecordError:
    loc = details["loc"]
    what, todo = _words(model, details, loc)
    finding = _finding(loc, tree)
    if finding and not what.startswith(f"{finding}: "):
        todo = f"{todo.removesuffix('.')} (finding {finding}){'.' if todo.endswith('.') else ''}"
    key = dotted(loc[:-1] if details["type"] in {"extra_forbidden", "missing"} else loc)
    return RecordError(what, place=Place(path, line_of(tree, loc), key), todo=todo)


def _finding(loc: Loc, tree: Any) -> str:
    """The id of the finding that a place lies in, as far as it can be read; empty elsewhere."""
    if len(loc) < 3 or loc[0] != "findings":
        return ""
    try:
        found = tree["findings"][loc[1]]["id"]
    except (KeyError, IndexError, TypeError):
        return ""
    return str(found)[:40]


def _words(model: type[BaseModel], details: ErrorDetails, loc: Loc) -> tuple[str, str]:
    kind = details["type"]
    given = details["input"]
    if kind == "extra_forbidden":
        known = _keys_at(model, loc[:-1])
        return f'unknown key "{loc[-1]}"', did_you_mean(str(loc[-1]), known) or f"Known here: {', '.join(known)}."
    if kind == "missing":
        return f'the key "{loc[-1]}" is missing', "Add it."
    if kind in {"enum", "literal_error"}:
        expected = details["ctx"]["expected"].replace("'", "").replace(" or ", ", ")
        words = [word.strip() for word in expected.split(",")]
        return f'"{given}" is not one of {", ".join(words)}', did_you_mean(str(given), words) or "Choose one of them."
    if kind == "value_error":
        return str(details["ctx"]["error"]), "Correct it there."
    if kind == "string_type" and isinstance(given, (int, float)):
        return f"{given} stands without quotes and was read as a number", f'Write "{given}" in quotes.'
    return f"{_short(given)}: {details['msg'].lower()}", "Correct it there."


def _short(given: object) -> str:
    text = str(given)
    if isinstance(given, (dict, list)) or len(text) > 60:
        return "the value"
    return f'"{text}"'


def _keys_at(model: type[BaseModel], loc: Loc) -> list[str]:
    """Name the keys that may stand at `loc` of `model`."""
    kind: Any = model
    for key in loc:
        kind = _below(_unwrapped(kind), key)
    kind = _unwrapped(kind)
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return [field.alias or name for name, field in kind.model_fields.items()]
    return []


def _below(kind: Any, key: int | str) -> Any:
    """Give the type of one part of a model, a tuple or a mapping; None where that has no parts."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        fields = {field.alias or name: field.annotation for name, field in kind.model_fields.items()}
        return fields.get(str(key))
    inner = typing.get_args(kind)
    if typing.get_origin(kind) is dict:
        return inner[1]
    return inner[0] if inner else None


def _unwrapped(kind: Any) -> Any:
    """Look through Annotated and `| None`."""
    if typing.get_origin(kind) in {typing.Annotated, typing.Union, types.UnionType}:
        return _unwrapped(typing.get_args(kind)[0])
    return kind
