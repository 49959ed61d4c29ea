"""What several commands take, and how they end when something was left out."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Annotated

import typer

from soundmetal.errors import Exit, UsageError
from soundmetal.terminal import warn

Folder = Annotated[
    Path, typer.Argument(help="The inspection folder, which holds inspection.yaml.", show_default="here")
]
Json = Annotated[bool, typer.Option("--json", help="Print JSON for another program instead of text.")]
HERE = Path()


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
