"""Which zone a photograph shows: by the record, its keywords, caption, folder, file name; never by a silent guess."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Final, Literal

from soundmetal.car.models import Body
from soundmetal.photos.exif import PhotoFacts
from soundmetal.photos.scan import Found
from soundmetal.photos.settings import settings
from soundmetal.photos.vocabulary import ASKS, Lexicon, Vocabulary, family_names, part_names, tokens, vocabulary
from soundmetal.record.models import PhotoNote
from soundmetal.words import nearest

By = Literal["record", "keyword", "caption", "folder", "file name"]
Scores = tuple[tuple[str, float], ...]
#: What people wrote into the photograph itself; a folder's or a file's name has less room to name other steel too.
_WRITTEN: Final = ("keyword", "caption")


@dataclass(frozen=True)
class Placed:
    """Where a photograph belongs, and who says so.

    `sure` is false when there is no zone, when a misspelt word had to be guessed, or when another keyword names other
    steel as well: a person should look. `best` lists the likeliest zones with a score from 0 to 1. Where there is no
    zone, `open_to` holds all that would fit what is said (empty: nothing is said), and `asks_driver` tells that a
    side was named by who sits there.
    """

    zone: str | None = None
    by: By | None = None
    sure: bool = False
    best: Scores = ()
    open_to: tuple[str, ...] = ()
    asks_driver: bool = False


@dataclass(frozen=True)
class Match:
    """What one text says: the zone when just one fits, all that fit, the likeliest, how many families are named."""

    zone: str | None = None
    sure: bool = False
    fits: tuple[str, ...] = ()
    best: Scores = ()
    families: int = 0
    asks_driver: bool = False


class Matcher:
    """Reads texts for one body; `driver_sits` (left or right) makes "driver side" a side."""

    def __init__(self, body: Body, words: Vocabulary, driver_sits: str | None = None) -> None:
        rules = settings().tags
        self._count = rules.best
        self.zones = tuple(zone.id for zone in body.zones)
        self._zones = {zone: tuple(zone.split(".")) for zone in self.zones}
        self._ids = {tokens(zone.id): zone.id for zone in body.zones}
        self._families = Lexicon(family_names(body, words), rules)
        self._parts = Lexicon(part_names(body, words, driver_sits), rules)
        self._offered: dict[str, set[str]] = {}
        for family, *parts in self._zones.values():
            self._offered.setdefault(family, set()).update(parts)

    def match(self, text: str) -> Match:
        """Tell which zone a text names."""
        words = tokens(text)
        whole = self._whole_id(words)
        if whole:
            # "body mount left 3" may be mount 3 or photograph 3: only the id as it is written leaves no doubt.
            plain = not whole[-1].isdigit() or text.strip().casefold() == whole
            return Match(whole, plain, (whole,), ((whole, 1.0),), 1)
        families, parts = self._said(words)
        if not families:
            return Match()
        scored = [self._score(zone, families, parts) for zone in self._zones if self._zones[zone][0] in families]
        fits = tuple(zone for zone, _score, fit in scored if fit)
        ranked = sorted(scored, key=lambda row: -row[1])[: self._count]
        best = tuple((zone, round(score, 3)) for zone, score, _fit in ranked if score)
        exact = all(likeness == 1.0 for likeness in (*families.values(), *parts.values()))
        one = fits[0] if len(fits) == 1 else None
        return Match(one, bool(one) and exact and len(families) == 1, fits, best, len(families), ASKS in parts)

    def _whole_id(self, words: tuple[str, ...]) -> str | None:
        """Find a plain zone id, with or without a running number behind it."""
        for cut in range(len(words), 0, -1):
            if words[:cut] in self._ids:
                return self._ids[words[:cut]]
            if not words[cut - 1].isdigit():
                break
        return None

    def _said(self, words: tuple[str, ...]) -> tuple[dict[str, float], dict[str, float]]:
        families, parts = self._families.exact(words), self._parts.exact(words)
        known = {at for hit in (*families, *parts) for at in range(hit.start, hit.end)}
        if not families:
            families = self._families.alike(words, known)
            known |= {at for hit in families for at in range(hit.start, hit.end)}
        parts = parts + self._parts.alike(words, known)
        return {hit.meaning: hit.likeness for hit in families}, {hit.meaning: hit.likeness for hit in parts}

    def _score(self, zone: str, families: dict[str, float], parts: dict[str, float]) -> tuple[str, float, bool]:
        """Score one zone: parts named and right, less those named that only its neighbours have."""
        family, *own = self._zones[zone]
        right = sum(parts.get(part, 0.0) for part in own)
        wrong = (parts.keys() & self._offered[family]) - set(own)
        score = families[family] * (1 + right - len(wrong)) / (1 + len(own))
        return zone, max(0.0, score), not wrong


def place(
    found: Found, facts: PhotoFacts, note: PhotoNote | None, body: Body, words: Vocabulary | None = None
) -> Placed:
    """Find the zone of one photograph.

    The record decides; else keywords, captions, folders from the inside out, the file name, in this order. What an
    earlier one leaves open ("rocker", without a side) a later one may complete, but not contradict. `words` replaces
    the vocabulary.
    """
    return place_by(Matcher(body, words or vocabulary()), found.name, facts.keywords, note, facts.captions)


def place_by(
    reader: Matcher, name: str, keywords: tuple[str, ...], note: PhotoNote | None, captions: tuple[str, ...] = ()
) -> Placed:
    """Do the same with a reader made before, for many photographs of one body."""
    if note and note.zone:
        return _by_record(note.zone, reader.zones)
    left: Match | None = None
    asks, said = False, list[str]()
    for by, texts in _sources(name, keywords, captions):
        said += texts
        alone = [match for match in map(reader.match, texts) if match.zone]
        together = reader.match(" ".join(said))
        asks |= together.asks_driver
        if by in _WRITTEN and len({match.zone for match in alone}) > 1:  # it may show both: none is chosen
            return Placed(best=together.best, open_to=tuple(sorted({match.zone for match in alone if match.zone})))
        for match in (*alone[:1], together):
            if match.zone and (left is None or match.zone in left.fits):
                other_steel = by in _WRITTEN and together.families > 1
                return Placed(match.zone, by, match.sure and not other_steel, match.best)
        if left is None and together.families:
            left = together
    if left is None:
        return Placed()
    return Placed(best=left.best, open_to=left.fits, asks_driver=asks)


def _by_record(zone: str, zones: tuple[str, ...]) -> Placed:
    if zone in zones:
        return Placed(zone, "record", True, ((zone, 1.0),))
    return Placed(best=tuple((near, 0.0) for near in nearest(zone, zones, settings().tags.best)))


def _sources(name: str, keywords: tuple[str, ...], captions: tuple[str, ...]) -> Iterator[tuple[By, list[str]]]:
    """Give what may name the zone, in the order of trust; folders from the inside out."""
    path = PurePosixPath(name)
    if keywords:
        yield "keyword", list(keywords)
    if captions:
        yield "caption", list(captions)
    folders = [part for part in reversed(path.parent.parts) if part != "."]
    if folders:
        yield "folder", folders
    yield "file name", [path.stem]
