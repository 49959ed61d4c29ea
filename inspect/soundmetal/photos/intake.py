"""Photographs taken into an inspection: copied byte for byte, never twice, the originals never touched."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from soundmetal.errors import FolderError, PhotoError
from soundmetal.folder.atomic import write_bytes
from soundmetal.photos.scan import Found, Refused, scan, scan_file

PHOTOS = "photos"
_CHANGED = PhotoError("changed while it was read", todo="Add it again.")


@dataclass(frozen=True)
class Intake:
    """What was added (name in the inspection), what was there already (same content), what was refused."""

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


def take_in(folder: Path, sources: Sequence[Path], on_done: Callable[[int, int], None] | None = None) -> Intake:
    """Copy photographs, or folders of them with their subfolders, into the inspection's folder of photographs.

    A folder's own name is kept, because it may say which zone its photographs show. Raises FolderError where a source
    does not exist and WriteError where the disk is full; what was copied until then is whole and is not copied again.
    """
    target = folder / PHOTOS
    target.mkdir(exist_ok=True)
    here = {photo.sha256: photo.name for photo in scan(target).photos}
    wanted, refused = _wanted(sources, target)
    added: list[str] = []
    already: list[str] = []
    for number, (name, found) in enumerate(wanted, 1):
        if found.sha256 in here:
            already.append(here[found.sha256])
        else:
            try:
                here[found.sha256] = _copy(found, target, name)
                added.append(here[found.sha256])
            except PhotoError as error:
                refused.append(Refused(name, error.what, error.todo))
        if on_done:
            on_done(number, len(wanted))
    return Intake(tuple(added), tuple(dict.fromkeys(already)), tuple(refused))


def _wanted(sources: Iterable[Path], target: Path) -> tuple[list[tuple[str, Found]], list[Refused]]:
    wanted: list[tuple[str, Found]] = []
    refused: list[Refused] = []
    for source in sources:
        if not source.exists():
            raise FolderError(f'there is no "{source}"', todo="Check the spelling.")
        if source.resolve() == target.resolve() or source.resolve() in target.resolve().parents:
            raise FolderError(f'"{source}" holds the inspection itself', todo="Name where the photographs come from.")
        found = scan(source) if source.is_dir() else scan_file(source)
        below = f"{source.resolve().name}/" if source.is_dir() else ""
        wanted += [(below + photo.name, photo) for photo in found.photos]
        refused += [Refused(below + bad.name, bad.why, bad.todo) for bad in found.refused]
    return wanted, refused


def _copy(found: Found, target: Path, name: str) -> str:
    """Copy one file under a name that is free; give that name. PhotoError if it changed under our hands."""
    try:
        data = found.path.read_bytes()
        times = found.path.stat()
    except OSError as error:
        raise PhotoError(f"cannot be read: {error.strerror}", todo="Fetch it again.") from error
    if hashlib.sha256(data).hexdigest() != found.sha256:
        raise _CHANGED
    free = next(one for one in _names(name) if not (target / one).exists())
    path = target / free
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise PhotoError(f"no folder can be made: {error.strerror}", todo="Rename it, add it again.") from error
    write_bytes(path, data)
    os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))
    return free


def _names(name: str) -> Iterator[str]:
    yield name
    path = PurePosixPath(name)
    number = 2
    while True:
        yield str(path.with_name(f"{path.stem} ({number}){path.suffix}"))
        number += 1
