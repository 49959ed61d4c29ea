"""What the commands print with: plain lines, tables, JSON, and a progress line that keeps out of pipes."""

from __future__ import annotations

import json as json_module
import sys
from collections.abc import Iterable, Sequence
from types import TracebackType
from typing import Any, Self

from rich.console import Console
from rich.markup import escape
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
from rich.table import Table


def out() -> Console:
    """Give the console for results; made anew so that a redirected standard output is honoured."""
    return Console(soft_wrap=True, highlight=False)


def say(text: object, *, bold: bool = False) -> None:
    """Print one line of result; nothing in it is taken for markup."""
    line = escape(str(text))
    out().print(f"[bold]{line}[/bold]" if bold else line)


def warn(text: object) -> None:
    """Print one line for the person, beside the results."""
    Console(stderr=True, soft_wrap=True, highlight=False).print(escape(str(text)))


def print_json(value: Any) -> None:
    """Print JSON: UTF-8, keys as given, one value."""
    sys.stdout.write(json_module.dumps(value, indent=2, ensure_ascii=False) + "\n")


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print a table without frames; in a pipe the columns are parted by tabs and nothing is cut."""
    console = out()
    if not console.is_terminal:
        for row in (heads, *rows):
            sys.stdout.write("\t".join(row) + "\n")
        return
    view = Table(*heads, box=None, pad_edge=False)
    for row in rows:
        view.add_row(*(escape(cell) for cell in row))
    console.print(view)


def grouped(rows: Iterable[tuple[str, str]]) -> None:
    """Print lines under their headings; a heading comes where its first line came."""
    told = tuple(rows)
    for heading in dict.fromkeys(heading for heading, _line in told):
        say(heading, bold=True)
        for own, line in told:
            if own == heading:
                say(f"  {line}")


class Watch:
    """A progress line on standard error while something long is done; silent where that is no terminal."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._progress = Progress(
            TextColumn("{task.description}"),
            BarColumn(),
            MofNCompleteColumn(),
            TimeRemainingColumn(),
            console=Console(stderr=True),
            transient=True,
            disable=not sys.stderr.isatty(),
        )
        self._task = self._progress.add_task(text, total=None)

    def step(self, done: int, total: int) -> None:
        """Tell that `done` of `total` are done."""
        self._progress.update(self._task, completed=done, total=total)

    def __enter__(self) -> Self:
        self._progress.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._progress.stop()
