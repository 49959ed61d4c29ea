"""What the pages about a change are told: the amendment that an owner answers, and two states side by side."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from soundmetal.report.contexts import PhotoView


@dataclass(frozen=True)
class SteelView:
    """The steel of one place at one time: the time's word, plate section, its words, the level."""

    when: Markup
    plate: Markup
    caption: Markup
    level: str


@dataclass(frozen=True)
class ChangedFinding:
    """One place that is not what it was, or is new.

    `why` it changed, `photo` its newest photograph (one or none), `steel` then and now, `work` the method and what it
    takes, then and now; `field` the form's field of the answer, empty where nothing is asked.
    """

    number: int
    anchor: str
    reference: str
    name: str
    why: tuple[Markup, ...]
    photo: tuple[PhotoView, ...]
    note_lang: str
    steel: tuple[SteelView, ...]
    method: Markup
    work: tuple[Markup, ...]
    field: str


@dataclass(frozen=True)
class OpenFinding:
    """One place that did not change and that the owner has not answered yet."""

    number: int
    anchor: str
    reference: str
    name: str
    words: Markup
    field: str


@dataclass(frozen=True)
class GoneLine:
    """One place that is off the list."""

    name: str
    words: Markup


@dataclass(frozen=True)
class SumRow:
    """One figure of the whole work: its name, then, now, what lies between."""

    name: Markup
    then: Markup
    now: Markup
    more: Markup


@dataclass(frozen=True)
class Changed:
    """Page 1 of an amendment: what changed since the owner answered, what it adds, and the questions.

    `strips` are the price ranges then and now on one scale; `notes` say what the figures hold, and what is kept.
    """

    title: str
    facts: tuple[Markup, ...]
    addressed: Markup
    lead: Markup
    more: Markup
    findings: tuple[ChangedFinding, ...]
    gone: tuple[GoneLine, ...]
    sums: tuple[SumRow, ...]
    strips: tuple[Markup, ...]
    still_open: tuple[OpenFinding, ...]
    notes: tuple[Markup, ...]


@dataclass(frozen=True)
class SameLine:
    """One place that is as it was told before: its words, and what the owner said of it."""

    number: int
    anchor: str
    name: str
    words: Markup
    answered: Markup


@dataclass(frozen=True)
class AsBefore:
    """What has not changed since the owner answered, one line a place."""

    kept: Markup
    same: tuple[SameLine, ...]


@dataclass(frozen=True)
class CompareSide:
    """One place in one state: the sample of its level, the level's word, what was planned there."""

    swatch: Markup
    level: Markup
    work: Markup


@dataclass(frozen=True)
class CompareRow:
    """One place that is not the same in both: then, in the other, why, and what lies between."""

    reference: str
    name: str
    sides: tuple[CompareSide, ...]
    why: str
    more: Markup


@dataclass(frozen=True)
class ComparedPage:
    """Two states side by side: which they are (`heads`), figures of the whole work, the places that changed.

    `same` names the others, and what they take more or less; `prints` are the fingerprints of what each asked.
    """

    lang: str
    paper: str
    title: str
    author: str
    subject: str
    created: str
    css: Markup
    screen_css: Markup
    page_css: Markup
    shop: str
    shop_lines: tuple[str, ...]
    car: str
    lead: Markup
    aim: Markup
    heads: tuple[Markup, ...]
    sums: tuple[SumRow, ...]
    strips: tuple[Markup, ...]
    rows: tuple[CompareRow, ...]
    same: Markup
    prints: tuple[Markup, ...]
