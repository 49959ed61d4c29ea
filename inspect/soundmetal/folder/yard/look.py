"""Look at a yard: walk the folders, take from the index what has not changed, read the rest, and keep that.

What is told never depends on the index: an entry is used only while times, sizes and inodes of the files that it was
made from are the same. A file as young as the reading itself might change once more without showing it (a clock ticks
coarsely), so such an entry is held against the files' digest before it is believed.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from soundmetal.errors import FolderError, UsageError
from soundmetal.folder.yard import index as kept_index
from soundmetal.folder.yard.digests import digest_of
from soundmetal.folder.yard.index import Index, Kept, Row
from soundmetal.folder.yard.models import Broken, Car, Yard
from soundmetal.folder.yard.walk import Spot, walk
from soundmetal.folder.yard.words import has_all, words_of

if TYPE_CHECKING:
    from soundmetal.folder.yard.reading import Read

_SAVE_EVERY = 500

Step = Callable[[int, int], object]


def look(yard: Path, find: str | None = None, step: Step | None = None) -> Yard:
    """Give what stands in a yard, and what of it is broken; with `find` only cars that have all of its words.

    `step(done, total)` is told how reading goes. FolderError where there is no such folder, UsageError where `find`
    holds no word.
    """
    words = None if find is None else _words(find)
    if not yard.is_dir():
        what = f'"{yard.name}" is a file' if yard.exists() else f'there is no folder "{yard}"'
        raise FolderError(what, todo="Name the folder that holds the inspections.")
    index = kept_index.load(yard)
    try:
        spots = {spot.folder: spot for spot in walk(yard, index.seen)}
        return _told(yard, spots, index, words, step)
    finally:
        index.close()


def _words(find: str) -> tuple[str, ...]:
    words = words_of(find)
    if not words:
        raise UsageError(f'"{find}" holds no word to look for', todo="Write a word, or the beginning of one.")
    return words


def _told(yard: Path, spots: dict[str, Spot], index: Index, words: tuple[str, ...] | None, step: Step | None) -> Yard:
    hits = None if words is None else index.find(words)
    known, stale = _parted(yard, spots, index)
    if words is not None and hits is None:
        known, stale, hits, index.whole = {}, list(spots.values()), set(), False
    try:
        told = [kept.told for folder, kept in known.items() if hits is None or folder in hits or kept.fault]
    except (ValueError, TypeError, ArithmeticError):  # a row that we did not write
        told, known, stale, index.whole = [], {}, list(spots.values()), False
    gone = index.kept.keys() - known.keys()
    read = _kept(yard, index, stale, gone, step)
    told += [one.told for one in read if words is None or _broken(one.told) or has_all(one.words, words)]
    cars = sorted((one for one in told if isinstance(one, Car)), key=lambda car: car.rank)
    broken = sorted((one for one in told if isinstance(one, Broken)), key=lambda one: one.folder)
    return Yard(tuple(cars), tuple(broken))


def _broken(told: Car | Broken) -> bool:
    return isinstance(told, Broken)


def _parted(yard: Path, spots: dict[str, Spot], index: Index) -> tuple[dict[str, Kept], list[Spot]]:
    """Part the spots: what the index knows as they are now, and what has to be read."""
    known: dict[str, Kept] = {}
    stale, young = [], []
    for folder, spot in spots.items():
        kept = index.kept.get(folder)
        if kept is None or kept.signature != spot.signature or not spot.files:
            stale.append(spot)
            continue
        if spot.young(kept.seen_ns):
            if digest_of(spot) != kept.digest:
                stale.append(spot)
                continue
            young.append(spot)
        known[folder] = kept
    _settle(yard, index, young)
    return known, stale


def _settle(yard: Path, index: Index, young: Sequence[Spot]) -> None:
    """Note that these were held against their digests, once they are old enough never to be doubted again."""
    seen_ns = kept_index.now_ns(yard) if young else 0
    if old := [spot.folder for spot in young if not spot.young(seen_ns)]:
        index.settle(old, seen_ns)


def _kept(
    yard: Path, index: Index, stale: Sequence[Spot], gone: Collection[str], step: Step | None
) -> Iterator[Read]:
    """Read the spots, and keep each that can be kept; every so many are saved, so that a stop loses little."""
    rows: list[Row] = []
    if stale:
        from soundmetal.folder.yard.reading import read_spot  # here: it takes longer to load than a yard to list

        seen_ns = kept_index.now_ns(yard)
        for done, read in enumerate(map(read_spot, stale), 1):
            if step:
                step(done, len(stale))
            if read.digest is not None and seen_ns:
                rows.append(_row(read, read.digest, seen_ns))
            if len(rows) >= _SAVE_EVERY:
                index.save(rows, gone)
                rows, gone = [], ()
            yield read
    if rows or (gone and index.whole):
        index.save(rows, gone)


def _row(read: Read, digest: bytes, seen_ns: int) -> Row:
    told, spot = read.told, read.spot
    fault, row = (told.fault, ()) if isinstance(told, Broken) else ("", told.as_row())
    return Row(Kept(spot.folder, spot.signature, seen_ns, digest, fault, row), read.words)
