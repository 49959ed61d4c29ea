"""Read one table of the handbook: CSV rows with the place of every cell at hand for an error."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from soundmetal.errors import Place, SettingsError

HERE = Path(__file__).parent


@dataclass(frozen=True)
class Row:
    """One line of a table; `line` counts from 1, the heading is line 1."""

    table: str
    line: int
    cells: dict[str, str]

    def text(self, column: str) -> str:
        """Give the cell as it stands; an empty one is an error of the table."""
        value = self.cells.get(column) or ""
        if not value.strip():
            raise self.wrong(column, "is empty")
        return value.strip()

    def number(self, column: str) -> float:
        """Give the cell as a finite number."""
        text = self.text(column)
        try:
            value = float(text)
        except ValueError as error:
            raise self.wrong(column, f'"{text}" is not a number') from error
        if not math.isfinite(value):
            raise self.wrong(column, f'"{text}" is not a finite number')
        return value

    def number_or_none(self, column: str) -> float | None:
        """Give the cell as a number, or None where the source prints nothing."""
        return self.number(column) if (self.cells.get(column) or "").strip() else None

    def integer(self, column: str) -> int:
        """Give the cell as a whole number."""
        value = self.number(column)
        if not value.is_integer():
            raise self.wrong(column, f"{value} is not a whole number")
        return int(value)

    def wrong(self, column: str, what: str) -> SettingsError:
        """Make the error that names file, line and column."""
        place = Place(HERE / f"{self.table}.csv", self.line, column)
        return SettingsError(what, place=place, todo="Install again, or mend the table.")


@cache
def rows(table: str) -> tuple[Row, ...]:
    """Read `<table>.csv` beside this module, in the order of the file."""
    path = HERE / f"{table}.csv"
    try:
        with path.open(encoding="utf-8", newline="") as file:
            found = tuple(Row(table, line, dict(cells)) for line, cells in enumerate(csv.DictReader(file), start=2))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise SettingsError(f"cannot read: {error}", place=Place(path), todo="Install again.") from error
    if not found:
        raise SettingsError("has no rows", place=Place(path), todo="Install again.")
    for row in found:
        if None in row.cells or None in row.cells.values():
            raise row.wrong("", "has more or fewer cells than the heading")
    return found
