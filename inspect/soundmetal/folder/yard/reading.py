"""Read one inspection for the yard: where it stands, what is left, what it is worth, and the words to find it by.

Everything is read from the record, from each state's `state.yaml` and from its `offer.json`, held against the hash in
`state.yaml`. The report and the frozen record of a state are not read here: `compare` and `answers` look at those.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import itertools
import math
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from soundmetal.car import catalogue
from soundmetal.errors import FolderError, Place, RecordError, SoundmetalError, one_line
from soundmetal.folder import store, yaml_text
from soundmetal.folder.messages import validate
from soundmetal.folder.states import MARK, OFFER, STATES, Mark, State, newest, read_offer, standing
from soundmetal.folder.yard import walk
from soundmetal.folder.yard.digests import MAX_BYTES, digest_of
from soundmetal.folder.yard.models import Broken, Car, Stand
from soundmetal.folder.yard.quick import read_as
from soundmetal.folder.yard.walk import Spot
from soundmetal.folder.yard.words import one_text
from soundmetal.record.models import Inspection
from soundmetal.record.offer import OfferedPanel
from soundmetal.record.terms import Aim, Reply

_TOLD = ("note", "caption")


@dataclass(frozen=True, slots=True)
class Read:
    """What one spot holds. `digest` is that of its files; None where it must be read again the next time."""

    spot: Spot
    told: Car | Broken
    words: str
    digest: bytes | None


def read_spot(spot: Spot) -> Read:
    """Read the inspection at a spot. Nothing is raised for a broken one: it is told of."""
    if spot.fault:
        return Read(spot, Broken(spot.folder, spot.fault), "", None)
    told, words, lasting = _told(spot)
    digest = digest_of(spot) if lasting else None
    return Read(spot, told, words, digest if _unchanged(spot) else None)


def read_states(folder: Path) -> tuple[State, ...]:
    """Read marks and offers of all states, oldest first; RecordError where one is not what was sent."""
    home = folder / STATES
    if not home.is_dir():
        return ()
    return tuple(_state(path) for path in sorted(home.iterdir()) if path.name.isdigit() and path.is_dir())


def _state(path: Path) -> State:
    for name in (MARK, OFFER):
        if not (path / name).is_file():
            raise _spoilt(path / name, f"is missing from state {path.name}")
    mark, file = _mark(path / MARK), path / OFFER
    data = file.read_bytes() if file.stat().st_size <= MAX_BYTES else b""
    if hashlib.sha256(data).hexdigest() != mark.offer:
        raise _spoilt(file, f"is not what was sent as state {mark.number}")
    offer = read_offer(data, file)
    if set(offer.aims) != set(Aim):
        raise _spoilt(file, "does not tell of every aim")
    return State(path, mark, offer)


def _mark(path: Path) -> Mark:
    text = yaml_text.read_text(path)
    return read_as(Mark, text) or validate(Mark, yaml_text.parse(text, path), path)


def _record(folder: Path) -> Inspection:
    path = store.record_path(folder)
    text = yaml_text.read_text(path)
    return read_as(Inspection, text) or store.from_text(folder, path, text).inspection


def _spoilt(file: Path, what: str) -> RecordError:
    return RecordError(what, place=Place(file), todo="Put it back from a copy; what was sent is never changed.")


def _told(spot: Spot) -> tuple[Car | Broken, str, bool]:
    """Tell of a car and its words, or of its fault, and whether that lasts until a file of it changes."""
    folder = Path(spot.path)
    try:
        record = _record(folder)
        car = car_of(spot.folder, record, read_states(folder))
        return car, one_text(_texts(spot.folder, record)), True
    except SoundmetalError as error:
        return Broken(spot.folder, _fault(error)), "", not isinstance(error, FolderError)
    except OSError as error:
        return Broken(spot.folder, one_line(error.strerror or error)), "", False


def _fault(error: SoundmetalError) -> str:
    first, *more = str(error).splitlines()
    return f"{first} (and {len(more)} more)" if more else first


def _unchanged(spot: Spot) -> bool:
    try:
        now = walk.look_at(spot.path, spot.folder)
    except OSError:
        return False
    return now is not None and now.signature == spot.signature


def car_of(folder: str, record: Inspection, found: Sequence[State]) -> Car:
    """Tell where one inspection stands. Of one that is closed nothing is left to do and nothing waits."""
    last, answered = newest(found), newest(found, answered=True)
    stand = _stand(record, last)
    closed = stand is Stand.CLOSED
    replies = {name: answer.reply for name, answer in standing(record, found).items()}
    return Car(
        folder=folder,
        id=record.id,
        stand=stand,
        date=max(_days(record, found)),
        open_state=last.number if last and not last.answered else None,
        car=_name(record),
        owner=record.owner.name,
        identification=record.vehicle.identification,
        hours_left_h=(0.0 if closed else _left_h(record, answered, replies)) if answered else None,
        answered=_sum(_agreed(record, answered, replies)) if last else None,
        waiting=_sum(() if closed else _open(record, last, replies)) if last else None,
        currency=last.offer.currency if last else record.currency,
    )


def _stand(record: Inspection, last: State | None) -> Stand:
    if record.progress:
        return Stand(record.progress[-1].stage.value)
    if last is None:
        return Stand.LOOKED_AT
    return Stand.ANSWERED if last.answered else Stand.SENT


def _days(record: Inspection, found: Sequence[State]) -> Iterator[dt.date]:
    yield record.date
    yield from (entry.date for entry in record.progress)
    yield from (answer.date for answer in record.answers.values() if answer.date)
    for state in found:
        yield state.mark.sent
        yield from (one.date for one in state.mark.returned)


def _name(record: Inspection) -> str:
    """Name the car: its year, make and model, or what body it is where nobody wrote those down."""
    car = record.vehicle
    known = [str(car.year)] if car.year else []
    known += [part for part in (car.make, car.model) if part]
    return " ".join(known if car.make or car.model else [*known, car.body])


def _panels(record: Inspection, state: State | None) -> Iterator[OfferedPanel]:
    """Give the panels of a state that are worked on under the aim that the record has now."""
    if state:
        panels = state.offer.aims[record.aim].panels.values()
        yield from (panel for panel in panels if panel.method != "leave")


def _agreed(record: Inspection, state: State | None, replies: Mapping[str, Reply]) -> Iterator[OfferedPanel]:
    """Give the panels that the owner said yes to: all on them is answered, and not all with no."""
    for panel in _panels(record, state):
        said = [replies.get(name) for name in panel.findings]
        if Reply.YES in said and not _waits(said):
            yield panel


def _open(record: Inspection, state: State | None, replies: Mapping[str, Reply]) -> Iterator[OfferedPanel]:
    """Give the panels of which something is not answered, or is to be talked about."""
    return (panel for panel in _panels(record, state) if _waits([replies.get(name) for name in panel.findings]))


def _waits(said: Sequence[Reply | None]) -> bool:
    return any(reply not in (Reply.YES, Reply.NO) for reply in said)


def _left_h(record: Inspection, state: State | None, replies: Mapping[str, Reply]) -> float:
    """Give the likely hours of what was agreed to, less the hours spent; never below 0."""
    agreed = math.fsum(panel.hours.likely for panel in _agreed(record, state, replies))
    spent = math.fsum(hours for by_work in record.spent.values() for hours in by_work.values())
    return max(0.0, agreed - spent)


def _sum(panels: Iterable[OfferedPanel]) -> Decimal:
    return sum((panel.price.likely for panel in panels), Decimal(0))


def _texts(folder: str, record: Inspection) -> Iterator[str]:
    """Give every text that a search looks in; zones of findings by id and by name in each language there is."""
    car = record.vehicle
    body = catalogue.body(car.body, car.structure)
    yield from (os.fsencode(folder).decode("utf-8", "ignore"), record.id, str(car.year or ""))
    yield from (car.make, car.model, car.colour, car.body, *body.names.values())
    yield from (car.identification, "".join(filter(str.isalnum, car.identification)))
    yield from (record.owner.name, record.owner.phone, record.owner.email, record.inspector)
    for finding in record.findings:
        yield from (finding.id, finding.zone)
        if finding.zone in body.by_id:
            yield from body.by_id[finding.zone].names.values()
    yield from _notes(record.model_dump())


def _notes(part: Any) -> Iterator[str]:
    """Give every note and caption anywhere in the record."""
    if isinstance(part, dict):
        for key, value in part.items():
            if key in _TOLD and isinstance(value, str):
                yield value
            else:
                yield from _notes(value)
    elif isinstance(part, (list, tuple)):
        yield from itertools.chain.from_iterable(map(_notes, part))
