"""One sentence on its way to a reader. On the ground floor, so that every room may say something of what it found."""

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
