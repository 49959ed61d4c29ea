"""Find the inspections under a folder, and tell by times and sizes whether one has changed.

Looked into is every folder but hidden ones, and `photos` and `states` of an inspection. A link to a folder outside
the yard is followed one level down; links in there are not, nor is one back into the yard: what lies here is found
where it lies. So the way ends however links run.
"""

from __future__ import annotations

import errno
import os
import stat
import struct
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

STATES, PHOTOS = "states", "photos"
MARK, OFFER = "state.yaml", "offer.json"
#: What usually lies in an inspection and is no folder of others: not worth asking the disk about.
_USUAL = frozenset(
    ("inspection.yaml", "shop.yaml", PHOTOS, STATES, "report.pdf", "report.html", "scope.pdf", "scope.html")
)
_INODES = (1 << 63) - 1
_MISSING = (0, 0, -1, 0)
#: What a path says that leads to no file.
_NOT_THERE = (errno.ENOENT, errno.ENOTDIR, errno.ELOOP, errno.EBADF)
_LINK_LEVELS = 1
#: The coarsest clock of a file system in common use: FAT counts in steps of two seconds.
TICK_NS = 2_000_000_000
_ALONE, _NOT_ALONE, _END = b"1", b"0", b"\0\0"


class Spot(NamedTuple):
    """One inspection as it lies on the disk.

    `files` are those that count for the yard, from its folder: `.` and `states` themselves as well, whose times tell
    that something came or went. `signature` changes with names, times, sizes and inodes of all of them, and says
    whether other folders lie inside; `newest_ns` is the latest of the times. `fault` says why a folder could not be
    looked into.
    """

    folder: str
    path: str
    files: tuple[str, ...] = ()
    signature: bytes = b""
    newest_ns: int = 0
    fault: str = ""

    def young(self, seen_ns: int) -> bool:
        """Tell whether it might have changed within one tick of the clock after it was read at `seen_ns`."""
        return self.newest_ns >= seen_ns - TICK_NS


#: What was seen the last time, by folder: the signature, and when that was.
Known = Callable[[str], tuple[bytes, int] | None]


def walk(yard: Path, known: Known = lambda _: None) -> Iterator[Spot]:
    """Give every inspection at or under a folder, and every folder that could not be looked into.

    One that is `known` and has not changed is not listed again.
    """
    home = os.path.realpath(yard)
    seen: set[str] = set()
    todo: list[tuple[str, str, int | None]] = [(str(yard), ".", None)]
    while todo:
        path, name, levels = todo.pop()
        try:
            if spot := _as_known(path, name, known(name)):
                yield spot
                continue
            names = os.listdir(path)  # noqa: PTH208 - a whole yard: Path objects would take as long as the disk
            if spot := look_at(path, name, names):
                yield spot
            inner = [] if levels == 0 or (spot and _is_alone(names)) else _folders(path, leave=bool(spot))
        except (FileNotFoundError, NotADirectoryError):
            continue  # gone while we were under way
        except OSError as error:
            yield Spot(name, path, fault=f"cannot be looked into: {error.strerror}")
            continue
        for one, linked in inner:
            below, known_as = f"{path}/{one}", one if name == "." else f"{name}/{one}"
            if not linked and levels is None:
                todo.append((below, known_as, None))
            elif (not linked or levels is None) and _is_new(below, home, seen):
                todo.append((below, known_as, _LINK_LEVELS if linked else 0))


def look_at(path: str, folder: str, names: list[str] | None = None) -> Spot | None:
    """Look at one folder, which is known as `folder` in the yard; None where it holds no record."""
    if names is None:
        names = os.listdir(path)  # noqa: PTH208 - see above
    records = sorted(name for name in names if is_record_name(name) and _is_file(f"{path}/{name}"))
    if not records:
        return None
    files = [".", *records]
    if STATES in names:
        files.append(STATES)
        for name in _states(f"{path}/{STATES}"):
            files += (f"{STATES}/{name}/{MARK}", f"{STATES}/{name}/{OFFER}")
    head = b"\0".join((_ALONE if _is_alone(names) else _NOT_ALONE, *map(os.fsencode, files)))
    return _spot(path, folder, tuple(files), head)


def _as_known(path: str, folder: str, last: tuple[bytes, int] | None) -> Spot | None:
    """Give a spot that is as it was; None where it must be looked at anew, or holds other folders."""
    if last is None or not last[0].startswith(_ALONE + b"\0"):
        return None
    head = last[0].partition(_END)[0]
    spot = _spot(path, folder, tuple(os.fsdecode(head).split("\0")[1:]), head)
    return None if spot.signature != last[0] or spot.young(last[1]) else spot


def _spot(path: str, folder: str, files: tuple[str, ...], head: bytes) -> Spot:
    """Put a spot together from times of content and inode, size and inode of each file; `head` names them."""
    facts: list[int] = []
    for name in files:
        found = _stat(f"{path}/{name}")
        if found is None:
            facts += _MISSING
        else:
            facts += (found.st_mtime_ns, found.st_ctime_ns, found.st_size, found.st_ino & _INODES)
    signature = head + _END + struct.pack(f"{len(facts)}q", *facts)
    return Spot(folder, path, files, signature, max((*facts[0::4], *facts[1::4]), default=0))


def is_record_name(name: str) -> bool:
    """Tell whether a file of this name is an inspection's record, as `folder.store` does.

    >>> is_record_name("Inspection.YML"), is_record_name("inspection.txt")
    (True, False)
    """
    return name.lower() in ("inspection.yaml", "inspection.yml")


def _is_file(path: str) -> bool:
    found = _stat(path)
    return found is not None and stat.S_ISREG(found.st_mode)


def _stat(path: str) -> os.stat_result | None:
    """Ask the disk about a file or folder; None where there is none."""
    try:
        return os.stat(path)  # noqa: PTH116 - see above
    except OSError as error:
        if error.errno in _NOT_THERE:
            return None
        raise


def _states(home: str) -> list[str]:
    try:
        return sorted(name for name in os.listdir(home) if name.isdigit())  # noqa: PTH208 - see above
    except NotADirectoryError:
        return []


def _is_alone(names: list[str]) -> bool:
    """Tell whether an inspection holds only what inspections hold, so that no other can lie inside."""
    return all(name in _USUAL or name[0] == "." for name in names)


def _folders(path: str, *, leave: bool) -> list[tuple[str, bool]]:
    """Name the folders inside, last first, and whether each is a link; an inspection's own not where `leave`."""
    own = {PHOTOS, STATES} if leave else set()
    with os.scandir(path) as entries:
        found = [(one.name, one.is_symlink()) for one in entries if one.name[0] != "." and _is_folder(one)]
    return sorted((one for one in found if one[0] not in own), reverse=True)


def _is_folder(one: os.DirEntry[str]) -> bool:
    try:
        return one.is_dir()
    except OSError:  # a link that runs in a ring, or leads where we may not go
        return False


def _is_new(path: str, home: str, seen: set[str]) -> bool:
    """Tell whether a folder that a link leads to lies outside the yard, does not hold it, and was not met before."""
    real = os.path.realpath(path)
    if real in seen or _holds(home, real) or _holds(real, home):
        return False
    seen.add(real)
    return True


def _holds(outer: str, inner: str) -> bool:
    return inner == outer or inner.startswith(outer.rstrip(os.sep) + os.sep)
