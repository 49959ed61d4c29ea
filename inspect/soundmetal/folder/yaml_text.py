"""YAML in and out with comments kept. Input is bounded: size, depth, no aliases (a few can unfold into gigabytes)."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap
from ruamel.yaml.composer import Composer
from ruamel.yaml.constructor import ConstructorError, DuplicateKeyError, RoundTripConstructor
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import AliasEvent, Event, MappingStartEvent, SequenceStartEvent
from ruamel.yaml.reader import ReaderError

from soundmetal.errors import FolderError, Place, RecordError

#: A record of some hundred findings has about 100 kB; more than this is not a record.
MAX_BYTES = 4_000_000
MAX_DEPTH = 40


class _NoDay(ConstructorError):
    """A date that no calendar has."""


class _Constructor(RoundTripConstructor):
    """Says where a date stands that no calendar has."""

    def dated(self, node: Any) -> Any:
        try:
            return self.construct_yaml_timestamp(node)
        except ValueError as error:
            raise _NoDay(None, None, f'"{node.value}" is no day: {error}', node.start_mark) from error


_Constructor.add_constructor("tag:yaml.org,2002:timestamp", _Constructor.dated)


class _Refused(Exception):
    """What is well-formed and yet not read: what it is, what to do, and the line."""

    def __init__(self, what: str, todo: str, event: Event) -> None:
        super().__init__(what)
        self.todo, self.line = todo, event.start_mark.line + 1


class _Composer(Composer):
    """Refuses aliases and endless nesting while reading, before anything unfolds."""

    nested = 0  # the class above counts its own `depth`

    def compose_node(self, parent: Any, index: Any) -> Any:
        event = self.parser.peek_event()
        if isinstance(event, AliasEvent):
            what = f'"*{event.anchor}" repeats another part of the file'
            raise _Refused(what, "Write the part out: aliases are not used here.", event)
        nests = isinstance(event, (MappingStartEvent, SequenceStartEvent))
        self.nested += nests
        if self.nested > MAX_DEPTH:
            raise _Refused("nested too deep", "Is it the right file?", event)
        node = super().compose_node(parent, index)
        self.nested -= nests
        return node


def _yaml() -> YAML:
    yaml = YAML(typ="rt", pure=True)
    yaml.Composer = _Composer
    yaml.Constructor = _Constructor
    yaml.preserve_quotes = True
    yaml.width = 118
    yaml.indent(mapping=2, sequence=4, offset=2)
    yaml.representer.ignore_aliases = lambda _: True  # the same day written twice is written out twice
    return yaml


def read_text(path: Path) -> str:
    """Read a text file, bounded; FolderError where it cannot be read, RecordError where it is no text."""
    try:
        if path.stat().st_size > MAX_BYTES:
            raise RecordError(
                f"larger than {MAX_BYTES // 1_000_000} MB", place=Place(path), todo="Is it the right file?"
            )
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise RecordError("not UTF-8 text", place=Place(path), todo="Save it as UTF-8 and try again.") from error
    except OSError as error:
        raise FolderError(
            f"cannot read: {error.strerror}", place=Place(path), todo="Check its permissions."
        ) from error


def parse(text: str, path: Path) -> CommentedMap:
    """Read YAML text into a mapping that knows its lines and comments. `path` is for messages only."""
    try:
        tree = _yaml().load(text)
    except _Refused as error:
        raise RecordError(str(error), place=Place(path, error.line), todo=error.todo) from error
    except (YAMLError, ValueError, OverflowError) as error:
        raise _syntax_error(error, path) from error
    except RecursionError as error:
        raise RecordError("nested too deep", place=Place(path), todo="Is it the right file?") from error
    if not isinstance(tree, CommentedMap):
        raise RecordError(
            "holds no keys and values",
            place=Place(path, 1),
            todo="Make one with: soundmetal start FOLDER --body pickup",
        )
    return tree


def dump(tree: CommentedMap) -> str:
    """Write the mapping as YAML text, comments and quotes kept."""
    stream = io.StringIO()
    _yaml().dump(tree, stream)
    return stream.getvalue()


def photo_line(name: str, zone: str) -> str:
    r"""Give the line that says, under `photos`, which zone a photograph shows.

    >>> photo_line('the "big" hole: 1.jpg', "firewall")
    '"the \\"big\\" hole: 1.jpg": {zone: firewall}'
    """
    return f"{json.dumps(name, ensure_ascii=False)}: {{zone: {zone}}}"


def _syntax_error(error: Exception, path: Path) -> RecordError:
    line = 0
    what, todo = str(error).split("\n")[0], "Look at the indent, the colons and the quotes there."
    if isinstance(error, MarkedYAMLError):
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark else 0
        what = error.problem or error.context or what
    elif isinstance(error, ReaderError):
        what = f"character {error.character!r} cannot stand in a text file"
    if isinstance(error, _NoDay):
        todo = "Write year-month-day, such as 2026-11-18."
    elif isinstance(error, DuplicateKeyError):
        todo = "Keep one of the two."
    elif "'\\t'" in what:
        todo = "Indent with blanks, not with tabs."
    return RecordError(f"not readable as YAML: {what}", place=Place(path, line), todo=todo)


def line_of(tree: Any, loc: tuple[int | str, ...]) -> int:
    """Give the line (from 1) where the value at `loc` stands; of the nearest part above it that has one."""
    line = 1
    node = tree
    for key in loc:
        here = _line_in(node, key)
        if here is None:
            break
        line = here
        node = node[key]
    return line


def _line_in(node: Any, key: int | str) -> int | None:
    try:
        position = node.lc.key(key) if isinstance(node, CommentedMap) else node.lc.item(key)
        node[key]
    except (AttributeError, KeyError, IndexError, TypeError):
        return None
    return int(position[0]) + 1
