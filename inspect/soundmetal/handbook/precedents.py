"""Limits on lost steel published for ships, bridges and pipelines, borrowed because body sheet has none of its own.

All were written for thicker plate with a known design margin. A report that borrows one says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from soundmetal.handbook.reading import rows
from soundmetal.handbook.sources import Source, source


@dataclass(frozen=True, slots=True)
class Precedent:
    """One borrowed limit: what is measured, its value (a share, 0 to 1), and what passing it means there."""

    id: str
    source: Source
    quantity: str
    value: float
    meaning: str


@cache
def precedents() -> tuple[Precedent, ...]:
    """Give all precedents in the order of the table."""
    return tuple(
        Precedent(
            row.text("id"), source(row.text("source")), row.text("quantity"), row.number("value"), row.text("meaning")
        )
        for row in rows("precedents")
    )


def precedent(precedent_id: str) -> Precedent:
    """Give one precedent by its id; ValueError for an unknown one.

    >>> precedent("renew-stiffener").value
    0.3
    """
    for one in precedents():
        if one.id == precedent_id:
            return one
    raise ValueError(f'no precedent "{precedent_id}": the table has {", ".join(p.id for p in precedents())}')
