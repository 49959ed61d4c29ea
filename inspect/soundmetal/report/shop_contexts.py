"""What each page of the shop's packet is told: one documented dataclass a template, nothing else reaches it.

Every field is ready to show: in the reader's language, sizes in both units, escaped. Templates only place them.
"""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True)
class Figure:
    """One large number and what it counts."""

    value: Markup
    words: Markup


@dataclass(frozen=True)
class JobLine:
    """One job in the list: its number and place in the packet, panel, method, findings, hours, what it waits for.

    `held` names what it waits for, empty where nothing; `stop` where that is more than an answer still to come.
    """

    number: int
    anchor: str
    panel: str
    method: str
    findings: str
    hours: str
    held: str
    stop: bool


@dataclass(frozen=True)
class CutLine:
    """One blank of the cut list; `size` in the reader's unit, `size_other` in the other one; `held` as above.

    `shape` says what is done to it: form, bends, beads.
    """

    number: str
    anchor: str
    panel: str
    findings: str
    size: str
    size_other: str
    steel: str
    shape: tuple[Markup, ...]
    mass: str
    held: str
    stop: bool


@dataclass(frozen=True)
class SheetLine:
    """One thickness of steel: gauge and thickness, how many blanks, their area and mass, the sheets to lay out."""

    steel: str
    blanks: str
    area: str
    mass: str
    sheets: str


@dataclass(frozen=True)
class SupplyLine:
    """One thing to lay out: how much, and what it is packed in where it is counted by that."""

    name: str
    amount: str
    packed: str


@dataclass(frozen=True)
class Front:
    """Page 1: what waits and what to take care of, the totals, the jobs, the cut list, what to lay out.

    `title` names the car, `facts` what it is known by, `aim` and `aim_plain` how far the owner wants to go. `holds`
    and `cautions` come before any number, then what holds on every job, `always`. `figures` are the totals,
    `figures_note` says what the ranges mean.
    """

    title: str
    facts: tuple[Markup, ...]
    aim: str
    aim_plain: str
    made: Markup
    holds: tuple[Markup, ...]
    holds_none: Markup
    cautions: tuple[Markup, ...]
    always: tuple[Markup, ...]
    figures: tuple[Figure, ...]
    figures_note: Markup
    jobs: tuple[JobLine, ...]
    cuts: tuple[CutLine, ...]
    sheets: tuple[SheetLine, ...]
    supplies: tuple[SupplyLine, ...]


@dataclass(frozen=True)
class FoundLine:
    """One finding of a job: its id, level, the steel seen edge-on, what was seen, the note written there."""

    reference: str
    level: str
    plate: Markup
    caption: Markup
    seen: tuple[Markup, ...]
    note: str


@dataclass(frozen=True)
class ShopPhoto:
    """One small photograph: where the copy lies, its words, its size on paper and the room for it with
    its words, its call-outs, the finding it shows.
    """

    url: str
    alternative: str
    width_mm: str
    height_mm: str
    room_mm: str
    overlay: Markup
    reference: str
    caption: str
    marks: tuple[str, ...]


@dataclass(frozen=True)
class PieceView:
    """One opening and the blank that fills it: both drawings at one scale, the blank's figures, notes to it."""

    number: str
    cut: Markup
    blank: Markup
    size: str
    size_other: str
    figures: tuple[Markup, ...]
    notes: tuple[Markup, ...]


@dataclass(frozen=True)
class JointView:
    """One kind of joint: its name, the drawing and its `figures`, a line for each seam of that kind.

    `plans` are the tack plans of butt seams, each with its findings' ids; `notes` what the seams take and why they
    are joined so.
    """

    name: str
    drawing: Markup
    figures: tuple[Markup, ...]
    seams: tuple[Markup, ...]
    plans: tuple[tuple[str, Markup], ...] = ()
    notes: tuple[Markup, ...] = ()


@dataclass(frozen=True)
class WorkLine:
    """One operation: what is done, on what and how much of it, hours low, likely and high.

    `key` is its word in the record, under which hours spent are written.
    """

    name: str
    key: str
    on: str
    amount: str
    low: str
    likely: str
    high: str


@dataclass(frozen=True)
class JobPage:
    """One job, which is one panel.

    `small` where nothing is cut or welded: such jobs stand several to a page, `joined` to the small one before.
    `setting` names how close the page is set, by how much is to be told, so that it stays one page.
    `held` says what it waits for; with `qualified` a qualified structural repairer must release it, and drawings are
    a `proposal` to them. `access` is what comes off first, or the job that opens it. `found` with `photos`; `where`
    is the panel with its openings, `unplaced` says that their place must be measured; `pieces` are openings and
    blanks, `joints` drawings and figures of seams, `settings` where a welder may start. `work` are the operations
    with their sums `sum_low` to `sum_high`; `hidden` is the range told to the owner. `watch`: when to stop and ask;
    `rules`: what the rule book wants.
    """

    number: int
    anchor: str
    small: bool
    joined: bool
    setting: str
    panel: str
    method: str
    findings: str
    why: Markup
    held: tuple[Markup, ...]
    qualified: bool
    proposal: Markup
    access: str
    found: tuple[FoundLine, ...]
    photos: tuple[ShopPhoto, ...]
    where: Markup
    unplaced: Markup
    pieces: tuple[PieceView, ...]
    joints: tuple[JointView, ...]
    settings: Markup
    work: tuple[WorkLine, ...]
    sum_low: str
    sum_likely: str
    sum_high: str
    hidden: Markup
    watch: tuple[Markup, ...]
    rules: tuple[Markup, ...]


@dataclass(frozen=True)
class AloneLine:
    """One place to leave alone: panel, findings, why."""

    panel: str
    findings: str
    words: Markup


@dataclass(frozen=True)
class ReferLine:
    """One job that somebody else decides: its number and place in the packet, panel, findings, why, what is held."""

    number: int
    anchor: str
    panel: str
    findings: str
    why: Markup
    held: Markup


@dataclass(frozen=True)
class Others:
    """What is not ours to cut: places left alone, places that a qualified repairer decides, places not seen."""

    alone: tuple[AloneLine, ...]
    refer: tuple[ReferLine, ...]
    unseen: tuple[str, ...]


@dataclass(frozen=True)
class Packet:
    """The whole packet: language, metadata, style, running head, and its parts already set."""

    lang: str
    paper: str
    title: str
    author: str
    subject: str
    created: str
    css: Markup
    screen_css: Markup
    page_css: Markup
    front: Markup
    office: Markup
    jobs: tuple[Markup, ...]
    sheets: Markup
    others: Markup
    order: Markup
    wall: Markup
