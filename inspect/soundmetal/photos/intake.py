"""Photographs taken into an inspection: kept byte for byte, once, whatever they came in; originals stay untouched."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from soundmetal.errors import PhotoError
from soundmetal.photos import arrivals
from soundmetal.photos.arrivals import PHOTOS
from soundmetal.photos.keeping import Keeper
from soundmetal.photos.scan import Refused
from soundmetal.photos.sources import disk
from soundmetal.photos.sources.models import Piece


@dataclass(frozen=True)
class Intake:
    """What was added (name in the inspection), what was there already (same name and content), what was refused."""

    added: tuple[str, ...]
    already: tuple[str, ...]
    refused: tuple[Refused, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Every photograph that was asked for and now lies in the inspection."""
        return (*self.added, *self.already)

    def as_dict(self) -> dict[str, Any]:
        """Give it for JSON."""
        return asdict(self)


def take_in(
    folder: Path,
    sources: Sequence[Path],
    on_done: Callable[[int, int], None] | None = None,
    *,
    arrived: dt.datetime,
    sender: str = "",
) -> Intake:
    """Take photographs out of folders, files, ZIPs and saved mails into the inspection's folder of photographs.

    A folder's own name is kept, because it may say which zone its photographs show. `arrived` is the time, with its
    offset; `sender` is written before the source. What cannot be used is named, the rest goes on. `on_done` hears how
    many of how many files are done; the number grows when a packed one turns out to hold more than one. Raises
    FolderError where a source does not exist, RecordError where the list of arrivals is damaged, both before anything
    is taken; WriteError where the disk is full: what was kept until then is whole, and the same call goes on from
    there.
    """
    disk.check(sources, folder / PHOTOS)
    keeper = Keeper(folder, arrivals.stamp(arrived), sender)
    files, refused = disk.listed(sources)
    told: dict[str, bool] = {}
    try:
        for thing in _things(files, on_done):
            if isinstance(thing, Refused):
                refused.append(thing)
                continue
            try:
                name, new = keeper.take(thing)
                told[name] = told.get(name, False) or new
            except PhotoError as error:
                refused.append(Refused(thing.label, error.what, error.todo))
    finally:
        keeper.write()
    keeper.adopt()
    added = tuple(name for name, new in told.items() if new)
    return Intake(added, tuple(name for name, new in told.items() if not new), tuple(refused))


def _things(files: Sequence[disk.Listed], on_done: Callable[[int, int], None] | None) -> Iterator[Piece | Refused]:
    more = 0
    for number, one in enumerate(files, 1):
        count = 0
        for count, thing in enumerate(disk.opened(one), 1):
            yield thing
            more += count > 1
            if on_done:
                on_done(number + more, len(files) + more)
        if on_done and not count:
            on_done(number + more, len(files) + more)
