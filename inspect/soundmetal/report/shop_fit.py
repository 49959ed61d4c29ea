"""How high a job's page will be, reckoned from what stands on it, so that it is set close enough to stay one page.

Lines are counted with the pages' own fonts; heights are those of `templates/shop/packet.css` in each setting, found
by laying pages out and measuring them. The reckoning errs to the high side: a page set closer than it need be is
still whole, one set too wide is not.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from markupsafe import Markup
from PIL import ImageFont

from soundmetal.paths import template_dir
from soundmetal.record.terms import Paper
from soundmetal.report.shop_contexts import FoundLine, JobPage, JointView, PieceView, ShopPhoto
from soundmetal.report.shop_joins import BUTT_MM, MOST_WIDE, WIDTHS_MM
from soundmetal.report.shop_office_contexts import Office

MM_PER_PT = 25.4 / 72
#: Room between the margins of a page, in mm.
PAGE_MM = {Paper.LETTER: (191.9, 261.4), Paper.A4: (186.0, 279.0)}
TIGHT_MARGINS_MM = 2.5
#: Lines of the office's part that one page holds beside its headings (pages laid out and measured).
OFFICE_LINES = {Paper.LETTER: 44, Paper.A4: 48}
_HALF_MM, _PLATE_MM = 90.5, 8.4
#: A line end loses about half a word.
_RAGGED_MM = 2.5
_DRAWN = re.compile(r'<svg[^>]* width="([\d.]+)mm" height="([\d.]+)mm"')
_FONTS = {400: "alegreya-sans-latin-400-normal.ttf", 500: "alegreya-sans-latin-500-normal.ttf",
          700: "alegreya-sans-latin-700-normal.ttf"}  # fmt: skip
#: The fonts are measured at this size, in units, so that the widths of single letters are not rounded.
_MEASURED_AT = 500


@dataclass(frozen=True)
class Setting:
    """How close a page is set: type in pt, lines and rows in mm on paper, the width of a piece's drawing.

    `spare_mm` is left free for what the reckoning misses.
    """

    css: str
    head: tuple[float, float]
    stop: tuple[float, float]
    told: tuple[float, float]
    note: tuple[float, float]
    seam: tuple[float, float]
    heading_mm: float
    row_mm: float
    work_mm: float
    half_mm: float
    spare_mm: float


#: From wide to close, each with a class of the style sheet that goes by its name.
ROOMY = Setting("", (17.1, 5.3), (12.5, 5.3), (10.0, 4.3), (9.0, 3.82), (9.6, 3.85), 5.2, 4.9, 21.8, 90.0, 13.0)
DENSE = Setting("dense", (8.6, 4.9), (9.5, 4.9), (9.4, 3.8), (9.0, 3.82), (9.6, 3.85), 5.2, 3.96, 17.0, 90.0, 4.0)
TIGHT = Setting("dense tight", (8.2, 4.6), (8.7, 4.4), (9.0, 3.5), (8.6, 3.5), (9.0, 3.4), 4.3, 3.42, 16.6, 76.0, 2.0)


@dataclass(frozen=True)
class Room:
    """The room on a page, and how it is set."""

    wide_mm: float
    high_mm: float
    setting: Setting


def room_on(paper: Paper, setting: Setting) -> Room:
    """Give the room on one page of a paper; a tight one has smaller margins."""
    wide, high = PAGE_MM[paper]
    return Room(wide, high + (TIGHT_MARGINS_MM if setting is TIGHT else 0.0) - setting.spare_mm, setting)


def fits(page: JobPage, room: Room) -> bool:
    """Tell whether a job stays one page."""
    return sum(heights(page, room).values()) <= room.high_mm


def heights(page: JobPage, room: Room) -> dict[str, float]:
    """Reckon how high each part of a job's page is, in mm, by the names of the template's classes."""
    setting = room.setting
    return {
        "head": _head(page, room),
        "stop": _stop(page, room) if page.held else 0.0,
        "look": _look(page, room),
        "piece": sum(_piece(piece, room) for piece in page.pieces),
        "seams": _seams(page, room) if page.where else 0.0,
        "work": setting.work_mm + setting.row_mm * sum(_rows(line.name, setting) for line in page.work),
    }


def office_setting(page: Office, paper: Paper) -> str:
    """Give the class that keeps the office's part to one page: closer where it has more lines than a page has."""
    wide = PAGE_MM[paper][0]
    counted = sum(lines(row.words, 9.4, wide - 45.0, 500) for row in page.prices)
    counted += sum(lines(row.words, 9.4, wide - 95.0, 500) for row in page.drivers)
    counted += len(page.buying) + sum(lines(row.words, 9.4, wide - 80.0, 500) for row in page.away)
    counted += sum(lines(said, 9.4, wide - 78.0) for said in page.said)
    counted += sum(lines(note, 9.6, wide) for note in (page.drivers_note, page.buying_note, page.learning))
    return "close" if counted > OFFICE_LINES[paper] else ""


