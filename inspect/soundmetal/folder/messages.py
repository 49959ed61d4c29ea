"""What pydantic found wrong, said in our words: what, file, line, and the nearest right word."""

from __future__ import annotations

import types
import typing
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from soundmetal.errors import Place, RecordError, Several
from soundmetal.folder.yaml_text import line_of
from soundmetal.words import did_you_mean

Loc = tuple[int | str, ...]
Model = TypeVar("Model", bound=BaseModel)

_DAY = ("{given} is no day", "Write year-month-day, such as 2026-11-18.")
_WHOLE = ("{given} is no whole number", "Write digits only.")
_NUMBER = ("{given} is no number", "Write digits only, with a point before the decimals, such as 1.5.")
_YES_NO = ("{given} is neither true nor false", "Write true or false.")
_LIST = ("{given} is no list", "Write it in [ ], or each on a line of its own with a dash before it.")
#: What is said of each kind of fault, and what to do. Fields: what was given, and what pydantic wanted.
_SAID: Mapping[str, tuple[str, str]] = {
    **dict.fromkeys(("date_type", "date_parsing", "date_from_datetime_parsing", "date_from_datetime_inexact"), _DAY),
    **dict.fromkeys(("int_type", "int_parsing", "int_from_float", "int_parsing_size"), _WHOLE),
    **dict.fromkeys(("float_type", "float_parsing", "decimal_type", "decimal_parsing", "finite_number"), _NUMBER),
    **dict.fromkeys(("bool_type", "bool_parsing"), _YES_NO),
    **dict.fromkeys(("tuple_type", "list_type"), _LIST),
    "string_type": ("{given} is no text", "Write one line of text."),
    "string_too_long": ("{given} is longer than {max_length} letters", "Shorten it."),
    "string_too_short": ("{given} is too short", "Write {min_length} letters or more."),
    "greater_than": ("{given} is too small", "Write more than {gt}."),
    "greater_than_equal": ("{given} is too small", "Write {ge} or more."),
    "less_than": ("{given} is too large", "Write less than {lt}."),
    "less_than_equal": ("{given} is too large", "Write {le} or less."),
    "too_short": ("there are too few: {actual_length}", "Write {min_length} or more."),
    "too_long": ("there are too many: {actual_length}", "Write {max_length} or fewer."),
    "invalid_key": ("{given} stands where a key is wanted", "Write key: value. Is there a comma too many?"),
}
#: What each pattern of the record and the shop book asks for.
SHAPES: Mapping[str, str] = {
    "^[A-Z]{3}$": "three capital letters, such as USD",
    "^[a-z]{2}$": "two small letters, such as en",
    r"^[A-Za-z][A-Za-z0-9_-]{0,15}$": "a letter first, then letters, digits, - or _, no blank, 16 at most",
    r"^([a-z0-9]{6,32})?$": "6 to 32 small letters and digits",
}


def validate(model: type[Model], tree: Any, path: Path, lines: Any = None) -> Model:
    """Read a mapping as `model`; RecordError (or Several) with file, line and the nearest right word.

    `lines` is the mapping that knows the lines, where that is not `tree` itself.
    """
    try:
        return model.model_validate(tree)
    except ValidationError as error:
        known = tree if lines is None else lines
        problems = [_problem(model, details, known, path) for details in _own(error.errors())]
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


def _own(found: Sequence[ErrorDetails]) -> Iterator[ErrorDetails]:
    """Leave out lists that are only called too short because what is in them is wrong, which is told already."""
    for one in found:
        inside = (other for other in found if len(other["loc"]) > len(one["loc"]))
        if one["type"] != "too_short" or not any(other["loc"][: len(one["loc"])] == one["loc"] for other in inside):
            yield one


def _problem(model: type[BaseModel], details: ErrorDetails, tree: Any, path: Path) -> RecordError:
    loc = details["loc"]
    what, todo = _words(model, details, loc)
    finding = _finding(loc, tree)
    if finding and not what.startswith(f"{finding}: "):
        todo = f"{todo.removesuffix('.')} (finding {finding}){'.' if todo.endswith('.') else ''}"
    key = dotted(loc[:-1] if details["type"] in {"extra_forbidden", "missing", "invalid_key"} else loc)
    return RecordError(what, place=Place(path, line_of(tree, loc), key), todo=todo)


def _finding(loc: Loc, tree: Any) -> str:
    """The id of the finding that a place lies in, as far as it can be read; empty elsewhere."""
    if len(loc) < 3 or loc[0] != "findings":
        return ""
    try:
        found = tree["findings"][loc[1]]["id"]
    except (KeyError, IndexError, TypeError):
        return ""
    return str(found)[:40] if found is not None else ""


def _words(model: type[BaseModel], details: ErrorDetails, loc: Loc) -> tuple[str, str]:
    kind = details["type"]
    given = details["input"]
    if kind == "extra_forbidden":
        known = _keys_at(model, loc[:-1])
        return f'unknown key "{loc[-1]}"', did_you_mean(str(loc[-1]), known) or f"Known here: {', '.join(known)}."
    if kind == "missing":
        named = f'the key "{loc[-1]}"' if isinstance(loc[-1], str) else f"number {loc[-1] + 1} of these"
        return f"{named} is missing", "Add it."
    if kind in {"enum", "literal_error"}:
        return _not_one_of(given, details["ctx"]["expected"])
    if given is None:
        return "nothing stands here", "Fill it in, or remove the line."
    if kind == "value_error":
        return str(details["ctx"]["error"]), "Correct it there."
    if kind == "string_type" and isinstance(given, (int, float)):
        return f"{given} stands without quotes and was read as a number", f'Write "{given}" in quotes.'
    return _said(details, _keys_at(model, loc))


def _not_one_of(given: object, expected: str) -> tuple[str, str]:
    words = [word.strip() for word in expected.replace("'", "").replace(" or ", ", ").split(",")]
    if given is None:
        return "nothing stands here", f"Choose one of: {', '.join(words)}."
    if len(words) == 1:
        return f'"{given}" is not {words[0]}, the only one known here', f"Write {words[0]}, or use a newer program."
    return f'"{given}" is not one of {", ".join(words)}', did_you_mean(str(given), words) or "Choose one of them."


def _said(details: ErrorDetails, known: Sequence[str]) -> tuple[str, str]:
    """Say a fault in the words of the table; `known` are the keys that may stand at its place."""
    kind, given, wanted = details["type"], _short(details["input"]), details.get("ctx", {})
    if kind in {"dict_type", "model_type", "model_attributes_type"}:
        todo = f"Write key: value. Known here: {', '.join(known)}." if known else "Write key: value."
        return f"{given} stands where keys and their values are wanted", todo
    if kind == "string_pattern_mismatch":
        shape = SHAPES.get(wanted["pattern"], f"what fits {wanted['pattern']}")
        return f"{given} is not of the right form", f"Write {shape}."
    if kind in _SAID:
        what, todo = _SAID[kind]
        figures = {name: str(value).removesuffix(".0") for name, value in wanted.items()}
        return what.format(given=given, **figures), todo.format(given=given, **figures)
    return f"{given}: {details['msg'][:1].lower()}{details['msg'][1:]}", "Correct it there."


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
