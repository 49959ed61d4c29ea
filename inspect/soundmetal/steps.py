"""What every room may hand on: a sentence on its way to a reader, and a number known only as a range."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Step:
    """One step of an explanation: what was put in, what came out, where the numbers are from.

    `text` is a translatable English sentence with {named} fields; `values` fills them; `source` is a rule or handbook
    id.
    """

    text: str
    values: dict[str, object]
    source: str


@dataclass(frozen=True)
class Spread:
    """A number that is known only as a range: low <= likely <= high."""

    low: float
    likely: float
    high: float
