"""What the closing report is told: one documented dataclass for its template, and its rows."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from soundmetal.report.contexts import PhotoView


@dataclass(frozen=True)
class TimeColumn:
    """The photographs of a place from one time: its name, the pictures, or the words for none."""

    name: str
    photos: tuple[PhotoView, ...]
    none: Markup


@dataclass(frozen=True)
class DonePlace:
    """One place that was put right: what was found there (`plate` with its words), what was done, photographs."""

    number: int
    reference: str
    name: str
    plain: str
    plate: Markup
    caption: Markup
    level: str
    found: tuple[Markup, ...]
    done: Markup
    note: str
    note_lang: str
    columns: tuple[TimeColumn, ...]


@dataclass(frozen=True)
class StayingPlace:
    """One place that is as it was: its level, why, and the caution where it touches safety."""

    number: int
    name: str
    words: Markup
    caution: Markup


@dataclass(frozen=True)
class LookLine:
    """What to look at, and when."""

    when: Markup
    what: Markup


@dataclass(frozen=True)
class HistoryLine:
    """One thing that was sent or came back: its words and the fingerprint of its file, empty where there is none."""

    words: Markup
    sha256: str


@dataclass(frozen=True)
class Closing:
    """The closing report: what was found and done, what stays, what to look at, the history, and no certificate."""

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
    facts: tuple[Markup, ...]
    closed: Markup
    lead: Markup
    more: tuple[Markup, ...]
    stays: tuple[StayingPlace, ...]
    look: tuple[LookLine, ...]
    done: tuple[DonePlace, ...]
    unseen: Markup
    history: tuple[HistoryLine, ...]
    certify: Markup
