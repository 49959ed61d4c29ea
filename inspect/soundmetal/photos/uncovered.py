"""Photographs that look like one on which something is covered, and are not covered themselves: held back by name.

Whoever covers a face on one photograph of a burst, or on the one that came by mail, easily forgets the other. Such a
double goes into no page until somebody says so. A look too many costs a line to write, one too few shows a face, so
that this looks further than `doubles` does: at the picture framed a little narrower and wider, turned and mirrored.
"""

from __future__ import annotations

import contextlib
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from soundmetal.errors import PhotoError
from soundmetal.photos.copies import Copy
from soundmetal.photos.covers import Outline
from soundmetal.photos.doubles import fingerprint
from soundmetal.photos.pixels import Levels, grey
from soundmetal.photos.scan import Found, Refused
from soundmetal.photos.settings import settings

#: Fingerprints, one a number.
_Prints = NDArray[np.uint64]
#: Where a narrower frame lies in the wider one, in each direction: at one end, in the middle, at the other.
_STANDS: Final = (0.0, 0.5, 1.0)
_UNTIL: Final = (
    "It stays out of every page until you cover it as well; or write, under its name under photos, leave_out: true, "
    "or nothing_to_cover: true where there is nothing to hide."
)


@dataclass(frozen=True)
class Looks:
    """Fingerprints of one picture: `whole` as it is, `all` framed narrower as well; of a covered one in all turns."""

    whole: _Prints
    all: _Prints


def uncovered(
    founds: Iterable[Found],
    copies: Mapping[str, Copy],
    covered: Mapping[str, frozenset[Outline]],
    cleared: Collection[str] = (),
) -> tuple[Refused, ...]:
    """Name the photographs that have a copy and no cover and look like one that has a cover, in the order given.

    `covered` gives the covers by name; those of photographs that are left out count as well. `cleared`: names of
    which a person said that there is nothing to cover. What holds for one name of a picture holds for its others.
    Nothing is read as long as nothing is covered. Raises PhotoError when a copy cannot be read.
    """
    founds = tuple(founds)
    hidden = {found.sha256: found for found in founds if found.name in covered}
    if not hidden:
        return ()
    settled = {*hidden, *(found.sha256 for found in founds if found.name in cleared)}
    known = tuple(_of_covered(hidden.values()))
    limit = settings().quality.doubles.covered_bits
    held = []
    for found in founds:
        if found.name in copies and found.sha256 not in settled:
            own = looks(grey(copies[found.name].path).levels)
            if like := next((name for name, look in known if apart(look, own) <= limit), None):
                held.append(Refused(found.name, f"looks like {like}, on which something is covered", _UNTIL))
    return tuple(held)


def _of_covered(founds: Iterable[Found]) -> Iterator[tuple[str, Looks]]:
    """Read the originals, whose pixels are all there; one that cannot be decoded has no picture to look like."""
    for found in founds:
        with contextlib.suppress(PhotoError):
            yield found.name, looks_in_all_turns(grey(found.path).levels)


def looks_in_all_turns(levels: Levels) -> Looks:
    """Give the fingerprints of a grey picture in its four turns and those of its mirror image."""
    of_each = [looks(np.ascontiguousarray(one)) for one in _turned(levels)]
    return Looks(np.concatenate([one.whole for one in of_each]), np.concatenate([one.all for one in of_each]))


def _turned(levels: Levels) -> Iterator[Levels]:
    """Give the four turns of a picture and of its mirror image: a message loses the mark that says which is up."""
    for quarters in range(4):
        turned = np.rot90(levels, quarters)
        yield turned
        yield turned[:, ::-1]


def looks(levels: Levels) -> Looks:
    """Give the fingerprints of a grey picture as it lies."""
    whole = np.array([fingerprint(levels)], dtype=np.uint64)
    frames = [fingerprint(frame) for frame in _frames(levels, settings().quality.doubles.covered_frames)]
    return Looks(whole, np.concatenate([whole, np.array(frames, dtype=np.uint64)]))


def _frames(levels: Levels, shares: Iterable[float]) -> Iterator[Levels]:
    """Cut narrower frames out of a picture, each share of its sides at nine places.

    >>> [frame.shape for frame in _frames(np.zeros((50, 100), dtype=np.uint8), [0.9])][:2]
    [(45, 90), (45, 90)]
    """
    high, wide = levels.shape
    for share in shares:
        rows, columns = round(high * share), round(wide * share)
        for down in _STANDS:
            for across in _STANDS:
                top, left = round((high - rows) * down), round((wide - columns) * across)
                yield np.ascontiguousarray(levels[top : top + rows, left : left + columns])


def apart(covered: Looks, other: Looks) -> int:
    """Count the bits between the likest of them: one framed as it is, the other as it is or narrower.

    >>> scene = np.kron(np.random.default_rng(1).integers(0, 255, (6, 8), np.uint8), np.ones((50, 50), np.uint8))
    >>> apart(looks_in_all_turns(scene), looks(np.ascontiguousarray(scene[:, ::-1])))
    0
    """
    return min(_nearest(covered.all, other.whole), _nearest(covered.whole, other.all))


def _nearest(some: _Prints, others: _Prints) -> int:
    return int(np.bitwise_count(some[:, None] ^ others[None, :]).min())
