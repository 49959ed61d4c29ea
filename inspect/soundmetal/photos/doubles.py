"""Photographs that show the same twice: grouped by a fingerprint, the best of each named, nothing left out.

The fingerprint is the well-known perceptual hash by the discrete cosine transform, written anew from its description
(from memory): shrink the grey picture to 32 x 32, transform, keep the 8 x 8 coarsest waves, and note for each whether
it is above their median. 64 bits; two pictures are as far apart as the bits that differ. The plain hash by brightness
differences between neighbours was measured beside it and told different photographs apart less well.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from soundmetal.photos.pixels import Grey, Levels, grey
from soundmetal.photos.quality import Quality, assess
from soundmetal.photos.quality_settings import DoubleSettings
from soundmetal.photos.settings import settings
from soundmetal.steps import Step

_SIDE: Final = 32
_WAVES: Final = 8
_FAR: Final = 65
_SOURCE: Final = "photos.yaml: quality.doubles"


@dataclass(frozen=True)
class Seen:
    """One photograph as it counts here: its name, its fingerprint of 64 bits, its quality."""

    name: str
    fingerprint: int
    quality: Quality


@dataclass(frozen=True)
class Group:
    """Photographs that look alike, by name; the best of them, and why it is."""

    names: tuple[str, ...]
    best: str
    why: Step


def seen(
    name: str,
    source: Path | bytes | NDArray[np.uint8] | Grey,
    size_mm: float | None = None,
    *,
    long_side_px: int | None = None,
) -> Seen:
    """Read a photograph once and judge it, for `group` and for its own problems. As `quality.assess`."""
    small = grey(source)
    return Seen(name, fingerprint(small.levels), assess(small, size_mm, long_side_px=long_side_px))


def fingerprint(levels: Levels) -> int:
    """Give the fingerprint of a grey picture, 64 bits.

    >>> patches = np.random.default_rng(1).integers(0, 255, (6, 8), dtype=np.uint8)
    >>> large = np.kron(patches, np.ones((50, 50), dtype=np.uint8))
    >>> distance(fingerprint(large), fingerprint(large[::2, ::2]))
    0
    """
    small = np.asarray(Image.fromarray(levels).resize((_SIDE, _SIDE), Image.Resampling.BOX), dtype=np.float64)
    waves = (_cosines() @ small @ _cosines().T).ravel()
    bits = np.packbits(waves > np.median(waves[1:]))  # the first is the mean brightness, no wave
    return int.from_bytes(bits.tobytes(), "big")


@cache
def _cosines() -> NDArray[np.float64]:
    """Give the coarsest waves of the discrete cosine transform (type II, from memory), one a row."""
    middle = np.arange(_SIDE) + 0.5
    waves: NDArray[np.float64] = np.cos(np.pi / _SIDE * np.outer(np.arange(_WAVES), middle))
    return waves


def distance(one: int, other: int) -> int:
    """Count the bits in which two fingerprints differ.

    >>> distance(0b1100, 0b1010)
    2
    """
    return (one ^ other).bit_count()


def group(photos: Iterable[Seen]) -> tuple[Group, ...]:
    """Find the photographs that look alike, groups in order of their first name.

    Within a group every two look alike (complete linkage): a walk along a rocker, each photograph like the next, does
    not become one group. Photographs that show nothing are in none, for they have no look. The order in which they
    come does not matter.
    """
    rules = settings().quality
    having = sorted((p for p in photos if p.quality.structure >= rules.min_structure), key=lambda p: p.name)
    groups = _linked(_distances(having), rules.doubles.max_bits)
    return tuple(_told([having[at] for at in members], rules.doubles) for members in groups)


def _distances(photos: Sequence[Seen]) -> NDArray[np.uint8]:
    """Give the distance of every two; of one to itself a distance that no two can have."""
    bits = np.array([photo.fingerprint for photo in photos], dtype=np.uint64)
    apart: NDArray[np.uint8] = np.bitwise_count(bits[:, None] ^ bits[None, :])
    np.fill_diagonal(apart, _FAR)
    return apart


def _linked(apart: NDArray[np.uint8], limit: int) -> list[list[int]]:
    """Join the two nearest groups again and again while no two members are further apart than the limit.

    Of equally near ones the first by name are joined first.
    """
    with_neighbour = np.nonzero((apart <= limit).any(axis=1))[0] if apart.size else np.array([], dtype=int)
    members = [[int(at)] for at in with_neighbour]
    apart = apart[np.ix_(with_neighbour, with_neighbour)].copy()
    while apart.size and apart.min() <= limit:
        one, other = (int(at) for at in np.unravel_index(int(apart.argmin()), apart.shape))
        furthest = np.maximum(apart[one], apart[other])
        apart[one], apart[:, one] = furthest, furthest
        apart[other], apart[:, other] = _FAR, _FAR
        members[one] += members[other]
        members[other] = []
    return sorted(sorted(joined) for joined in members if len(joined) > 1)


def _told(alike: Sequence[Seen], rules: DoubleSettings) -> Group:
    """Choose the best of a group: fewest problems, then sharpest, best lit, most pixels, first by name."""
    left = list(alike)
    count: dict[str, object] = {"alike_count": len(left)}
    why = Step(
        "{alike_count} photographs look alike and are equally good; this is the first of them.", count, _SOURCE
    )
    steps = (
        (
            _least_wrong,
            Step("Of {alike_count} photographs that look alike this has the fewest faults.", count, _SOURCE),
        ),
        (_sharpest, Step("Of {alike_count} photographs that look alike this is the sharpest.", count, _SOURCE)),
        (_best_lit, Step("Of {alike_count} photographs that look alike this is the best lit.", count, _SOURCE)),
        (_largest, Step("Of {alike_count} photographs that look alike this has the most pixels.", count, _SOURCE)),
    )
    for keep, reason in steps:
        kept = keep(left, rules)
        if len(kept) < len(left):
            left, why = kept, reason
        if len(left) == 1:
            break
    return Group(tuple(photo.name for photo in alike), left[0].name, why)


def _least_wrong(photos: list[Seen], _rules: DoubleSettings) -> list[Seen]:
    least = min(len(photo.quality.problems) for photo in photos)
    return [photo for photo in photos if len(photo.quality.problems) == least]


def _sharpest(photos: list[Seen], rules: DoubleSettings) -> list[Seen]:
    """Keep those that are as good as the sharpest; one of which nothing is known counts as blurred."""
    known = [photo.quality.sharpness or 0.0 for photo in photos]
    enough = (1 - rules.equal_sharpness) * max(known)
    return [photo for photo, sharp in zip(photos, known, strict=True) if sharp >= enough]


def _best_lit(photos: list[Seen], rules: DoubleSettings) -> list[Seen]:
    """Keep those whose mean brightness is as near to middle grey as the nearest, white places counted against it."""
    off = [abs(photo.quality.mean - 0.5) + photo.quality.clipped for photo in photos]
    return [photo for photo, wrong in zip(photos, off, strict=True) if wrong <= min(off) + rules.equal_light]


def _largest(photos: list[Seen], _rules: DoubleSettings) -> list[Seen]:
    most = max(photo.quality.long_side_px for photo in photos)
    return [photo for photo in photos if photo.quality.long_side_px == most]
