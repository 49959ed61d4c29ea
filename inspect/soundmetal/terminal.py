"""What the commands print with: plain lines, tables, JSON, and a progress line that keeps out of pipes."""

from __future__ import annotations

import codecs
import json as json_module
import sys
import unicodedata
from collections.abc import Iterable, Sequence
from types import TracebackType
from typing import Any, Self

from rich.cells import cell_len
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, ProgressColumn, TextColumn, TimeRemainingColumn
from rich.table import Table
from rich.text import Text

#: Folding the cells of more rows than these takes a terminal longer than a blink.
_MOST_FOLDED = 200
#: Signs that have no plain letter inside them.
_SIGNS = str.maketrans(
    {"⁄": "/", "–": "-", "—": "-", "“": '"', "”": '"', "‘": "'", "’": "'", "×": "x", "→": "->", "μ": "u"}
)


def prepare() -> None:
    """Make standard output and error safe for any text: letters they cannot show are written with those they can."""
    codecs.register_error("soundmetal", _nearest_letters)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="soundmetal")


def plain(text: object) -> str:
    r"""Keep one line one line, and let nothing in it steer the terminal: what cannot be seen is written as its code.

    >>> plain("a\tb\nc\x1b[31m \udce9")
    'a b\\nc\\x1b[31m \\udce9'
    """
    line = str(text)
    return line if line.isprintable() else "".join(_visible(char) for char in line)


def say(text: object, *, bold: bool = False) -> None:
    """Print one line of result; nothing in it is taken for markup."""
    _print(Console(soft_wrap=True, highlight=False), text, bold=bold)


def warn(text: object) -> None:
    """Print one line for the person, beside the results."""
    _print(Console(stderr=True, soft_wrap=True, highlight=False), text)


def print_json(value: Any) -> None:
    """Print JSON, one value, keys as given: UTF-8, or escaped where the output cannot hold that."""
    utf8 = (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"
    sys.stdout.write(json_module.dumps(value, indent=2, ensure_ascii=not utf8) + "\n")


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print a table without frames; in a pipe the columns are parted by tabs and nothing is cut.

    On a terminal long cells are folded, but not where there are so many rows that one would wait for it.
    """
    console = Console(highlight=False)
    rows = tuple(rows)
    if not console.is_terminal:
        for row in (heads, *rows):
            cells = row if "".join(row).isprintable() else map(plain, row)
            sys.stdout.write("\t".join(cells) + "\n")
        return
    if len(rows) > _MOST_FOLDED:
        _aligned((heads, *rows))
        return
    view = Table(*heads, box=None, pad_edge=False)
    for row in rows:
        view.add_row(*(Text(plain(cell), overflow="fold") for cell in row))
    console.print(view)


def grouped(rows: Iterable[tuple[str, str]]) -> None:
    """Print lines under their headings; a heading comes where its first line came, an empty line is none."""
    told = tuple(rows)
    for heading in dict.fromkeys(heading for heading, _line in told):
        say(heading, bold=True)
        for own, line in told:
            if own == heading and line:
                say(f"  {line}")


class Watch:
    """A progress line on standard error while something long is done; silent where that is no terminal.

    What cannot be `counted` shows that it goes on, and nothing else.
    """

    def __init__(self, text: str, *, counted: bool = True) -> None:
        bars: list[ProgressColumn] = [TextColumn("{task.description}"), BarColumn()]
        self._progress = Progress(
            *bars,
            *([MofNCompleteColumn(), TimeRemainingColumn()] if counted else []),
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


def _aligned(rows: Sequence[Sequence[str]]) -> None:
    """Write cells one below the other, as wide as the widest of their column; some letters are two cells wide."""
    cells = [[plain(cell) for cell in row] for row in rows]
    widths = [max(map(cell_len, column)) for column in zip(*cells, strict=True)]
    for row in cells:
        padded = (cell + " " * (width - cell_len(cell)) for cell, width in zip(row, widths, strict=True))
        sys.stdout.write(" ".join(padded).rstrip() + "\n")


def _print(console: Console, text: object, *, bold: bool = False) -> None:
    console.print(Text(plain(text), style="bold" if bold else ""), markup=False, emoji=False)


def _visible(char: str) -> str:
    if char.isprintable() or char == "\xa0":
        return char
    return " " if char in "\t\u202f\u2009" else char.encode("unicode_escape").decode("ascii")


def _nearest_letters(error: UnicodeError) -> tuple[str, int]:
    """Write letters that the output has not with those that it has (n for an n with tilde), else as their code."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    part = error.object[error.start : error.end]
    return "".join(_ascii(char) for char in part), error.end


def _ascii(char: str) -> str:
    gap = " " if unicodedata.decomposition(char).startswith("<fraction>") else ""
    letters = gap + unicodedata.normalize("NFKD", char).translate(_SIGNS).encode("ascii", "ignore").decode("ascii")
    return letters or char.encode("unicode_escape").decode("ascii")
