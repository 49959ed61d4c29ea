"""The reader's language: every sentence, number, date, length and price is put into words here, and only here.

A language is one file, `data/translations/<code>.po`, read at run time. English is the language of the sentences
themselves. A sentence names its fields, and the field's suffix tells how its value is shown:

>>> us = language("en", Units.US, "USD")
>>> str(us.text("A seam of {seam_mm} in steel of {steel_thick_mm}.", seam_mm=138.0, steel_thick_mm=0.91))
'A seam of 5\\xa07/16\\xa0in in steel of 0.036\\xa0in.'
"""

from __future__ import annotations

import datetime as dt
import gettext as plurals
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.pofile import PoFileError, read_po
from markupsafe import Markup, escape

from soundmetal.data import DATA
from soundmetal.errors import Place, RenderError, SettingsError
from soundmetal.grade.models import Spread, Step
from soundmetal.record.terms import Units
from soundmetal.report import formats
from soundmetal.scope.models import MoneyRange
from soundmetal.words import did_you_mean

TRANSLATIONS = DATA / "translations"
SOURCE = "en"
_FIELD = re.compile(r"\{(\w+)\}")


def languages() -> tuple[str, ...]:
    """Name the languages that exist: English and one for each file of translations.

    >>> languages()
    ('en', 'es')
    """
    return tuple(sorted({SOURCE, *(path.stem for path in TRANSLATIONS.glob("*.po"))}))


@cache
def catalogue(code: str) -> Catalog | None:
    """Read the translations of one language; None for English. SettingsError names the languages that exist."""
    if code == SOURCE:
        return None
    if code not in languages():
        known = ", ".join(languages())
        raise SettingsError(
            f'there is no language "{code}"', todo=f"{did_you_mean(code, languages())} There are: {known}.".strip()
        )
    return _read(TRANSLATIONS / f"{code}.po", code)


def _read(path: Path, code: str) -> Catalog:
    try:
        with path.open("rb") as file:
            return read_po(file, locale=code, abort_invalid=True)
    except (OSError, ValueError, PoFileError) as error:
        raise SettingsError(
            f"cannot read the translations: {error}", place=Place(path), todo="Mend the file."
        ) from error


