"""Limits chosen on one half of the photographs and tried on the other, which had no part in the choice.

Everything made of one picture, and the two pictures that show one plate, goes to the same half. Each half gets its
share of each set: of the package index, of rusted steel, of the rest. The split of the index does not depend on
whether the others are here. Beside that, five folds: each fifth is judged by the limit that the other four choose, so
that all photographs count and no luck with the halves decides.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from degrade import SEED, Case, Score, score

from soundmetal.photos.quality import Kind, Quality
from soundmetal.photos.quality_settings import QualitySettings

#: Pictures whose names begin like this show one and the same thing.
SAME_SCENE = {"nat_train_000350": "one plate", "nat_train_000352": "one plate"}
FOLDS = 5
#: What `degrade` calls a photograph to which nothing was done.
AS_IT_IS = "as taken"

Judged = Sequence[tuple[Case, Quality]]


@dataclass(frozen=True)
class Signal:
    """What a fault is told by: its figure, its limit in the settings, whether a larger figure is the worse one."""

    figure: Callable[[Quality], float | None]
    limit: Callable[[QualitySettings], float]
    larger_is_worse: bool = False

    def passed(self, quality: Quality, limit: float) -> bool:
        """Say whether the figure is beyond a limit."""
        value = self.figure(quality)
        return value is not None and (value > limit if self.larger_is_worse else value < limit)


SIGNALS = {
    Kind.BLUR: Signal(lambda quality: quality.sharpness, lambda rules: rules.min_sharpness),
    Kind.DARK: Signal(lambda quality: quality.bright, lambda rules: rules.min_light),
    Kind.WASHED_OUT: Signal(lambda quality: quality.clipped, lambda rules: rules.max_clipped, larger_is_worse=True),
    Kind.BACKGROUND: Signal(lambda quality: quality.structure, lambda rules: rules.min_structure),
}


def scene(picture: str) -> str:
    """Name what a picture shows."""
    return next((same for start, same in SAME_SCENE.items() if f"/{start}" in picture), picture)


def dealt(pictures: Iterable[str], hands: int) -> list[frozenset[str]]:
    """Deal pictures out by scene, by a fixed seed, each set evenly."""
    scenes: dict[str, list[str]] = {}
    for name in sorted(pictures):
        scenes.setdefault(scene(name), []).append(name)
    sets: dict[str, list[str]] = {}
    for one, names in scenes.items():
        sets.setdefault(_set(names[0]), []).append(one)
    rng = np.random.default_rng(SEED)
    order = [one for name in sorted(sets) for one in rng.permutation(sets[name]).tolist()]
    return [frozenset(name for one in order[at::hands] for name in scenes[one]) for at in range(hands)]


def _set(name: str) -> str:
    folder = name.split("/")[0]
    return folder if folder in {"photos", "rust"} else "index"


def halves(pictures: Iterable[str]) -> tuple[frozenset[str], frozenset[str]]:
    """Give the half that chooses and the half that is reported on."""
    choosing, reporting = dealt(pictures, 2)
    return choosing, reporting


def of(judged: Judged, pictures: frozenset[str]) -> Judged:
    """Give what was judged of these pictures."""
    return [(case, quality) for case, quality in judged if case.picture in pictures]


def at_limit(kind: Kind, judged: Judged, signal: Signal, limit: float) -> Score:
    """Count how often a limit is right."""
    return score(kind, ((case, signal.passed(quality, limit)) for case, quality in judged))


def f1(counts: Score) -> float:
    """Weigh recall and precision alike: their harmonic mean (van Rijsbergen's F with beta 1, from memory)."""
    told = counts.hits + len(counts.false)
    return 2 * counts.hits / (told + counts.bad) if told + counts.bad else math.nan


def best_limit(kind: Kind, judged: Judged, signal: Signal) -> float:
    """Choose the limit of the largest F at which no photograph is called wrong as it was taken.

    Of neighbouring limits as good as it the middle of their whole stretch.
    """
    asked = [(case, quality) for case, quality in judged if kind in case.known]
    values = sorted({value for _case, quality in asked if (value := signal.figure(quality)) is not None})
    between = [(one + other) / 2 for one, other in pairwise(values)]
    worth = [_worth(at_limit(kind, asked, signal, limit)) for limit in between]
    first = worth.index(max(worth))
    last = next((at - 1 for at in range(first, len(worth)) if worth[at] < worth[first]), len(worth) - 1)
    return (values[first] + values[last + 1]) / 2


def _worth(counts: Score) -> float:
    return 0.0 if any(name.startswith(AS_IT_IS) for name in counts.false) else f1(counts)


def crossed(kind: Kind, judged: Judged, signal: Signal) -> tuple[Score, list[float]]:
    """Judge each fold by the limit that the others choose; give the counts of all, and the limits."""
    total, limits = Score(), []
    for fold in dealt({case.picture for case, _quality in judged}, FOLDS):
        others = [(case, quality) for case, quality in judged if case.picture not in fold]
        limits.append(best_limit(kind, others, signal))
        counts = at_limit(kind, of(judged, fold), signal, limits[-1])
        total = added(total, counts)
    return total, limits


def added(one: Score, other: Score) -> Score:
    """Count two scores together."""
    return Score(one.hits + other.hits, one.missed + other.missed, one.false + other.false, one.good + other.good)


def rounded(limit: float) -> float:
    """Give a limit to two figures, as it stands in the settings.

    >>> rounded(0.42731), rounded(0.0273)
    (0.43, 0.027)
    """
    return float(f"{limit:.2g}")


def line(counts: Score) -> str:
    """Say recall and precision with their counts."""
    return (
        f"recall {counts.recall:.3f} ({counts.hits} of {counts.bad})   precision {counts.precision:.3f} "
        f"({len(counts.false)} false of {counts.good} good)"
    )
