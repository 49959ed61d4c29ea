"""Photographs without a zone, offered the zone of those they were taken between: a suggestion, until someone agrees.

Who goes round a car photographs one place several times and tags it once. Only photographs of one camera are
compared (two clocks seldom agree), and only by a clock that the camera itself wrote down.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from soundmetal.photos.settings import settings


@dataclass(frozen=True)
class Shot:
    """What the order needs of one photograph: name, camera, its clock, its zone if that is sure.

    `free`: it may be offered a zone; it has none and the record does not use it. `open_to`: the only zones that what
    it says of itself leaves open, empty where it says nothing.
    """

    name: str
    camera: str
    taken: dt.datetime | None
    zone: str | None
    free: bool = False
    open_to: tuple[str, ...] = ()


@dataclass(frozen=True)
class Offer:
    """A zone offered to a photograph, and the two photographs of that zone that it was taken between."""

    name: str
    zone: str
    before: str
    after: str

    def __str__(self) -> str:
        return f"{self.name}: {self.zone}, taken between {self.before} and {self.after}"

    def as_dict(self) -> dict[str, Any]:
        """Give it for JSON."""
        return {"photograph": self.name, "zone": self.zone, "between": [self.before, self.after]}


def offers(shots: Iterable[Shot], between_s: float | None = None) -> tuple[Offer, ...]:
    """Offer zones by the order of time, sorted by name.

    A photograph gets an offer when the nearest ones with a zone before and after it, of the same camera, show the
    same zone, and no two that follow one another on the way lie further apart than `between_s` seconds (the settings'
    where None). One that says something else of itself, or that has a doubtful zone, ends the row.
    """
    limit = settings().tags.between_s if between_s is None else between_s
    cameras: dict[str, list[tuple[dt.datetime, Shot]]] = {}
    for shot in shots:
        if shot.taken is not None:
            cameras.setdefault(shot.camera, []).append((shot.taken, shot))
    found: list[Offer] = []
    for row in cameras.values():
        row.sort(key=lambda timed: (timed[0], timed[1].name))
        found += [offer for close in _close(row, limit) for offer in _between(close)]
    return tuple(sorted(found, key=lambda offer: offer.name))


def _close(row: Sequence[tuple[dt.datetime, Shot]], limit_s: float) -> Iterable[list[Shot]]:
    """Split a row of time wherever the camera rested longer than the limit."""
    part = [row[0][1]]
    for (earlier, _), (later, shot) in pairwise(row):
        if (later - earlier).total_seconds() > limit_s:
            yield part
            part = []
        part.append(shot)
    yield part


def _between(row: Sequence[Shot]) -> Iterable[Offer]:
    """Offer to the free ones between two that show the same zone."""
    before: Shot | None = None
    waiting: list[Shot] = []
    for shot in row:
        if shot.free:
            waiting.append(shot)
            continue
        if before and shot.zone and before.zone == shot.zone:
            yield from (
                Offer(free.name, shot.zone, before.name, shot.name)
                for free in waiting
                if not free.open_to or shot.zone in free.open_to
            )
        before, waiting = (shot if shot.zone else None), []