@dataclass(frozen=True)
class Language:
    """A language with the reader's units and currency.

    `zones` gives the trade names that `_zone` fields show; `own_words` what the shop itself calls things, by English.
    """

    code: str
    units: Units
    currency: str
    zones: Mapping[str, str] = field(default_factory=dict)
    round_to: Decimal = Decimal(1)
    own_words: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def look(self) -> formats.Look:
        """How this reader's numbers look."""
        return formats.Look(self.code, self.units, self.currency, self.round_to, self.word)

    def with_zones(self, zones: Mapping[str, str], own_words: Mapping[str, str] | None = None) -> Language:
        """Give the same language with the zone names of one body, and the words of one shop."""
        return replace(self, zones=zones, own_words=own_words or {})

    def translated(self, message: str, context: str = "") -> str:
        """Give a message in this language, the English where the file has none."""
        found = self._lookup(message, context or None)
        return found if isinstance(found, str) and found else message

    def _lookup(self, message: str, context: str | None) -> Any:
        book = catalogue(self.code)
        if book is None:
            return None
        entry = book.get(message, context)
        return entry.string if entry is not None and not entry.fuzzy else None

    def word(self, term: str, context: str = "") -> str:
        """Give one of the fixed words, such as a level or a method; the context tells two same words apart."""
        in_context = self._lookup(term, context) if context else None
        return in_context or self._lookup(term, None) or self.own_words.get(term, term)

    def own(self, names: Mapping[str, str]) -> str:
        """Give a name that the data tells in several languages; any other language translates the English one."""
        return names.get(self.code) or self.translated(names[SOURCE])

    def text(self, message: str, /, **values: object) -> Markup:
        """Give a whole sentence in this language, its fields filled and escaped."""
        return self._filled(self.translated(message), values)

    def plural(self, one: str, many: str, count: int, **values: object) -> Markup:
        """Give the sentence for one or for many; `{count}` is the number."""
        form = int(self._plural_rule(count))
        found = self._lookup(one, None)
        forms = found if isinstance(found, (tuple, list)) and all(found) else (one, many)
        return self._filled(forms[min(form, len(forms) - 1)], {"count": self.look.whole(count), **values})

    @property
    def _plural_rule(self) -> Callable[[int], int]:
        book = catalogue(self.code)
        return plurals.c2py(book.plural_expr) if book is not None else lambda n: int(n != 1)

    def sentence(self, step: Step) -> Markup:
        """Put a step into words, safe to set on a page. RenderError if the step lacks a field of its sentence."""
        return self._filled(self.translated(step.text), step.values)

    def _filled(self, message: str, values: Mapping[str, object]) -> Markup:
        def fill(match: re.Match[str]) -> str:
            name = match[1]
            if name not in values:
                raise RenderError(
                    f'the sentence "{message}" has no value for {{{name}}}', todo="Report this sentence."
                )
            shown = self.shown(name, values[name])
            if f"_{name}".endswith("_zone") and not isinstance(shown, Markup) and _inside(match):
                shown = lower_first(str(shown))
            return str(escape(shown))

        return Markup(_FIELD.sub(fill, str(escape(message))))  # noqa: S704 - message and values are escaped above

    def shown(self, name: str, value: object) -> object:
        """Show one value as the suffix of its field's name asks; a value without a known suffix stays as it is."""
        if isinstance(value, Markup):
            return value
        if f"_{name}".endswith("_zone"):
            return self.zone(str(value))
        if f"_{name}".endswith("_word"):
            return self.word(str(value), name.removesuffix("_word"))
        show = next((show for suffix, show in self._by_suffix if f"_{name}".endswith(suffix)), None)
        return value if show is None else show(value)

    @cached_property
    def _by_suffix(self) -> tuple[tuple[str, Callable[[Any], str]], ...]:
        look = self.look
        return (
            ("_thick_mm", look.thickness),
            ("_mm2", look.area),
            ("_mm", look.length),
            ("_share", lambda share: look.percent(100 * share)),
            ("_pct", look.percent),
            ("_h", look.hours),
            ("_money", look.money),
            ("_count", look.whole),
            ("_date", self.date),
        )

    def grouped(self, steps: Iterable[Step], most: int | None = None) -> tuple[Markup, ...]:
        """Say several sentences; those that differ only in their zone are said once, with all the zones.

        With more zones than `most`, only their number is told.
        """
        groups: dict[tuple[str, str], list[Step]] = {}
        for step in steps:
            rest = {key: value for key, value in step.values.items() if not key.endswith("_zone")}
            groups.setdefault((step.text, repr(sorted(rest.items()))), []).append(step)
        return tuple(self._said_once(group, most) for group in groups.values())

    def _said_once(self, group: Sequence[Step], most: int | None) -> Markup:
        first = group[0]
        field_name = next((key for key in first.values if key.endswith("_zone")), "")
        if len(group) == 1 or not field_name:
            return self.sentence(first)
        if most is not None and len(group) > most:
            shown = self.plural("{count} part", "{count} parts", len(group)).unescape()
        else:
            names = [self.zone(str(step.values[field_name])) for step in group]
            shown = "; ".join([names[0], *map(lower_first, names[1:])])  # names hold commas of their own
        return self._filled(self.translated(first.text), {**first.values, field_name: shown})

    def zone(self, zone_id: str) -> str:
        """Give the trade name of a zone; its id where the body does not know it."""
        return self.zones.get(zone_id, zone_id)

    def date(self, day: dt.date) -> str:
        """Give a date written out."""
        return self.look.date(day)

    def hours_range(self, hours: Spread) -> Markup:
        """Say a range of hours: low to high, with a decimal under ten; one figure where both ends look alike."""
        decimals = 0 if hours.high >= 10 else 1
        low, high = self.look.number(hours.low, decimals), self.look.number(hours.high, decimals)
        if low == high:
            return self.text("about {hours} hours", hours=high)
        return self.text("{low} to {high} hours", low=low, high=high)

    def money_range(self, price: MoneyRange) -> Markup:
        """Say a range of money: low to high, rounded as the shop does."""
        return self.text("{low_money} to {high_money}", low_money=price.low, high_money=price.high)

    def share_range(self, share: Spread) -> Markup:
        """Say a range of shares in per cent."""
        low, high = self.look.whole(100 * share.low), self.look.percent(100 * share.high)
        return self.text("{low} to {high}", low=low, high=high)


def lower_first(name: str) -> str:
    """Give a name as it stands inside a sentence; a single capital, as in "A-pillar", stays.

    >>> lower_first("Left rocker"), lower_first("A-pillar")
    ('left rocker', 'A-pillar')
    """
    return name[:1].lower() + name[1:] if name[1:2].islower() else name


def _inside(match: re.Match[str]) -> bool:
    """Say whether a field stands inside its sentence, not at the beginning of one."""
    before = match.string[: match.start()].rstrip()
    return bool(before) and before[-1] not in ".!?¡¿"


def language(code: str, units: Units, currency: str, *, round_to: Decimal = Decimal(1)) -> Language:
    """Give the language by its code, with units and currency. SettingsError names those that exist."""
    catalogue(code)
    return Language(code, units, currency, round_to=round_to)
