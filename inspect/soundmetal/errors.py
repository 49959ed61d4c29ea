"""Everything that can go wrong, as one tree; each class knows the exit code a command ends with.

    SoundmetalError                 1   something else
    ├── UsageError                  2   the command line itself (the number typer uses as well)
    ├── FolderError                 3   no inspection here, two of them, not empty, output path is a folder
    ├── RecordError                 4   the record cannot be read: YAML syntax, unknown key, impossible value
    │   └── LinkError               4   an id in the record points nowhere (zone, finding, photograph)
    ├── PhotoError                  5   one photograph cannot be used (named; the others go on)
    ├── SettingsError               6   shop book, rules, catalogue or translation data is wrong
    ├── WriteError                  7   disk full, no permission, killed half-way: the old file is still there
    ├── RenderError                 8   a page could not be made
    ├── UnknownName                 9   asked for a zone, rule, finding or body that does not exist
    ├── ChangedMeanwhile           10   the record on disk is newer than the one that was read
    └── AnswerError                11   a form that came back cannot be taken; nothing was changed

Exit code 20 is no exception: the work was done, but something was left out or is missing, and was named. Nor is 130:
somebody pressed Ctrl-C.
Every message is one line: what is wrong, where, and what to do next.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum
from pathlib import Path
from typing import ClassVar


class Exit(IntEnum):
    """Exit codes of the command line."""

    OK = 0
    OTHER = 1
    USAGE = 2
    FOLDER = 3
    RECORD = 4
    PHOTO = 5
    SETTINGS = 6
    WRITE = 7
    RENDER = 8
    UNKNOWN_NAME = 9
    CHANGED = 10
    ANSWER = 11
    INCOMPLETE = 20
    STOPPED = 130


@dataclass(frozen=True)
class Place:
    """Where in which file: line and column count from 1, 0 where unknown."""

    file: Path | None = None
    line: int = 0
    key: str = ""

    def __str__(self) -> str:
        file = one_line(self.file.name) if self.file else ""
        line = f"line {self.line}" if self.line else ""
        return ", ".join(part for part in (file, line, self.key) if part)


def one_line(text: object) -> str:
    r"""Fold any white space and control characters to single blanks, so that a message stays one line.

    >>> one_line("bad\n  name\x1b[31m")
    'bad name[31m'
    """
    return " ".join("".join(c if c.isprintable() or c.isspace() else "" for c in str(text)).split())


class SoundmetalError(Exception):
    """Anything that stops a command with a message for its user."""

    exit_code: ClassVar[Exit] = Exit.OTHER

    def __init__(self, what: str, *, place: Place | None = None, todo: str = "") -> None:
        self.what = one_line(what)
        self.place = place or Place()
        self.todo = one_line(todo)
        super().__init__(str(self))

    def __str__(self) -> str:
        where = str(self.place)
        head = f"{where}: {self.what}" if where else self.what
        return f"{head.rstrip('.')}. {self.todo}" if self.todo else head


class UsageError(SoundmetalError):
    """The command line asks for something that makes no sense."""

    exit_code = Exit.USAGE


class FolderError(SoundmetalError):
    """The inspection folder is not one, or cannot take what it is asked to hold."""

    exit_code = Exit.FOLDER


class RecordError(SoundmetalError):
    """The record cannot be read as an inspection."""

    exit_code = Exit.RECORD


class LinkError(RecordError):
    """An id in the record points to nothing."""


class PhotoError(SoundmetalError):
    """One photograph cannot be used."""

    exit_code = Exit.PHOTO


class SettingsError(SoundmetalError):
    """Data that the tool or the shop supplies is wrong."""

    exit_code = Exit.SETTINGS


class WriteError(SoundmetalError):
    """A file could not be written; what was there before still is."""

    exit_code = Exit.WRITE


class RenderError(SoundmetalError):
    """A page could not be made."""

    exit_code = Exit.RENDER


class UnknownName(SoundmetalError):
    """A name that was asked for does not exist."""

    exit_code = Exit.UNKNOWN_NAME


class ChangedMeanwhile(SoundmetalError):
    """Somebody else saved the record after it was read."""

    exit_code = Exit.CHANGED


class AnswerError(SoundmetalError):
    """Answers that came back cannot be taken: wrong file, other inspection, older state, impossible value."""

    exit_code = Exit.ANSWER


class Several(RecordError):
    """More than one thing wrong in one file: all are told at once, each on a line of its own."""

    def __init__(self, problems: Iterable[RecordError]) -> None:
        self.problems = tuple(problems)
        first = self.problems[0]
        super().__init__(first.what, place=first.place, todo=first.todo)

    def __str__(self) -> str:
        return "\n".join(str(problem) for problem in getattr(self, "problems", ())) or self.what
