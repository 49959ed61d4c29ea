"""The nearest right word, for messages and for reading tags. One place, so that every door suggests alike."""

from __future__ import annotations

from collections.abc import Iterable

from rapidfuzz import fuzz, process, utils

#: Under this likeness (0 to 100) a suggestion would confuse more than it helps (chosen by trying, no source).
SUGGEST_FROM = 60.0


def nearest(word: str, known: Iterable[str], count: int = 1) -> list[str]:
    """Give up to `count` known words that look most like `word`, best first; empty if none is near.

    >>> nearest("rocker.lef.outer", ["rocker.left.outer", "rocker.right.outer", "cowl"])
    ['rocker.left.outer']
    """
    found = process.extract(
        word,
        sorted(known),
        scorer=fuzz.ratio,
        processor=utils.default_process,
        limit=count,
        score_cutoff=SUGGEST_FROM,
    )
    return [name for name, _score, _index in found]


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Say `Did you mean "x"?`, or an empty string if nothing is near.

    >>> did_you_mean("estrib", ["estribo", "piso"])
    'Did you mean "estribo"?'
    """
    best = nearest(word, known)
    return f'Did you mean "{best[0]}"?' if best else ""
