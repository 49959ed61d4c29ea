"""What each page of the customer's report is told: one documented dataclass a template, nothing else reaches it.

Every field is ready to show: in the reader's language, rounded, escaped. Templates only place them.
"""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from soundmetal.report.practice_context import Practice as Practice
from soundmetal.report.practice_context import RuleLine as RuleLine
from soundmetal.report.practice_context import TradeWord as TradeWord


@dataclass(frozen=True)
class LegendRow:
    """One line of the plan's legend: the sample, the level's word, how many zones are so."""

    swatch: Markup
    word: str
    zones: Markup


@dataclass(frozen=True)
class SafetyRow:
    """One place that touches safety: number, name, link to its finding."""

    number: int
    anchor: str
    name: str


@dataclass(frozen=True)
class SafetyGroup:
    """The places that touch safety and are equally urgent: what to do by when, and where."""

    urgency: Markup
    places: tuple[SafetyRow, ...]


@dataclass(frozen=True)
class AimColumn:
    """One aim beside the others: what it means, what it takes, what it leaves undone.

    `choice` is the word that the form's field of aims holds when the owner takes this one.
    """

    name: str
    choice: str
    plain: str
    chosen: bool
    hours: Markup
    price: Markup
    strip: Markup
    days: Markup
    undone: tuple[Markup, ...]


@dataclass(frozen=True)
class Short:
    """Page 1, the short of it; `none_of_them` is what none of the aims does.

    `title` names the car, `facts` what it is known by, `lead` the one sentence, `more` what follows it; `plan` the
    steel plan with its `legend`; `safety` what touches safety; `aims` side by side, one of which
    the owner takes in the form's field `aim_field`. In an amendment it does not open the report, and asks for no aim.
    """

    opens: bool
    title: str
    facts: tuple[Markup, ...]
    addressed: Markup
    lead: Markup
    more: tuple[Markup, ...]
    plan: Markup
    legend: tuple[LegendRow, ...]
    legend_note: Markup
    safety: tuple[SafetyGroup, ...]
    safety_none: Markup
    aims: tuple[AimColumn, ...]
    aim_field: str
    none_of_them: tuple[Markup, ...]
    ranges: Markup


@dataclass(frozen=True)
class MarkLine:
    """The words of one numbered call-out on a photograph."""

    label: str
    words: str


@dataclass(frozen=True)
class PhotoView:
    """One photograph as it is set: where the copy lies, its words, its size on paper, its call-outs.

    `place` is "alone" (its words stand beside it, `beside_mm` from its left edge), "wide" (alone, its words under
    it), "first-in-row", "last-in-row", or "margin".
    """

    url: str
    alternative: str
    place: str
    beside_mm: str
    width_mm: str
    height_mm: str
    overlay: Markup
    caption: str
    marks: tuple[MarkLine, ...]


@dataclass(frozen=True)
class OtherWay:
    """A method that was not taken, with its price where it has one, and the reason."""

    method: str
    price: Markup
    reason: Markup


@dataclass(frozen=True)
class Money:
    """What one panel's work takes: hours, price range, the strip."""

    hours: Markup
    price: Markup
    strip: Markup


@dataclass(frozen=True)
class FindingPage:
    """One finding, pages 2 and on.

    `number` counts worst first, `anchor` is where links go, `reference` the id in the record. `plate` with `caption`
    and `band` tells the metal left; `facts` are the small lines beside it. `seen`, `matters`, `would`, `others`,
    `change` are told in this order. `note_lang` is the language of notes and captions where it is not the page's.
    `money` is None where the work is told with another finding of the same panel: `together` says which. `answered`
    is what the owner has already said, `field` the form's field of the answer, empty where it is not asked here. A
    `compact` finding is a lesser one: its photograph stands in the margin.
    """

    number: int
    anchor: str
    reference: str
    name: str
    plain: str
    level: str
    swatch: Markup
    urgency: Markup
    plate: Markup
    caption: Markup
    band: Markup
    facts: tuple[Markup, ...]
    drawing: Markup
    photos: tuple[PhotoView, ...]
    seen: tuple[Markup, ...]
    note: str
    note_lang: str
    matters: tuple[Markup, ...]
    method: str
    would: tuple[Markup, ...]
    others: tuple[OtherWay, ...]
    change: tuple[Markup, ...]
    money: Money | None
    together: Markup
    answered: Markup
    field: str
    compact: bool


@dataclass(frozen=True)
class ZoneLine:
    """One zone in a list: its name, what is to be said of it, what the part is where it is first named."""

    name: str
    words: Markup
    plain: str


@dataclass(frozen=True)
class PartLine:
    """Parts of the car of which all the same is to be said, such as left and right: names, what they are, words."""

    names: tuple[str, ...]
    plain: str
    words: Markup


@dataclass(frozen=True)
class ZoneGroup:
    """Many zones of which the same is to be said: first the words, then the parts."""

    words: Markup
    parts: tuple[PartLine, ...]


@dataclass(frozen=True)
class Rest:
    """Page 3: what was found sound, what earlier work stays, what was not seen; with the findings, every zone."""

    looked: Markup
    sound: tuple[PartLine, ...]
    sound_note: Markup
    stays: tuple[ZoneLine, ...]
    noted: tuple[ZoneLine, ...]
    unseen: tuple[ZoneLine, ...]
    unseen_groups: tuple[ZoneGroup, ...]
    unseen_note: Markup


@dataclass(frozen=True)
class OrderRow:
    """One part of the car, or one step for all of it: words, days, bars; `hold` is what it waits for."""

    words: Markup
    days: Markup
    bar: Markup
    hold: Markup


@dataclass(frozen=True)
class Undone:
    """What one aim, or several alike, leave undone."""

    aims: str
    lines: tuple[Markup, ...]


@dataclass(frozen=True)
class Course:
    """Page 4: the steps in words, the parts on working days, what leaves the shop, what the work waits for.

    `dated` tells that the days are dates, `bars_note` what dark and dashed bars mean.
    """

    lead: Markup
    steps: tuple[Markup, ...]
    dated: bool
    axis: Markup
    bars_note: Markup
    rows: tuple[OrderRow, ...]
    away: tuple[Markup, ...]
    holds: tuple[Markup, ...]
    undone: tuple[Undone, ...]


@dataclass(frozen=True)
class Whole:
    """The whole document: language, metadata, style, running head, and its parts already set.

    `changed` and `as_before` are those of an amendment, empty in any other report. `answering` says how to answer to
    those who read it on a screen, where nothing can be ticked.
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
    changed: Markup
    short: Markup
    findings: tuple[Markup, ...]
    findings_intro: tuple[Markup, ...]
    as_before: Markup
    rest: Markup
    course: Markup
    practice: Markup
    answering: Markup