def _rows(name: str, setting: Setting) -> float:
    """Count the lines of an operation's name; only a roomy page has type so large that one wraps."""
    return lines(name, 10.6, 54.0, 500) if setting is ROOMY else 1


@cache
def _font(weight: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(
        template_dir() / "fonts" / _FONTS[weight], _MEASURED_AT, layout_engine=ImageFont.Layout.BASIC
    )


def width_mm(words: str | Markup, size_pt: float, weight: int = 400) -> float:
    """Measure how long words are in the pages' font, in mm.

    >>> round(width_mm("Cut to size", 10.0), 1)
    14.0
    """
    plain = words.striptags() if isinstance(words, Markup) else words
    return float(_font(weight).getlength(plain)) / _MEASURED_AT * size_pt * MM_PER_PT


def lines(words: str | Markup, size_pt: float, wide_mm: float, weight: int = 400) -> int:
    """Count the lines that words take."""
    long = width_mm(words, size_pt, weight)
    if not long:
        return 0
    return 1 if long <= wide_mm else math.ceil(long / (wide_mm - _RAGGED_MM))


def drawn_mm(drawing: Markup, shrunk: float = 1.0) -> float:
    """Read how high a drawing is on paper, in mm."""
    found = _DRAWN.search(str(drawing))
    return float(found[2]) * shrunk if found else 0.0


def _head(page: JobPage, room: Room) -> float:
    first, more = room.setting.head
    if room.setting is ROOMY:
        long = width_mm(page.method, 13.0, 700) + width_mm(page.findings, 12.0) + width_mm(page.why, 9.6) + 32.0
        return first + more * (math.ceil(long / room.wide_mm) - 1)
    name, method, why = (14.0, 10.6, 9.0) if room.setting is TIGHT else (16.0, 11.4, 9.6)
    inside = room.wide_mm - 14.0
    before = (
        width_mm(page.panel, name, 700) + width_mm(page.method, method, 700) + width_mm(page.findings, 12.0) + 13.0
    )
    reason = width_mm(page.why, why) + 4.0
    # Words that are longer than what is left of the line begin on one of their own.
    return first + more * (0 if before + reason <= inside else math.ceil(reason / inside))


def _stop(page: JobPage, room: Room) -> float:
    first, more = room.setting.stop
    words = Markup(" ").join([*page.held, page.proposal])
    size = {ROOMY.css: 10.6, TIGHT.css: 9.4}.get(room.setting.css, 10.0)
    held = width_mm(words, size, 500) + 18.0
    inside = room.wide_mm - 7.0
    release = 100.0 if not page.qualified else 112.0
    last = held % inside
    whole = math.ceil(held / inside) + (1 if last + release > inside else 0)
    return first + more * (whole - 1)


def _look(page: JobPage, room: Room) -> float:
    """Photographs at the left, words beside them and, once these reach further down, under them."""
    wide, high = _photos(page.photos)
    size, line = room.setting.told
    at = 0.0
    for words, weight, gap in _told(page.found, page):
        at += gap
        if not words:
            at += _PLATE_MM
            continue
        left = width_mm(words, size, weight)
        while left > 0:
            left -= (room.wide_mm - wide if at < high else room.wide_mm) - _RAGGED_MM
            at += line
    return 0.6 + max(at, high)


def _told(found: Sequence[FoundLine], page: JobPage) -> Iterable[tuple[Markup | str, int, float]]:
    """Give the words beside the photographs with their weight and the gap over them; an empty one is a plate."""
    for place, one in enumerate(found):
        yield "", 400, 1.4 if place else 0.0
        yield Markup(" ").join([*one.seen, one.note]), 400, 0.0
    if page.access:
        yield f"Comes off first: {page.access}", 400, 0.9
    for place, line in enumerate((*page.watch, *page.rules)):
        yield Markup("– ") + line, 500, 0.5 if place else 1.2


def _photos(photos: Sequence[ShopPhoto]) -> tuple[float, float]:
    """Give the room that photographs take beside the words: width with its gap, and height with their captions."""
    if not photos:
        return 0.0, 0.0
    rooms = [float(photo.room_mm) for photo in photos]
    captions = [" ".join((photo.reference, photo.caption, *photo.marks)) for photo in photos]
    said = [lines(text, 9.0, room) for text, room in zip(captions, rooms, strict=True)]
    high = max(float(p.height_mm) + 0.6 + 3.7 * max(1, n) for p, n in zip(photos, said, strict=True))
    return sum(rooms) + 3.0 * (len(rooms) - 1) + 5.0, high + 0.6


def _piece(piece: PieceView, room: Room) -> float:
    shrunk = room.setting.half_mm / 90.0
    size, line = room.setting.note
    drawn = max(drawn_mm(piece.cut, shrunk), drawn_mm(piece.blank, shrunk))
    figures = width_mm(Markup(" · ").join(piece.figures), 10.4, 700)
    said = figures + width_mm(Markup(" ").join(piece.notes), size)
    heading = width_mm(f"{piece.number} {piece.size} {piece.size_other}", 11.4, 700) + 16.0
    notes = math.ceil(said * 1.03 / room.wide_mm) if piece.notes or piece.figures else 0
    return (
        room.setting.heading_mm * (1 if heading <= _HALF_MM else 2)
        + drawn
        + 1.2
        + (line * notes + 1.2 if notes else 0.0)
    )


def _seams(page: JobPage, room: Room) -> float:
    size, line = room.setting.note
    plans = [plan for joint in page.joints for _, plan in joint.plans]
    each = 4 if len(page.joints) + len(plans) > MOST_WIDE else 3
    parts = [drawn_mm(page.where) + (8.8 if page.unplaced else 0.0)]
    for joint in page.joints:
        wide = (BUTT_MM if joint.plans else WIDTHS_MM)[each > 3]
        parts += [_joint(joint, wide, room.setting), *(drawn_mm(plan) for _, plan in joint.plans)]
    rows = [max(parts[n : n + each]) for n in range(0, len(parts), each)]
    notes = Markup(" ").join([*(note for joint in page.joints for note in joint.notes), page.settings])
    said = math.ceil(width_mm(notes, size) * 1.03 / room.wide_mm)
    return 1.6 + sum(room.setting.heading_mm + row for row in rows) + (line * said + 0.4 if said else 0.0)


def _joint(joint: JointView, wide_mm: float, setting: Setting) -> float:
    size, line = setting.seam
    said = sum(lines(words, size, wide_mm, 700) for words in joint.figures)
    said += sum(lines(words, size, wide_mm) for words in joint.seams)
    return drawn_mm(joint.drawing) + line * said
