"""What the yard tells of an inspection. Nothing heavy is loaded here: a warm index answers with these alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Any, NamedTuple, Self

from soundmetal.record.terms import Stage


class Stand(StrEnum):
    """Where an inspection stands, in the order of the work; the last four are the record's own stages."""

    LOOKED_AT = "looked at"
    SENT = "sent"
    ANSWERED = "answered"
    METAL = Stage.METAL.value
    AWAY = Stage.AWAY.value
    BACK = Stage.BACK.value
    CLOSED = Stage.CLOSED.value


#: Place of each stand in the order of the work.
ORDER = {stand: number for number, stand in enumerate(Stand)}
_STANDS = {stand.value: stand for stand in Stand}


class Car(NamedTuple):
    """One inspection in the yard.

    `folder` is told from the yard. `date` is that of the last event. `open_state` is the number of the newest state
    where nobody has answered that one. `hours_left_h` is empty until something was answered, both values until
    something was sent.
    """

    folder: str
    id: str
    stand: Stand
    date: dt.date
    open_state: int | None
    car: str
    owner: str
    identification: str
    hours_left_h: float | None
    answered: Decimal | None
    waiting: Decimal | None
    currency: str

    @property
    def standing(self) -> str:
        """Tell where it stands, with a newer state that waits for its answer beside it."""
        if self.open_state is None or (self.stand is Stand.SENT and self.open_state == 1):
            return self.stand.value
        return f"{self.stand.value}; state {self.open_state} not answered"

    @property
    def rank(self) -> tuple[int, dt.date, str]:
        """Sort by where it stands, what has waited longest first."""
        return ORDER[self.stand], self.date, self.folder

    def as_dict(self) -> dict[str, Any]:
        """Give it for another program."""
        return {
            "folder": self.folder,
            "id": self.id,
            "stand": self.stand.value,
            "open_state": self.open_state,
            "date": self.date.isoformat(),
            "car": self.car,
            "owner": self.owner,
            "identification": self.identification,
            "hours_left": None if self.hours_left_h is None else round(self.hours_left_h, 4),
            "answered": None if self.answered is None else str(self.answered),
            "waiting": None if self.waiting is None else str(self.waiting),
            "currency": self.currency,
        }

    def as_row(self) -> tuple[object, ...]:
        """Give what the index keeps of it; the folder is the row's key."""
        return (
            self.id,
            self.stand.value,
            self.date.isoformat(),
            self.open_state,
            self.car,
            self.owner,
            self.identification,
            self.hours_left_h,
            None if self.answered is None else str(self.answered),
            None if self.waiting is None else str(self.waiting),
            self.currency,
        )

    @classmethod
    def from_row(cls, folder: str, row: Sequence[Any]) -> Self:
        """Make it again from what the index kept; ValueError, TypeError or ArithmeticError where that is no car."""
        own_id, stand, date, open_state, car, owner, identification, hours_left_h, answered, waiting, currency = row
        if stand not in _STANDS:
            raise ValueError(stand)
        return cls(
            folder, own_id, _STANDS[stand], dt.date.fromisoformat(date), open_state, car, owner, identification,
            hours_left_h,
            None if answered is None else Decimal(answered),
            None if waiting is None else Decimal(waiting),
            currency,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Broken:
    """An inspection that cannot be read, or a folder that cannot be looked into, and why, in one line."""

    folder: str
    fault: str


@dataclass(frozen=True)
class Yard:
    """What was found: cars by where they stand, and by name what is broken, whatever was asked for."""

    cars: tuple[Car, ...]
    broken: tuple[Broken, ...]

    def at(self, stands: Sequence[Stand]) -> Yard:
        """Leave only the cars that stand at one of these; all of them where none is named."""
        return Yard(tuple(car for car in self.cars if not stands or car.stand in stands), self.broken)

    def as_dict(self) -> dict[str, Any]:
        """Give it for another program."""
        broken = [{"folder": one.folder, "fault": one.fault} for one in self.broken]
        return {"inspections": [car.as_dict() for car in self.cars], "broken": broken}

    @property
    def twice(self) -> tuple[tuple[str, ...], ...]:
        """Name the folders that say they are the same inspection: copies, whose hours and money count twice."""
        folders: dict[str, list[str]] = {}
        for car in self.cars:
            if car.id:
                folders.setdefault(car.id, []).append(car.folder)
        return tuple(tuple(sorted(same)) for same in folders.values() if len(same) > 1)
