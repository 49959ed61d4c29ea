"""Where every number of the handbook comes from, and how far the source was seen."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from soundmetal.errors import Place, SettingsError, UnknownName
from soundmetal.handbook.reading import HERE
from soundmetal.words import did_you_mean

FILE = HERE / "sources.toml"


class Confidence(StrEnum):
    """How far a source was seen before its figures were taken over."""

    READ = "published-read"
    SECOND_HAND = "second-hand"
    MEMORY = "from memory"


@dataclass(frozen=True, slots=True)
class Source:
    """A published text that figures were taken from.

    `clause` is the clause, table or page; `tables` names the CSV files (without suffix) that rest on it;
    `note` says what a reader must know before quoting the figures.
    """

    id: str
    title: str
    edition: str
    clause: str
    confidence: Confidence
    tables: tuple[str, ...] = ()
    note: str = ""

    def __str__(self) -> str:
        parts = (f"{self.title}{f' ({self.edition})' if self.edition else ''}", self.clause, self.confidence.value)
        return ", ".join(part for part in parts if part)


def source(source_id: str) -> Source:
    """Give the source with this id; UnknownName with a suggestion if there is none.

    >>> source("iso-9223").confidence.value
    'second-hand'
    """
    known = {one.id: one for one in sources()}
    if source_id not in known:
        raise UnknownName(f'no source "{source_id}"', todo=did_you_mean(source_id, known))
    return known[source_id]


def sources_of(table: str) -> tuple[Source, ...]:
    """Give all sources that one table rests on, in the order of the file; never empty for a table that ships.

    >>> [one.id for one in sources_of("iso_4628_3")]
    ['iso-4628-3']
    """
    return tuple(one for one in sources() if table in one.tables)


@cache
def sources() -> tuple[Source, ...]:
    """Read and check sources.toml once, in the order of the file."""
    try:
        raw = tomllib.loads(FILE.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise SettingsError(f"cannot read: {error}", place=Place(FILE), todo="Install again.") from error
    return tuple(_source(key, entry) for key, entry in raw.items())


def _source(source_id: str, entry: dict[str, object]) -> Source:
    try:
        values = {**entry, "confidence": Confidence(str(entry["confidence"]))}
        values["tables"] = tuple(map(str, entry.get("tables", ())))  # type: ignore[call-overload]
        return Source(id=source_id, **values)  # type: ignore[arg-type]
    except (KeyError, TypeError, ValueError) as error:
        raise SettingsError(f"is not a source: {error}", place=Place(FILE, key=source_id), todo="Mend it.") from error
