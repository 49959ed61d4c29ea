"""What the packet's pages of sheets, of the order of work and of the calendar are told; see `shop_contexts`."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True)
class SheetView:
    """One stock sheet or `offcut`: number, steel, size in both units, how much of it is used, its drawing."""

    number: str
    steel: str
    size: str
    size_other: str
    offcut: bool
    words: tuple[Markup, ...]
    drawing: Markup


@dataclass(frozen=True)
class Sheets:
    """The sheets to cut; `notes` name blanks that are on none."""

    sheets: tuple[SheetView, ...]
    notes: tuple[Markup, ...]


@dataclass(frozen=True)
class StepLine:
    """One step of the order: its number, words, job, the steps it follows, hours, days, what it waits for.

    `spare` is by how many days it can slip without moving the end, empty where it is `critical`.
    """

    number: int
    words: Markup
    findings: str
    after: str
    hours: str
    days: Markup
    spare: str
    critical: bool
    away: bool
    hold: Markup


@dataclass(frozen=True)
class Order:
    """Every step with its days and what must be done before it.

    `all_wait` is what most of the steps wait for; a step that waits for something else says so itself. `may_change`
    are the rules of the order that may be broken with a reason.
    """

    lead: Markup
    all_wait: Markup
    may_change: tuple[Markup, ...]
    steps: tuple[StepLine, ...]


@dataclass(frozen=True)
class WallRow:
    """One part of the car on the wall: job, name, numbers of its steps, hours, days, bars, what it waits for."""

    number: str
    words: Markup
    steps: str
    hours: str
    when: Markup
    bar: Markup
    held: str
    stop: bool


@dataclass(frozen=True)
class Wall:
    """The wall page: all parts of the car as bars on the shop's calendar, `lead` and `all_wait` as of `Order`."""

    lead: Markup
    all_wait: Markup
    axis: Markup
    rows: tuple[WallRow, ...]
