"""One inspection folder on disk: find its record, read it, change it in small steps that cannot get lost.

A change names the place it is for, so that two people who edit different places at once both win; who edits a place
that somebody else has changed since is told (`ChangedMeanwhile`). The text before every change is kept for `undo`.
"""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from filelock import FileLock, Timeout
from ruamel.yaml.comments import CommentedMap, CommentedSeq

from soundmetal.errors import ChangedMeanwhile, FolderError, Place, RecordError, WriteError
from soundmetal.folder import yaml_text
from soundmetal.folder.atomic import write_text
from soundmetal.folder.messages import dotted, validate
from soundmetal.record.models import Inspection

RECORD = "inspection.yaml"
#: Computed things that may be deleted at any time, and the texts before each change.
HIDDEN = ".soundmetal"
KEPT_TEXTS = 50
#: A change takes milliseconds; who waits longer than this waits for a program that hangs.
LOCK_PATIENCE_S = 20

Key = int | str


@dataclass(frozen=True)
class Stored:
    """A record as it lies on disk: what it says, the text it was read from, and where each part stands."""

    folder: Path
    path: Path
    text: str
    tree: CommentedMap
    inspection: Inspection

    @property
    def digest(self) -> str:
        """SHA-256 of the text, to tell whether somebody saved meanwhile."""
        return hashlib.sha256(self.text.encode()).hexdigest()

    def place(self, *loc: Key) -> Place:
        """Say where in the file something stands."""
        return Place(self.path, yaml_text.line_of(self.tree, loc), dotted(loc))


class _Anything:
    """Stands for "whatever was there before"."""


ANYTHING = _Anything()


@dataclass(frozen=True)
class Change:
    """Set the value at a place, or remove it (`value` None). List items are named by their id or their file name.

    `was` is the value that the editor saw there; if the file says something else by now the change is refused.
    """

    at: tuple[Key, ...]
    value: Any = None
    was: Any = ANYTHING


def record_path(folder: Path) -> Path:
    """Find the one record of a folder; FolderError where there is none, or more than one."""
    if not folder.exists():
        raise FolderError(f'there is no folder "{folder}"', todo="Check the spelling.")
    if not folder.is_dir():
        raise FolderError(f'"{folder.name}" is a file', todo=f"Name the folder that holds {RECORD}.")
    found = sorted(p for p in folder.iterdir() if p.is_file() and _is_record_name(p.name))
    if not found:
        empty = "is empty" if not any(folder.iterdir()) else f"holds no {RECORD}"
        raise FolderError(f'the folder "{folder.name or folder}" {empty}', todo=_instead(folder))
    if len(found) > 1:
        names = " and ".join(p.name for p in found)
        raise FolderError(
            f'the folder "{folder.name or folder}" holds two records: {names}',
            todo="Keep one and move the other away.",
        )
    return found[0]


def _instead(folder: Path) -> str:
    """Say what to do about a folder that holds no record: it may be the one that holds those of all cars."""
    car = min(folder.glob(f"*/{RECORD}"), default=None)
    return f"Name the folder of one car: {car.parent}" if car else "Begin with: soundmetal start FOLDER --body pickup"


def _is_record_name(name: str) -> bool:
    stem, dot, suffix = name.lower().rpartition(".")
    return bool(dot) and stem == "inspection" and suffix in {"yaml", "yml"}


def read(folder: Path) -> Stored:
    """Read the record of a folder. Every fault is a SoundmetalError that names file and line."""
    path = record_path(folder)
    text = yaml_text.read_text(path)
    return from_text(folder, path, text)


def from_text(folder: Path, path: Path, text: str) -> Stored:
    """Read a record from its text; `path` is where it stands or will stand."""
    tree = yaml_text.parse(text, path)
    return Stored(folder, path, text, tree, validate(Inspection, tree, path))


def change(folder: Path, changes: Sequence[Change]) -> Stored:
    """Make changes to the newest state of the record and save it, all of them or none.

    The version goes up by one. Raises ChangedMeanwhile where a `was` no longer holds, RecordError where the result
    would not be a record; then nothing is written.
    """
    with locked(folder):
        now = read(folder)
        tree = yaml_text.parse(now.text, now.path)
        for one in changes:
            _apply(tree, one, now)
        tree["version"] = now.inspection.version + 1
        new = from_text(folder, now.path, yaml_text.dump(tree))
        _keep(folder, now)
        write_text(now.path, new.text)
        return new


def undo(folder: Path) -> Stored:
    """Put back the text from before the last change; FolderError where there is none."""
    with locked(folder):
        kept = _kept(folder)
        if not kept:
            raise FolderError("there is no change to take back", todo="Changes made in an editor are not kept here.")
        path = record_path(folder)
        text = yaml_text.read_text(kept[-1])
        back = from_text(folder, path, text)
        write_text(path, text)
        kept[-1].unlink()
        return back


def _apply(tree: CommentedMap, one: Change, now: Stored) -> None:
    *above, last = one.at
    node: Any = tree
    for key in above:
        node = _step(node, key, now, make=one.value is not None)
        if node is None:
            return
    last = _index(node, last)
    found = _get(node, last)
    if not isinstance(one.was, _Anything) and found != one.was:
        raise ChangedMeanwhile(
            f'somebody changed it to "{found}" meanwhile',
            place=now.place(*one.at),
            todo="Look at it and do it again.",
        )
    if one.value is None:
        if found is not None:
            del node[last]
    elif isinstance(node, CommentedSeq) and (isinstance(last, str) or last == len(node)):
        node.append(one.value)
    else:
        node[last] = one.value


def _step(node: Any, key: Key, now: Stored, *, make: bool) -> Any:
    key = _index(node, key)
    inner = _get(node, key)
    if inner is None and make and isinstance(node, CommentedMap):
        node[key] = inner = CommentedMap()
    if inner is not None and not isinstance(inner, (CommentedMap, CommentedSeq)):
        raise RecordError(f'"{key}" is a single value and holds nothing inside', place=now.place(key))
    return inner


def _index(node: Any, key: Key) -> Key:
    """Turn the id (or file name) of a list item into its number."""
    if isinstance(node, CommentedSeq) and isinstance(key, str):
        for number, item in enumerate(node):
            if isinstance(item, CommentedMap) and key in (item.get("id"), item.get("file"), item.get("zone")):
                return number
    return key


def _get(node: Any, key: Key) -> Any:
    try:
        return node[key]
    except (KeyError, IndexError, TypeError):
        return None


def hidden(folder: Path, *parts: str) -> Path:
    """Give a path in the folder of computed things, and make the folders that lead there, or raise WriteError."""
    path = folder.joinpath(HIDDEN, *parts)
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WriteError(f'cannot make "{path}": {error.strerror}', todo="Check permissions and space.") from error
    return path


@contextlib.contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Hold the inspection for one writer; ChangedMeanwhile where another program does not let go of it."""
    record_path(folder)
    try:
        with FileLock(hidden(folder) / "lock", timeout=LOCK_PATIENCE_S):
            yield
    except Timeout as error:
        raise ChangedMeanwhile(
            "another program is writing this inspection",
            place=Place(record_path(folder)),
            todo="Try again in a moment.",
        ) from error


def _kept(folder: Path) -> list[Path]:
    return sorted(hidden(folder, "before").glob("*.yaml"))


def _keep(folder: Path, now: Stored) -> None:
    write_text(hidden(folder, "before") / f"{now.inspection.version:08d}.yaml", now.text)
    for old in _kept(folder)[:-KEPT_TEXTS]:
        old.unlink()
