"""Words for zones, sides and places in both languages, folded so that spelling, accents and joins matter little."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from pydantic import BaseModel, ConfigDict, Field, ValidationError
from rapidfuzz.distance import OSA

from soundmetal.car.models import Body
from soundmetal.data import DATA, read_yaml
from soundmetal.errors import Place, SettingsError
from soundmetal.photos.settings import TagSettings, settings

FILE: Final = "car/vocabulary.yaml"
#: Words of a name that are looked at together: "esquina trasera de cabina" without its small words has three.
LONGEST: Final = 4
#: Meanings that no zone has: a side that depends on where the driver sits, or on the country.
ASKS, UNSURE = "? driver", "?"
_CAMEL = re.compile(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Za-z])(?=\d)|(?<=\d)(?=[A-Za-z])")
_SPLIT = re.compile(r"[^0-9A-Za-z]+")

Words = dict[str, dict[str, list[str]]]
_Find = Callable[[str], list[tuple[str, float]]]


class Vocabulary(BaseModel):
    """What people call the families of zones (first part of an id), the sides, and the places (its other parts).

    `unsure_sides` (driver, passenger, kerb) name a side only for who knows where the driver sits.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    families: Words
    sides: Words
    places: Words
    unsure_sides: Words = Field(default_factory=dict)


@cache
def vocabulary() -> Vocabulary:
    """Give the vocabulary that comes with the catalogue. Raises SettingsError when it is wrong."""
    try:
        return Vocabulary.model_validate(read_yaml(FILE))
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(str(part) for part in first["loc"])
        raise SettingsError(first["msg"], place=Place(DATA / FILE, key=key), todo="Correct this value.") from error


def tokens(text: str) -> tuple[str, ...]:
    """Fold a text to plain lower-case words and numbers; small words without meaning are dropped.

    >>> tokens("Estribo-Izquierdo del Ángulo3"), tokens("RockerLeft_outer")
    (('estribo', 'izquierdo', 'angulo', '3'), ('rocker', 'left', 'outer'))
    """
    plain = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    words = _SPLIT.split(_CAMEL.sub(" ", plain))
    skip = settings().tags.skip_words
    return tuple(word for word in (w.casefold() for w in words) if word and word not in skip)


@dataclass(frozen=True)
class Hit:
    """A known meaning met in a text: where (first word, one past the last) and how alike, 1 for the very word."""

    meaning: str
    start: int
    end: int
    likeness: float


class Lexicon:
    """Phrases without their blanks, and what they mean; one phrase may have more than one meaning."""

    def __init__(self, names: Iterable[tuple[str, str]], rules: TagSettings) -> None:
        self._meanings: dict[str, set[str]] = {}
        for phrase, meaning in names:
            joined = "".join(tokens(phrase))
            if joined:
                self._meanings.setdefault(joined, set()).add(meaning)
        self._rules = rules

    def exact(self, words: tuple[str, ...]) -> list[Hit]:
        """Find phrases word for word, the longest first; a word belongs to one phrase only."""
        return self._search(words, set(), self._same)

    def alike(self, words: tuple[str, ...], taken: set[int]) -> list[Hit]:
        """Find misspelt phrases among the words not taken yet."""
        return self._search(words, set(taken), self._near)

    def _search(self, words: tuple[str, ...], taken: set[int], find: _Find) -> list[Hit]:
        hits: list[Hit] = []
        for length in range(LONGEST, 0, -1):
            for start in range(len(words) - length + 1):
                span = range(start, start + length)
                if taken.isdisjoint(span):
                    met = find("".join(words[start : start + length]))
                    hits += [Hit(meaning, start, start + length, likeness) for meaning, likeness in met]
                    taken.update(span if met else ())
        return hits

    def _same(self, joined: str) -> list[tuple[str, float]]:
        return [(meaning, 1.0) for meaning in sorted(self._meanings.get(joined, ()))]

    def _near(self, joined: str) -> list[tuple[str, float]]:
        if len(joined) < self._rules.min_letters - 1 or any(c.isdigit() for c in joined):
            return []
        scored = {
            phrase: OSA.normalized_similarity(joined, phrase)
            for phrase in self._meanings
            if len(phrase) >= self._rules.min_letters
        }
        best = max(scored.values(), default=0.0)
        if best < self._rules.min_likeness:
            return []
        meanings = {m for phrase, score in scored.items() if score == best for m in self._meanings[phrase]}
        return [(meaning, best) for meaning in sorted(meanings)]


def family_names(body: Body, words: Vocabulary) -> list[tuple[str, str]]:
    """Give every phrase for the families that this body has, with the family."""
    families = {zone.id.split(".")[0] for zone in body.zones}
    return _phrases(families, words.families)


def part_names(body: Body, words: Vocabulary, driver_sits: str | None = None) -> list[tuple[str, str]]:
    """Give every phrase for sides and places that this body's zones have.

    A bare number is no phrase: in a file name it counts photographs far more often than mounts.
    """
    parts = {part for zone in body.zones for part in zone.id.split(".")[1:]}
    return _phrases(parts, {**words.places, **words.sides}) + unsure_names(words, driver_sits)


def unsure_names(words: Vocabulary, driver_sits: str | None = None) -> list[tuple[str, str]]:
    """Give the phrases that name a side by its use; while it is not known which, they mean `ASKS` or `UNSURE`.

    Known words they are in any case, so that none of them is taken for a misspelt side.
    """
    other = {"left": "right", "right": "left"}
    means = {"driver": driver_sits or ASKS, "passenger": other.get(driver_sits or "", ASKS)}
    return [
        (phrase, means.get(use, UNSURE))
        for use, by_language in words.unsure_sides.items()
        for phrases in by_language.values()
        for phrase in phrases
    ]


def _phrases(meanings: Iterable[str], known: Mapping[str, Mapping[str, list[str]]]) -> list[tuple[str, str]]:
    pairs: list[tuple[str, str]] = []
    for meaning in sorted(meanings):
        pairs += [] if meaning.isdigit() else [(meaning.replace("_", " "), meaning)]
        pairs += [(phrase, meaning) for phrases in known.get(meaning, {}).values() for phrase in phrases]
    return pairs
