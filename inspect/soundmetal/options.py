"""What several commands take, and how they end when something was left out."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated

import typer

from soundmetal.errors import Exit, UsageError
from soundmetal.terminal import warn

Folder = Annotated[
    Path, typer.Argument(help="The inspection folder, which holds inspection.yaml.", show_default="here")
]
#: The same where more arguments follow, so that it cannot be left out.
FolderFirst = Annotated[Path, typer.Argument(help="The inspection folder, which holds inspection.yaml.")]


def _day(text: str) -> dt.date:
    try:
        return dt.date(*time.strptime(text, "%Y-%m-%d")[:3])
    except ValueError as error:
        raise typer.BadParameter(f'"{text}" is no day. Write year-month-day, such as 2026-11-20') from error


Day = Annotated[
    dt.date | None,
    typer.Option(
        "--date", parser=_day, metavar="<date>", help="The day it happened, such as 2026-11-20. Default: today."
    ),
]
Json = Annotated[bool, typer.Option("--json", help="Print JSON for another program instead of text.")]
HERE = Path()


def today() -> dt.date:
    """Give the day it is here."""
    return dt.datetime.now().astimezone().date()


def named(*paths: Path | None) -> None:
    """Raise UsageError where an option was taken for the name of a file or folder, as in `--cut --json`."""
    for path in paths:
        if path is not None and str(path).startswith("-"):
            todo = f"Write a name, or ./{path} if that is it."
            raise UsageError(f'"{path}" stands where a name is wanted', todo=todo)


def tell_refused(refused: Iterable[object]) -> None:
    """Name what could not be used, a line each, beside the results."""
    for one in refused:
        warn(f"left out {one}")


def end(*, incomplete: bool) -> None:
    """End the command with exit code 20 where something is missing and was named."""
    if incomplete:
        raise typer.Exit(Exit.INCOMPLETE)
